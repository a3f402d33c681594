"""Bundles collected from the log: the records of a ski with all that proves them, in one file."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from django.db.models import Count, Q, Sum
from django.db.models.functions import Length

from apps.exchange.log import checkpoint_text
from apps.records.bundle_file import BundleContents, BundleRow, erased_row, make_bundle, signed_row
from apps.records.clusters import Links
from apps.records.names import node_handle, node_host
from apps.records.place import SkiTag
from apps.registry import tree
from apps.registry.errors import RegistryError
from apps.registry.identity import node_handle as own_handle
from apps.registry.identity import node_key
from apps.registry.joining import JoinedSki, joined_ski
from apps.registry.models import Record, SigningKey, Tag
from apps.registry.querysets import RecordQuerySet, StoredRecord
from apps.registry.storage import snapshot

# A bundle is made in memory as a whole, and read so.
MOST_ROWS = 5000
MOST_BYTES = 16_000_000


class TooManyRecords(RegistryError):
    """The ski has more records than one bundle holds."""

    code = "too-many-records"


def too_many() -> TooManyRecords:
    """Word the refusal."""
    return TooManyRecords(
        f"The ski has more than {MOST_ROWS} records, or more than {MOST_BYTES} bytes of them, and "
        "a bundle holds no more. Ask with `links=none`, or take an export."
    )


def bundle_of(tag: Tag, links: Links) -> bytes:
    """Make the bundle of a ski, as the log is now.

    Parameters
    ----------
    tag : Tag
        The tag that was asked for.
    links : str
        Which links join others with it.

    Returns
    -------
    bytes
        Canonical JSON, signed by the node.

    Raises
    ------
    TooManyRecords
        If it would be longer than `MOST_ROWS` records or `MOST_BYTES` bytes of them.
    NoIdentity
        If the node has no key to sign with.
    """
    with snapshot():
        contents = _contents(joined_ski(tag, links), tree.log_size())
        private = node_key()
    return make_bundle(contents, private)


def _contents(ski: JoinedSki, size: int) -> BundleContents:
    tags = ski.joined.tags
    records = _bounded(Record.objects.of_tags(tags).filter(log_index__lt=size))
    keys = list(_key_records({row.author for row in records}))
    proofs = tree.inclusions({row.log_index for row in (*records, *keys)}, size)
    return BundleContents(
        ski=SkiTag(shop=ski.tag.shop, tag=ski.tag.tag),
        tags=[_ski_tag(tag) for tag in tags],
        links=ski.joined.links,
        checkpoint=checkpoint_text(size).encode(),
        records=[_row(row, proofs[row.log_index]) for row in records],
        keys=[_row(row, proofs[row.log_index]) for row in keys],
    )


def _bounded(records: RecordQuerySet) -> list[StoredRecord]:
    # Counted before they are read: a cursor that is left half-way breaks the transaction on
    # PostgreSQL when it is rolled back.
    there = records.aggregate(rows=Count("id"), size=Sum(Length("document")))
    if there["rows"] > MOST_ROWS or (there["size"] or 0) > MOST_BYTES:
        raise too_many()
    return list(records.stored())


def _key_records(authors: Collection[str]) -> Iterator[StoredRecord]:
    """Read the records of all keys of the authors and of their nodes, and of these keys' ends."""
    nodes = {node_handle(node_host(author)) for author in authors}
    keys = SigningKey.objects.filter(author__in={*authors, *nodes, own_handle()})
    stated = Q(id__in=keys.values("record")) | Q(
        id__in=keys.exclude(ended_by="").values("ended_by")
    )
    return Record.objects.filter(stated).stored()


def _row(row: StoredRecord, proof: tuple[bytes, ...]) -> BundleRow:
    if row.erased_by:
        return erased_row(row.log_index, row.id, row.erased_by, proof)
    return signed_row(row.log_index, row.id, row.document, row.signature, proof)


def _ski_tag(key: str) -> SkiTag:
    shop, _, tag = key.partition("/")
    return SkiTag(shop=shop, tag=tag)

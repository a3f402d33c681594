"""What an erasure record does at the door: whose word counts, what goes, what isn't taken again."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from django.conf import settings

from apps.records.envelope import ErasureRecord
from apps.records.names import node_handle, node_host
from apps.registry.errors import Erased
from apps.registry.idempotency import forget_answers
from apps.registry.models import Record
from apps.registry.submissions import Entry

# Without its keys a log can't be checked, and an erasure is the reason that stands in the log.
KEPT_KINDS = frozenset({"key", "key-end", "erasure"})


@dataclass(frozen=True, slots=True)
class Erasure:
    """One erasure record.

    Parameters
    ----------
    record_id : str
    author : str
        Handle of the node that wrote it.
    tag_key : str
        The tag that it names; its target's, or else it has no effect.
    """

    record_id: str
    author: str
    tag_key: str

    def counts_for(self, *, author: str, tag_key: str, kind: str) -> bool:
        """Say whether it takes the bytes of a record away here.

        It does by the word of the node where the record's author is at home, and by the word of
        this node, which answers for what it keeps. Another node's is noted and has no effect.
        """
        nodes = {node_handle(node_host(author)), node_handle(settings.NODE_HOST)}
        return self.author in nodes and self.tag_key == tag_key and kind not in KEPT_KINDS


Erasures = dict[str, list[Erasure]]


def erasure_of(entry: Entry) -> Erasure:
    """Read the erasure that an entry is."""
    return Erasure(entry.record_id, entry.frame.author, entry.tag_key)


def read_erasures(targets: Iterable[str]) -> Erasures:
    """Read the erasure records about records, whether these are here or not: one query."""
    found: Erasures = defaultdict(list)
    # The index of targets leaves "" out, and SQLite takes it only where the query does so too.
    rows = Record.objects.of_kind("erasure").exclude(target="").filter(target__in=list(targets))
    columns = ("target", "id", "author", "subject_id")
    for target, *rest in rows.order_by("log_index").values_list(*columns):
        found[target].append(Erasure(*rest))
    return found


def erasure_that_counts(entry: Entry, erasures: Erasures) -> Erasure | None:
    """Give the erasure by which a record that is handed in was erased here, or None."""
    stated = {"author": entry.frame.author, "tag_key": entry.tag_key, "kind": entry.frame.kind}
    counting = (e for e in erasures.get(entry.record_id, ()) if e.counts_for(**stated))
    return next(counting, None)


def refuse(entry: Entry, erasure: Erasure) -> None:
    """What was erased is not taken again, and neither is what was erased before it came.

    Raises
    ------
    Erased
    """
    raise Erased(
        f"Record {entry.record_id} was erased, as record {erasure.record_id} says, and is not "
        "taken again."
    )


def erase_targets(entries: Sequence[Entry]) -> None:
    """Empty the records that new erasure records are about, where these count."""
    for entry in entries:
        if isinstance(entry.record, ErasureRecord):
            _erase(entry.target, erasure_of(entry))


def _erase(target: str, erasure: Erasure) -> None:
    whole = Record.objects.filter(id=target, erased_by="")
    found = whole.values_list("author", "subject_id", "kind").first()
    if found is None:
        return
    author, tag_key, kind = found
    if erasure.counts_for(author=author, tag_key=tag_key, kind=kind):
        whole.update(document=b"", erased_by=erasure.record_id)
        forget_answers(shop=author, containing=target)


def is_erased_soundly(row: Record) -> bool:
    """Say whether a record without bytes was erased by a record that counts for it."""
    stated = {"author": row.author, "tag_key": row.subject_id or "", "kind": row.kind}
    said = {one.record_id: one for one in read_erasures([row.id]).get(row.id, ())}
    reason = said.get(row.erased_by)
    return not bytes(row.document) and reason is not None and reason.counts_for(**stated)


def still_whole() -> Iterator[tuple[str, str]]:
    """Find records with bytes that an erasure record that counts takes away, each with it."""
    erasures = Record.objects.of_kind("erasure").order_by("log_index")
    columns = ("target", "id", "author", "subject_id")
    for target, *rest in erasures.values_list(*columns).iterator():
        whole = Record.objects.filter(id=target, erased_by="")
        found = whole.values_list("author", "subject_id", "kind").first()
        erasure = Erasure(*rest)
        if found and erasure.counts_for(author=found[0], tag_key=found[1] or "", kind=found[2]):
            yield target, erasure.record_id

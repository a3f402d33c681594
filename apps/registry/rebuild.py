"""Make every index again from the records: the proof that they hold nothing of their own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from apps.registry import models
from apps.registry.actors import Actor
from apps.registry.clustering import all_placed
from apps.registry.conditions import store_conditions
from apps.registry.door import lock_log
from apps.registry.errors import BrokenTree
from apps.registry.histories import read_folds
from apps.registry.indexing import INDEX_TABLES
from apps.registry.key_ring import read_ring
from apps.registry.like_rows import drop_like_rows, store_like_rows
from apps.registry.policies import only_the_operator
from apps.registry.reindexing import register_tags, store_rows
from apps.registry.storage import writing
from apps.registry.tree import regrow
from apps.registry.tree_check import faulty_nodes

SKIS_AT_ONCE = 200


@dataclass(frozen=True, slots=True)
class Rebuilt:
    """What was made again."""

    records: int
    skis: int


def rebuild(*, by: Actor) -> Rebuilt:
    """Drop every index row, tag, ski, condition and tree node, and make all again from the records.

    One transaction under the lock of the log: readers see the old index until the new one is
    whole.

    Raises
    ------
    NotAllowed
        If it is not the operator who asks.
    BrokenTree
        If the hash tree witnesses that a record was rewritten; to make it again would hide that.
    """
    only_the_operator(by)
    with writing():
        head = lock_log()
        _drop_all()
        _regrow(head.size)
        read_ring().store()
        register_tags(registrations(), all_placed())
        skis = 0
        for keys in ski_batches():
            folds = read_folds(keys)
            store_rows(one for fold in folds.values() for one in fold.records)
            store_conditions(folds)
            store_like_rows(folds)
            skis += len(keys)
    return Rebuilt(records=head.size, skis=skis)


def _regrow(size: int) -> None:
    for one in faulty_nodes(size):
        if one.record_id:
            raise BrokenTree(
                f"Record {one.record_id} is not the one that the hash tree has at its place. "
                "Restore the record first, as docs/operating.md says."
            )
    regrow()


def _drop_all() -> None:
    models.SigningKey.objects.all().delete()
    for table in INDEX_TABLES:
        table._default_manager.all().delete()
    models.Condition.objects.all().delete()
    models.Wear._default_manager.all().delete()
    drop_like_rows()
    models.Tag.objects.all().delete()
    models.Ski._default_manager.all().delete()


def registrations() -> Iterator[tuple[str, str]]:
    """Give tag and record of every description by the tag's own shop, in the order of the log."""
    described = models.Record.objects.of_kind("description").order_by("log_index")
    rows = described.values_list("author", "subject_id", "id").iterator()
    for author, key, record_id in rows:
        if key.startswith(f"{author}/"):
            yield key, record_id


def ski_batches() -> Iterator[list[str]]:
    """Give the keys of all clusters, so of all skis, in order, some at a time."""
    after = ""
    while True:
        skis = models.Ski._default_manager.filter(cluster__gt=after).order_by("cluster")
        batch = list(skis.values_list("cluster", flat=True).distinct()[:SKIS_AT_ONCE])
        if not batch:
            return
        yield batch
        after = batch[-1]

"""Make every index again from the records: the proof that they hold nothing of their own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from apps.registry import models
from apps.registry.actors import Actor
from apps.registry.conditions import store_conditions
from apps.registry.door import lock_log
from apps.registry.histories import read_folds
from apps.registry.indexing import INDEX_TABLES
from apps.registry.like_rows import drop_like_rows, store_like_rows
from apps.registry.policies import only_the_operator
from apps.registry.reindexing import register_tags, store_rows
from apps.registry.storage import writing

SKIS_AT_ONCE = 200


@dataclass(frozen=True, slots=True)
class Rebuilt:
    """What was made again."""

    records: int
    skis: int


def rebuild(*, by: Actor) -> Rebuilt:
    """Drop every index row, tag, ski and condition, and make them again from the records.

    One transaction under the lock of the log: readers see the old index until the new one is
    whole.

    Raises
    ------
    NotAllowed
        If it is not the operator who asks.
    """
    only_the_operator(by)
    with writing():
        head = lock_log()
        _drop_all()
        register_tags(registrations())
        skis = 0
        for keys in ski_batches():
            folds = read_folds(keys)
            store_rows(one for fold in folds.values() for one in fold.records)
            store_conditions(folds)
            store_like_rows(folds)
            skis += len(keys)
    return Rebuilt(records=head.size, skis=skis)


def _drop_all() -> None:
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
    """Give the keys of all skis in order, some at a time."""
    after = ""
    while True:
        keys = models.Ski._default_manager.filter(key__gt=after).order_by("key")
        batch = list(keys.values_list("key", flat=True)[:SKIS_AT_ONCE])
        if not batch:
            return
        yield batch
        after = batch[-1]

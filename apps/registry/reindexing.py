"""How the index follows the records: what an append touches is made anew, once a ski."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from django.db.models import Q

from apps.records.folding import Fold, Folded
from apps.registry import models
from apps.registry.conditions import store_conditions
from apps.registry.histories import read_folds
from apps.registry.indexing import INDEX_TABLES, rows_of
from apps.registry.like_rows import store_like_rows
from apps.registry.models.rows import IndexRow
from apps.registry.storage import ROWS_AT_ONCE
from apps.registry.submissions import Entry


def reindex(entries: Sequence[Entry]) -> None:
    """Bring tags, index rows and conditions up to what new records say."""
    register_tags((e.tag_key, e.record_id) for e in entries if registers_tag(e))
    tags = models.Tag.objects.filter(key__in={e.tag_key for e in entries})
    folds = read_folds(tags.values_list("ski_id", flat=True))
    touched = {e.record_id for e in entries}
    amended = {e.target for e in entries if e.target}
    if amended:
        amended |= _corrected_by(amended)
        _drop_rows(amended)
    store_rows(_of_records(folds.values(), touched | amended))
    store_conditions(folds)
    store_like_rows(folds)


def registers_tag(entry: Entry) -> bool:
    """Say whether a record may put its tag on a ski: a description by the tag's own shop."""
    return entry.record.kind == "description" and entry.record.author == entry.record.ski.shop


def register_tags(pairs: Iterable[tuple[str, str]]) -> None:
    """Put tags on skis of their own, each by the first record that says so."""
    tags = [new_tag(key, record_id) for key, record_id in pairs]
    skis = [models.Ski(key=tag.ski_id) for tag in tags]
    models.Ski.objects.bulk_create(skis, ignore_conflicts=True, batch_size=ROWS_AT_ONCE)
    models.Tag.objects.bulk_create(tags, ignore_conflicts=True, batch_size=ROWS_AT_ONCE)


def new_tag(key: str, record_id: str) -> models.Tag:
    """Make a tag on a ski of its own."""
    shop, _, tag = key.partition("/")
    return models.Tag(key=key, shop=shop, tag=tag, ski_id=key, registered_by=record_id)


def _corrected_by(targets: set[str]) -> set[str]:
    """Where a correction itself was taken back, the record that it had corrected is touched."""
    corrections = models.Record.objects.of_kind("correction").filter(id__in=targets)
    return set(corrections.values_list("target", flat=True))


def _of_records(folds: Iterable[Fold], wanted: set[str]) -> list[Folded]:
    return [one for fold in folds for one in fold.records if one.record_id in wanted]


def _drop_rows(record_ids: set[str]) -> None:
    of_records = Q(("record__in", record_ids))
    for table in INDEX_TABLES:
        table._default_manager.filter(of_records).delete()


def store_rows(folded: Iterable[Folded]) -> None:
    """Store the index rows of records, table by table."""
    by_table: defaultdict[type[IndexRow], list[IndexRow]] = defaultdict(list)
    for one in folded:
        for row in rows_of(one):
            by_table[type(row)].append(row)
    for table, rows in by_table.items():
        table._default_manager.bulk_create(rows, batch_size=ROWS_AT_ONCE)

"""A ski's history as items: folded (what became of each record) or flat, a page at a time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from apps.api.answers.history import RecordState
from apps.api.rendering import Verbatim
from apps.api.stored import members
from apps.records.canonical import canonical_bytes
from apps.records.folding import Folded, State, fold
from apps.records.moments import PerformedAt
from apps.records.reading import document_of
from apps.registry.known import read_trusted
from apps.registry.models import Record
from apps.registry.models.record import FORMAT
from apps.registry.visits import clock_key, visit_of


class Row(NamedTuple):
    """What of a stored record a history needs."""

    id: str
    document: bytes
    signature: str
    author: str
    format: int
    rank: str
    target: str
    performed_at: str
    order_key: str
    received_at: datetime
    log_index: int
    erased_by: str


@dataclass(frozen=True, slots=True)
class Item:
    """One entry of a folded history.

    Parameters
    ----------
    row : Row
        The record.
    state : RecordState
    order_key : str
        Sorts items by the moment of what is in effect, then by kind.
    performed_at : PerformedAt
        When what is in effect was done.
    folded : Folded or None
        What became of the record; None for one that nothing refers to.
    amendments : tuple of Row
        The corrections, disputes and retractions that belong to it, in the order of the log.
    """

    row: Row
    state: RecordState
    order_key: str
    performed_at: PerformedAt
    folded: Folded | None = None
    amendments: tuple[Row, ...] = ()


def rows_of(tags: Collection[str], *, until: int) -> list[Row]:
    """Read the records of tags below a position of the log, in the order of time: one query."""
    records = Record.objects.of_tags(tags).filter(log_index__lt=until).in_history_order()
    return [Row(*values) for values in records.values_list(*Row._fields)]


def items_of(rows: Sequence[Row]) -> list[Item]:
    """Fold rows into items in the order of what is in effect.

    Only records that others refer to, and those others, are read; the rest stands as it is.
    """
    whole = [row for row in rows if _is_read(row)]
    closed = [_closed(row) for row in rows if not _is_read(row)]
    items = _folded_items(whole)
    return sorted([*items, *closed], key=_place) if closed else items


def _is_read(row: Row) -> bool:
    return not row.erased_by and row.format == FORMAT


def _folded_items(rows: Sequence[Row]) -> list[Item]:
    amendments = [row for row in rows if row.target]
    if not amendments:
        return [_standing(row) for row in rows]
    named = {row.id for row in amendments} | {row.target for row in amendments}
    amended = list(_amended([row for row in rows if row.id in named]))
    standing = [_standing(row) for row in rows if row.id not in named]
    return sorted([*standing, *amended], key=_place)


def _place(item: Item) -> tuple[str, str, int]:
    return (item.order_key, item.row.author, item.row.log_index)


def _standing(row: Row) -> Item:
    return Item(row, RecordState.STANDS, row.order_key, PerformedAt(row.performed_at))


def _closed(row: Row) -> Item:
    """Show a record whose bytes are gone, or are of a later format than this version reads."""
    state = RecordState.ERASED if row.erased_by else RecordState.LATER_FORMAT
    return Item(row, state, row.order_key, PerformedAt(row.performed_at))


def _amended(rows: Sequence[Row]) -> Iterator[Item]:
    by_id = {row.id: row for row in rows}
    folds = fold((row.id, read_trusted(bytes(row.document)), row.log_index) for row in rows)
    belonging = _belonging(rows, folds.records)
    for folded in folds.records:
        row = by_id[folded.record_id]
        yield Item(
            row,
            RecordState(folded.state),
            clock_key(visit_of(folded)),
            folded.content.performed_at,
            folded,
            tuple(belonging[folded.record_id]),
        )
    for pending in folds.pending:
        yield _without_target(by_id[pending.record_id], RecordState.PENDING)
    for ignored in folds.ignored:
        yield _without_target(by_id[ignored.record_id], RecordState.WITHOUT_EFFECT)


def _without_target(row: Row, state: RecordState) -> Item:
    return Item(row, state, row.order_key, PerformedAt(row.performed_at))


def _belonging(rows: Iterable[Row], records: Sequence[Folded]) -> Mapping[str, list[Row]]:
    """Sort the amendments under the originals they count for, in the order of the log."""
    owner = {i: one.record_id for one in records for i in _amendment_ids(one)}
    found: defaultdict[str, list[Row]] = defaultdict(list)
    for row in sorted(rows, key=lambda row: row.log_index):
        original = owner.get(row.id)
        if original is not None:
            found[original].append(row)
    return found


def _amendment_ids(one: Folded) -> tuple[str, ...]:
    corrections = one.corrections + one.withdrawn_corrections
    return corrections + one.disputes + one.withdrawn_disputes + one.retractions


def done_by(performed_at: PerformedAt, as_of: PerformedAt | None) -> bool:
    """Say whether something was done by the end of a day, or by a time.

    Something dated without a time is taken as done by any time of its day.
    """
    if as_of is None:
        return True
    if as_of.has_time and performed_at.has_time:
        return performed_at.sort_key <= as_of.sort_key
    return performed_at.day <= as_of.day


def item_members(item: Item) -> dict[str, object]:
    """Give the members of an item as it is answered."""
    shown: dict[str, object] = {**members(item.row), "state": str(item.state)}
    if item.folded is None:
        return shown
    if item.folded.state is State.CORRECTED:
        shown["effective"] = Verbatim(_effective(item.folded))
        shown["effective_source"] = item.folded.content.source
    lists = {**_about(item.folded, item.amendments), "flags": list(_flags(item.folded))}
    return {**shown, **{name: items for name, items in lists.items() if items}}


def _about(folded: Folded, amendments: Sequence[Row]) -> dict[str, list[dict[str, object]]]:
    kinds = {
        "corrections": {*folded.corrections, *folded.withdrawn_corrections},
        "retractions": set(folded.retractions),
        "disputes": {*folded.disputes, *folded.withdrawn_disputes},
    }
    return {
        name: [members(row) for row in amendments if row.id in ids] for name, ids in kinds.items()
    }


def _flags(folded: Folded) -> Iterator[str]:
    if folded.several_corrections:
        yield "several-corrections"
    if folded.disputes:
        yield "disputed"


def _effective(folded: Folded) -> bytes:
    """Write what stands in place of a record; canonical, so as the correction itself has it."""
    content = folded.content
    return canonical_bytes(
        {
            "kind": content.kind,
            "performed_at": str(content.performed_at),
            "body": document_of(content.body),
        }
    )

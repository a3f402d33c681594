"""The row of a record: its bytes, and the columns that repeat what the bytes say."""

from __future__ import annotations

from typing import Any

from apps.records.folding import NOON, standing
from apps.registry.models import Record
from apps.registry.submissions import Appended, Entry, SkiEntry
from apps.registry.visits import clock_key, visit_of


def record_row(entry: Entry, place: Appended) -> Record:
    """Make the row of a record that takes its place in the log."""
    return Record(
        id=entry.record_id,
        document=entry.submission.data,
        signature=entry.submission.signature,
        origin=entry.submission.origin,
        received_at=place.received_at,
        log_index=place.log_index,
        rank=place.rank,
        **repeated_columns(entry),
    )


def repeated_columns(entry: Entry) -> dict[str, Any]:
    """Give the columns that follow from a record's bytes alone."""
    frame = entry.frame
    return {
        "author": frame.author,
        "key_id": frame.key,
        "subject_id": entry.tag_key or None,
        "format": frame.format,
        "kind": frame.kind,
        "performed_at": str(frame.performed_at),
        "performed_day": frame.performed_at.day,
        "performed_sort": frame.performed_at.sort_key,
        "order_key": order_key(entry),
        "target": entry.target,
    }


def order_key(entry: Entry) -> str:
    """Give the key by which a history orders a record, before any correction of it.

    What is no visit to a bench, or can't be read, stands behind the visits of its moment.
    """
    if isinstance(entry, SkiEntry):
        return clock_key(visit_of(standing(entry.record_id, entry.record, entered=0)))
    performed_at = entry.frame.performed_at
    moment = performed_at.sort_key if performed_at.has_time else f"{performed_at}{NOON}"
    return f"{moment.removesuffix('Z')}/9"

"""Records as lines of JSON (NDJSON), a page at a time, closed by count, digest and range."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass

from apps.registry.models import Record
from apps.registry.querysets import RecordQuerySet, StoredRecord
from apps.registry.tree import log_size

MEDIA_TYPE = "application/x-ndjson"
PAGE = 200


@dataclass(frozen=True, slots=True)
class LogRange:
    """A stretch of the log, from one index up to and without another."""

    start: int
    until: int


def log_range(start: int | None, until: int | None) -> LogRange:
    """Give a stretch of the log; without a bound it ends where the log ends now."""
    size = log_size()
    return LogRange(start or 0, size if until is None else min(until, size))


def exported(handle: str) -> RecordQuerySet:
    """What is exported to a shop: what it wrote, and what anybody wrote about its tags."""
    return Record.objects.concerning(handle)


def export_lines(records: RecordQuerySet, stretch: LogRange) -> Iterator[bytes]:
    """Write records by their place in the log, a page at a time.

    Parameters
    ----------
    records : queryset
        Those that may be read.
    stretch : LogRange
        The stretch of the log; it stays the same to the end, whatever is written meanwhile.

    Yields
    ------
    bytes
        Whole lines in UTF-8, each ended by LF. The last one says how many there were, and the
        SHA-256 of all bytes before it.
    """
    digest, count = hashlib.sha256(), 0
    for rows in _pages(records, stretch):
        data = b"".join(map(export_line, rows))
        digest.update(data)
        count += len(rows)
        yield data
    end = {"count": count, "digest": digest.hexdigest()}
    yield json.dumps({"end": {**end, "from": stretch.start, "until": stretch.until}}).encode()
    yield b"\n"


def _pages(records: RecordQuerySet, stretch: LogRange) -> Iterator[list[StoredRecord]]:
    # Each page is a query of its own: a cursor held open for a slow reader would keep the
    # database from tidying up behind it.
    after = stretch.start - 1
    while rows := list(records.page(after=after, up_to=stretch.until, size=PAGE).stored()):
        yield rows
        after = rows[-1].log_index


def export_line(row: StoredRecord) -> bytes:
    """Write one record with its signature, or one that was erased with what erased it."""
    head = f'{{"index":{row.log_index},"id":"{row.id}",'
    if row.erased_by:
        return f'{head}"erased_by":"{row.erased_by}"}}\n'.encode()
    return f'{head}"signature":"{row.signature}","record":'.encode() + row.document + b"}\n"

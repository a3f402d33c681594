"""The rows of the log one after the other, as a peer or an export takes them."""

from __future__ import annotations

from dataclasses import dataclass

from apps.registry.models import Record
from apps.registry.querysets import StoredRecord

# A record has up to 32 KiB, and a follower holds a page in memory as a whole.
MOST_BYTES = 2_000_000


@dataclass(frozen=True, slots=True)
class Rows:
    """Some rows without a hole, and where the next ones begin.

    Parameters
    ----------
    rows : tuple of StoredRecord
    next_index : int or None
        None where these are the last ones below the bound.
    """

    rows: tuple[StoredRecord, ...]
    next_index: int | None


def read_rows(*, start: int, until: int, limit: int) -> Rows:
    """Read rows of the log from a place on, in one query.

    Parameters
    ----------
    start : int
        Place of the first row.
    until : int
        Rows below this place are given.
    limit : int
        Rows at most; they end sooner where their bytes come to more than `MOST_BYTES`, but not
        before the first.
    """
    rows: list[StoredRecord] = []
    held = 0
    for row in Record.objects.page(after=start - 1, up_to=until, size=limit).stored():
        held += len(row.document)
        if rows and held > MOST_BYTES:
            break
        rows.append(row)
    end = rows[-1].log_index + 1 if rows else until
    return Rows(tuple(rows), end if end < until else None)

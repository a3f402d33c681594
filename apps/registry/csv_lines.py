"""Tables as CSV (RFC 4180), a line at a time, with nothing in them that a spreadsheet would run."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Sequence

# A spreadsheet takes a cell that begins so for a formula; so does one that skips a tab first.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
LINES_AT_ONCE = 200


def csv_lines(header: Sequence[str], rows: Iterable[Sequence[str | int | None]]) -> Iterator[bytes]:
    """Write a table, some lines at a time.

    Yields
    ------
    bytes
        Whole lines in UTF-8, each ended by CR and LF (RFC 4180, section 2).
    """
    lines = _Lines()
    writer = csv.writer(lines)
    writer.writerow(header)
    for number, row in enumerate(rows, start=1):
        writer.writerow([safe(cell) for cell in row])
        if number % LINES_AT_ONCE == 0:
            yield lines.taken()
    yield lines.taken()


def safe(cell: str | int | None) -> str | int | None:
    """Put an apostrophe before a text that a spreadsheet would take for a formula.

    A number with a minus is no formula and stays as it is.
    """
    if isinstance(cell, str) and cell.startswith(FORMULA_STARTS) and not _is_number(cell):
        return f"'{cell}"
    return cell


def _is_number(text: str) -> bool:
    return text.lstrip("-").replace(".", "", 1).isdecimal()


class _Lines:
    """Takes what the writer writes until it is sent."""

    def __init__(self) -> None:
        self.written: list[str] = []

    def write(self, line: str) -> None:
        """Take a line."""
        self.written.append(line)

    def taken(self) -> bytes:
        """Hand out what was written."""
        data = "".join(self.written).encode()
        self.written.clear()
        return data

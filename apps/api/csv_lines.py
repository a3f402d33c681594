"""Tables as CSV (RFC 4180), a line at a time, with nothing in them that a spreadsheet would run."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Sequence

from django.http import StreamingHttpResponse
from rest_framework.request import Request

from apps.api.rendering import JSONRenderer

MEDIA_TYPE = "text/csv"
# A spreadsheet takes a cell that begins so for a formula; so does one that skips a tab first.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
LINES_AT_ONCE = 200


class CsvRenderer(JSONRenderer):
    """Stands for CSV when the format is agreed on.

    Only what goes wrong passes through it, and a problem is JSON whatever was asked for.
    """

    media_type = MEDIA_TYPE
    format = "csv"


def wants_csv(request: Request, format_asked: str | None) -> bool:
    """Say whether the answer is a table: by the parameter, or else by the Accept header."""
    if format_asked is not None:
        return format_asked == CsvRenderer.format
    return str(request.accepted_media_type).startswith(MEDIA_TYPE)


def csv_answer(
    header: Sequence[str], rows: Iterable[Sequence[str | int | None]], *, filename: str
) -> StreamingHttpResponse:
    """Answer with a table, written while it is sent.

    Parameters
    ----------
    header : sequence of str
        Names of the columns.
    rows : iterable of sequence
        Cells in the order of the columns; None is an empty cell.
    filename : str
        What a browser calls the file.
    """
    return StreamingHttpResponse(
        csv_lines(header, rows),
        content_type=MEDIA_TYPE,
        headers={"Content-Disposition": f'attachment; filename="{filename}"'},
    )


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

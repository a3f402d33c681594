"""Answers with a table of CSV; how its lines are written is the registry's to say."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from django.http import StreamingHttpResponse
from rest_framework.request import Request

from apps.api.rendering import JSONRenderer
from apps.registry.csv_lines import csv_lines

MEDIA_TYPE = "text/csv"


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

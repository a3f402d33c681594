"""The same lists as tables of data: every column, in English words and with decimal points."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from django.http import StreamingHttpResponse

from apps.pages.addresses import ski_path
from apps.pages.fleet.due_form import DueForm
from apps.pages.fleet.fleet_form import FleetForm
from apps.registry.csv_lines import csv_lines
from apps.registry.fleet import fleet_rows
from apps.registry.fleet_columns import NAMES, Cell, cells_of, factor, kept_columns
from apps.registry.fleet_due import Asked, due_rows
from apps.registry.fleet_reasons import KEPT, Kept, reasons_of
from apps.registry.fleet_sentences import reason_sentence
from apps.registry.models.ski import shop_and_tag

# As a program is given them, and in place of the condition's address that of the ski's page.
FLEET_NAMES = (*NAMES, "page")
DUE_NAMES = ("shop", "tag", "status", "due_on", "urgency", "reasons", "why", "page")


def fleet_table(form: FleetForm, handle: str, on: date) -> StreamingHttpResponse:
    """Answer with all skis that are asked for, written while it is sent."""
    rows = fleet_rows(form.selection.of(handle), form.order, kept_columns(on))
    cells = ([*cells_of(row).values(), _page(row[1])] for row in rows)
    return _answer(FLEET_NAMES, cells, "fleet.csv")


def due_table(form: DueForm, handle: str, asked: Asked) -> StreamingHttpResponse:
    """Answer with all skis that are due, the most urgent first, written while it is sent."""
    rows = due_rows(handle, asked, KEPT, selection=form.selection)
    return _answer(DUE_NAMES, _due_cells((Kept(*row) for row in rows), asked), "due.csv")


def _due_cells(rows: Iterable[Kept], asked: Asked) -> Iterator[list[Cell]]:
    for kept in rows:
        reasons = reasons_of(kept, asked)
        codes = " ".join(reason.code for reason in reasons)
        why = " ".join(reason_sentence(reason) for reason in reasons)
        figures = (kept.status or None, kept.due_on.isoformat(), factor(kept.urgency))
        yield [*shop_and_tag(kept.ski), *figures, codes, why, _page(kept.ski)]


def _page(key: str) -> str:
    return ski_path(*shop_and_tag(key))


def _answer(
    names: Sequence[str], rows: Iterable[Sequence[Cell]], filename: str
) -> StreamingHttpResponse:
    return StreamingHttpResponse(
        csv_lines(names, rows),
        content_type="text/csv",
        headers={"Content-Disposition": f'attachment; filename="{filename}"'},
    )

"""Reads a table of visits row by row: drafts of records, or what to mend in which cell."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import BinaryIO, cast

from apps.exchange.visit_cells import CellFault, Cells, TableForm
from apps.exchange.visit_rows import BadTable, Heading, Row, heading_of, rows_of
from apps.exchange.visit_sheets import Sheet, sheets_of
from apps.records.envelope import DescriptionDraft, Draft
from apps.records.errors import InvalidRecord
from apps.records.reading import read_draft

MOST_FAULTS = 200
OWN_ONLY = {"usage": "days_out", "status": "status"}
# Stands in for a date that can't be read, so that the rest of its row is judged too.
SOME_DAY = date(2000, 1, 1)
ENVELOPE = {"/ski/tag": "tag", "/ski/shop": "shop", "/performed_at": "date"}


@dataclass(frozen=True, slots=True)
class Asker:
    """Whose table it is, on which node, and which day it is there."""

    handle: str
    node_host: str
    today: date


@dataclass(frozen=True, slots=True)
class Visit:
    """One row as drafts of records, in the order in which they are written.

    Parameters
    ----------
    line : int
        Line of the file on which the row begins.
    drafts : tuple of Draft
        At least one; a description comes first.
    sheets : tuple of Sheet
        The documents they were read from, which know the column of each part.
    """

    line: int
    drafts: tuple[Draft, ...]
    sheets: tuple[Sheet, ...]

    @property
    def tag_key(self) -> str:
        """The tag of the row, as one string."""
        ski = self.drafts[0].ski
        return f"{ski.shop}/{ski.tag}"

    @property
    def description(self) -> DescriptionDraft | None:
        """What the row says of the ski itself."""
        first = self.drafts[0]
        return first if isinstance(first, DescriptionDraft) else None


@dataclass(slots=True)
class Faults:
    """What is wrong with a table: all of it counted, and the first of it kept."""

    kept: list[CellFault] = field(default_factory=list)
    count: int = 0

    def add(self, fault: CellFault) -> None:
        """Note one."""
        self.count += 1
        if len(self.kept) < MOST_FAULTS:
            self.kept.append(fault)


def visits_of(file: BinaryIO, form: TableForm, asker: Asker, faults: Faults) -> Iterator[Visit]:
    """Read the visits of a table; what is wrong is noted, and its row left out.

    Parameters
    ----------
    file : binary file
        Read from its beginning, one row after the other.
    form : TableForm
        How the table is written.
    asker : Asker
    faults : Faults
        Takes what is wrong. A table with a wrong heading has no visits.
    """
    try:
        rows = rows_of(file, form)
        first = next(rows, None)
        if first is None:
            faults.add(CellFault(1, "", "empty-table", "The table is empty; give it a heading."))
            return
        heading, wrong = heading_of(first, form)
        for fault in wrong:
            faults.add(fault)
        if not wrong:
            yield from _visits(rows, heading, form, asker, faults)
    except BadTable as error:
        faults.add(error.fault)


def _visits(
    rows: Iterator[Row], heading: Heading, form: TableForm, asker: Asker, faults: Faults
) -> Iterator[Visit]:
    for row in rows:
        wrong = list(heading.faults_of(row))
        if not wrong:
            cells = Cells(row.line, heading.cells_of(row), form)
            visit, wrong = read_visit(cells, asker)
            if not wrong:
                yield visit
        for fault in wrong:
            faults.add(fault)


def read_visit(cells: Cells, asker: Asker) -> tuple[Visit, list[CellFault]]:
    """Read one row, with all that is wrong with it; the visit is whole only without faults."""
    day = cells.day("date")
    tag, shop = cells.text("tag") or "", cells.text("shop") or asker.handle
    sheets = sheets_of(cells)
    cells.refuse_unused()
    if day is not None and day > asker.today:
        sentence = f"{day} lies in the future. Correct the date."
        cells.wrong("date", "wrong-state", sentence)
    if not sheets and not cells.faults:
        sentence = "This row says nothing of its ski but the date; fill in another cell."
        cells.wrong("", "nothing-given", sentence)
    envelope = {"ski": {"shop": shop, "tag": tag}, "performed_at": (day or SOME_DAY).isoformat()}
    drafts = [draft for sheet in sheets for draft in _drafts(sheet, envelope, cells, asker)]
    return Visit(cells.line, tuple(drafts), tuple(sheets)), list(dict.fromkeys(cells.faults))


def _drafts(
    sheet: Sheet, envelope: Mapping[str, object], cells: Cells, asker: Asker
) -> Iterator[Draft]:
    sheet.sources |= ENVELOPE
    try:
        draft = read_draft(sheet.kind, {**envelope, "body": sheet.body}, node_host=asker.node_host)
    except InvalidRecord as error:
        for one in error.errors:
            cells.wrong(sheet.column_of(one.pointer), one.code, one.message)
        return
    if sheet.kind in OWN_ONLY and draft.ski.shop != asker.handle:
        sentence = f"Only {draft.ski.shop}, whose tag it is, may say this of its ski."
        cells.wrong(OWN_ONLY[sheet.kind], "not-allowed", sentence)
    yield draft


def registration(visit: Visit, asker: Asker) -> DescriptionDraft:
    """Give the description that puts the tag of a visit on a ski, for a row that has none."""
    first = visit.drafts[0]
    document = {
        "ski": {"shop": first.ski.shop, "tag": first.ski.tag},
        "performed_at": str(first.performed_at),
        "body": {},
    }
    draft = read_draft("description", document, node_host=asker.node_host)
    return cast("DescriptionDraft", draft)

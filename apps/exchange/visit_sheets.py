"""What one row of a table of visits says, as documents: description, job, days out and status."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from apps.exchange.visit_cells import Cells
from apps.exchange.visit_columns import (
    BEVELS,
    COLUMNS,
    DESCRIPTION,
    READINGS,
    REPAIR,
    STATUS,
    TARGETS,
    WAX,
    Form,
)
from apps.records.bench_words import Operation
from apps.records.errors import pointer_of
from apps.records.step import FILLING
from apps.records.vocabulary import Edge, Station, Surface

FINDING = "what:severity:state"
PLACES = {
    str(word): name
    for name, words in (("edge", Edge), ("surface", Surface), ("station", Station))
    for word in words
}


@dataclass(slots=True)
class Sheet:
    """One document that a row becomes, and the column that each part of it came from.

    Parameters
    ----------
    kind : str
        Kind of the record.
    body : dict
        Body of the draft.
    sources : dict
        Column by JSON Pointer into the draft.
    """

    kind: str
    body: dict[str, Any] = field(default_factory=dict)
    sources: dict[str, str] = field(default_factory=dict)

    def put(self, name: str, value: object, column: str) -> None:
        """Put a member into the body, unless its cell is empty."""
        if value is not None:
            self.body[name] = value
            self.sources[pointer_of("body", name)] = column

    def add(self, name: str, members: Mapping[str, tuple[object, str]]) -> None:
        """Add an item to a list of the body, each member with its column."""
        items = self.body.setdefault(name, [])
        given = {key: value for key, (value, _) in members.items() if value is not None}
        place = ("body", name, len(items))
        for key, (_, column) in members.items():
            self.sources[pointer_of(*place, key)] = column
        self.sources[pointer_of(*place)] = next(iter(members.values()))[1]
        items.append(given)

    def column_of(self, pointer: str) -> str:
        """The column of the part at a pointer, or of the nearest part around it; "" for none."""
        while pointer and pointer not in self.sources:
            pointer = pointer.rpartition("/")[0]
        return self.sources.get(pointer, "")


def sheets_of(cells: Cells) -> list[Sheet]:
    """Give the documents that a row becomes; those without a word in them are left out."""
    sheets = [_description(cells), _job(cells), _usage(cells), _status(cells)]
    return [sheet for sheet in sheets if sheet.body]


def cell_value(cells: Cells, column: str) -> object:
    """Read a cell by the form of its column."""
    readers = {Form.DECIMAL: cells.decimal, Form.WHOLE: cells.whole, Form.WORD: cells.word}
    read = readers.get(COLUMNS[column].form, cells.text)
    return read(column)


def _description(cells: Cells) -> Sheet:
    sheet = Sheet("description")
    for column in DESCRIPTION:
        sheet.put(column, cell_value(cells, column), column)
    return sheet


def _usage(cells: Cells) -> Sheet:
    sheet = Sheet("usage")
    sheet.put("days", cells.whole("days_out"), "days_out")
    return sheet


def _status(cells: Cells) -> Sheet:
    sheet = Sheet("status")
    if cells.has(["status"]):
        for column, name in STATUS.items():
            sheet.put(name, cell_value(cells, column), column)
    return sheet


def _job(cells: Cells) -> Sheet:
    sheet = Sheet("job")
    _findings(cells, sheet)
    _steps(cells, sheet)
    _measurements(cells, sheet)
    _bevels(cells, sheet)
    target = {name: (cell_value(cells, column), column) for column, name in TARGETS.items()}
    given = {name: value for name, (value, _) in target.items() if value is not None}
    if given:
        sheet.put("target", given, "")
        sheet.sources |= {pointer_of("body", "target", n): c for n, (_, c) in target.items()}
    sheet.put("remarks", cells.text("remarks"), "remarks")
    if sheet.body:
        sheet.put("technician", cells.text("technician"), "technician")
    return sheet


def _steps(cells: Cells, sheet: Sheet) -> None:
    for word in cells.words("work"):
        members: dict[str, tuple[object, str]] = {"operation": (word, "work")}
        if word == Operation.OTHER:
            members["operation_text"] = (cells.text("work_text"), "work_text")
        for needed, columns in ((word == Operation.WAX, WAX), (word in FILLING, REPAIR)):
            if needed:
                members |= {name: (cell_value(cells, name), name) for name in columns}
        sheet.add("steps", members)


def _findings(cells: Cells, sheet: Sheet) -> None:
    for written in cells.words("findings"):
        parts = written.split(":")
        if len(parts) < len(FINDING.split(":")):
            sentence = f"`{written[:40]}` is no finding; write `{FINDING}`, with places after it."
            cells.wrong("findings", "not-a-finding", sentence)
            continue
        what, severity, state, *places = parts
        members: dict[str, tuple[object, str]] = {
            name: (value, "findings")
            for name, value in (("what", what), ("severity", severity), ("state", state))
        }
        if what == "other":
            members["what_text"] = (cells.text("finding_text"), "finding_text")
        where = dict(_where(cells, places))
        sheet.add("findings", {**members, "where": (where or None, "findings")})


def _where(cells: Cells, places: list[str]) -> Iterator[tuple[str, str]]:
    named: set[str] = set()
    for word in places:
        name = PLACES.get(word, "")
        if not name or name in named:
            reason = "names a place twice" if name else "is no place"
            sentence = f"`{word[:40]}` {reason}; write an edge, a surface or a station, one each."
            cells.wrong("findings", "not-a-place", sentence)
        else:
            named.add(name)
            yield name, word


def _measurements(cells: Cells, sheet: Sheet) -> None:
    for column, reading in READINGS.items():
        value = cells.decimal(column)
        if value is None:
            continue
        sheet.add(
            "measurements",
            {
                "value": (value, column),
                "quantity": (str(reading.quantity), column),
                "edge": (reading.edge or None, column),
                "moment": (reading.moment or None, column),
                "station": (cells.word("measured_at"), "measured_at"),
                "instrument": (cells.text("instrument"), "instrument"),
                "uncertainty": (cells.decimal("reading_uncertainty_mm"), "reading_uncertainty_mm"),
            },
        )


def _bevels(cells: Cells, sheet: Sheet) -> None:
    for edge in dict.fromkeys(bevel.edge for bevel in BEVELS.values()):
        columns = {b.field: name for name, b in BEVELS.items() if b.edge == edge}
        given = {name: (cells.decimal(column), column) for name, column in columns.items()}
        if any(value is not None for value, _ in given.values()):
            edges: dict[str, tuple[object, str]] = {"edge": (edge, next(iter(columns.values())))}
            basis = {"basis": (cells.word("bevel_basis"), "bevel_basis")}
            sheet.add("bevel_settings", {**given, **edges, **basis})

"""Writes the tables that tests read, and reads them."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import date
from typing import Any

from apps.exchange.visit_cells import CellFault, TableForm
from apps.exchange.visit_columns import COLUMNS
from apps.exchange.visit_table import Asker, Faults, Visit, visits_of

HANDLE = "fellbench@node.example"
ASKER = Asker(HANDLE, "node.example", date(2025, 3, 1))
USUAL = TableForm()
ROW = {"date": "2025-01-31", "tag": "FB-0042", "work": "wax"}


def read(data: bytes, form: TableForm = USUAL) -> tuple[list[Visit], list[CellFault]]:
    """Read a table from its bytes."""
    faults = Faults()
    visits = list(visits_of(io.BytesIO(data), form, ASKER, faults))
    return visits, faults.kept


def a_table(*rows: dict[str, str], **more: str) -> bytes:
    """Write rows as a table; a name that is no keyword's, such as `date`, comes by the row."""
    given = [{**ROW, **more, **row} for row in rows or ({},)]
    names = list(dict.fromkeys(name for row in given for name in row))
    lines = [names, *([row.get(name, "") for name in names] for row in given)]
    return "".join(",".join(map(quoted, line)) + "\r\n" for line in lines).encode()


def quoted(cell: str) -> str:
    """A cell in quotes (RFC 4180, section 2, rules 5 to 7)."""
    return '"' + cell.replace('"', '""') + '"'


def bodies(visit: Visit) -> dict[str, dict[str, Any]]:
    """The bodies of a visit's drafts, by kind."""
    return {
        draft.kind: draft.model_dump(mode="json", exclude_none=True)["body"]
        for draft in visit.drafts
    }


def body_of(kind: str, **cells: str) -> dict[str, Any]:
    """The one body of a kind that a row with these cells becomes."""
    (visit,), faults = read(a_table(**cells))
    assert faults == []
    return bodies(visit)[kind]


def codes(faults: Sequence[CellFault]) -> list[tuple[int, str, str]]:
    """Where each fault is, and which."""
    return [(fault.line, fault.column, fault.code) for fault in faults]


def names() -> set[str]:
    """The names of all columns."""
    return set(COLUMNS)

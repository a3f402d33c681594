"""What became of each line of an import, and how refusals are told by line, place and column."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from apps.exchange.visit_cells import CellFault
from apps.exchange.visit_sheets import Sheet
from apps.records.errors import FieldError, InvalidRecord, MalformedJson, TooLarge
from apps.registry.errors import InvalidSubmission, Refused, RegistryError

MALFORMED = "malformed-json"
TOO_LARGE = "too-large"


class Outcome(StrEnum):
    """What became of a line."""

    CREATED = "created"
    ALREADY_HERE = "already-here"
    REFUSED = "refused"
    SKIPPED = "skipped"


@dataclass(frozen=True, slots=True)
class LineFault:
    """One thing to mend in a line.

    Parameters
    ----------
    pointer : str
        JSON Pointer (RFC 6901) into the line; "" for a table or for the whole of it.
    column : str
        Column of the table; "" for a line of JSON or for a whole row.
    code : str
        Stable word for the kind of mistake.
    sentence : str
        Names the mend.
    """

    pointer: str
    column: str
    code: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Result:
    """What became of one line.

    Parameters
    ----------
    line : int
        Its number in the file, counted from 1.
    outcome : Outcome
    records : tuple of str
        Ids of the records that it is; a row of a table may be several.
    refusal : str
        For a refused line the code of the error that refused it, as the registry names it.
    faults : tuple of LineFault
        For a refused line what is to be mended; at least one.
    reason : str
        For a skipped line, why.
    """

    line: int
    outcome: Outcome
    records: tuple[str, ...] = ()
    refusal: str = ""
    faults: tuple[LineFault, ...] = ()
    reason: str = ""


@dataclass(slots=True)
class Counts:
    """How many lines came to what."""

    created: int = 0
    already_here: int = 0
    refused: int = 0
    skipped: int = 0

    def add(self, result: Result) -> None:
        """Count one."""
        name = result.outcome.replace("-", "_")
        setattr(self, name, getattr(self, name) + 1)


def unreadable(line: int, error: InvalidRecord) -> Result:
    """Give the result of a line that holds no record and no draft."""
    codes = {TooLarge: TOO_LARGE, MalformedJson: MALFORMED}
    refusal = codes.get(type(error), InvalidSubmission.code)
    faults = tuple(_fault_of(one, "", ()) for one in error.errors)
    return Result(line, Outcome.REFUSED, refusal=refusal, faults=faults)


def refused(
    line: int, errors: Iterable[RegistryError], *, under: str, sheets: tuple[Sheet, ...]
) -> Result:
    """Give the result of a line that the registry refuses.

    Parameters
    ----------
    line : int
    errors : iterable of RegistryError
        At least one; `submission` counts within the line.
    under : str
        Where in the line the record stands that the pointers are about.
    sheets : tuple of Sheet
        For a row of a table, the document of each submission.
    """
    listed = list(errors)
    faults = [fault for error in listed for fault in _faults(error, under, sheets)]
    refusal = listed[0].code
    return Result(line, Outcome.REFUSED, refusal=refusal, faults=tuple(dict.fromkeys(faults)))


def _faults(error: RegistryError, under: str, sheets: tuple[Sheet, ...]) -> Iterator[LineFault]:
    sheet = sheets[error.submission or 0 : (error.submission or 0) + 1]
    found = [FieldError(error.pointer, error.code, error.sentence)]
    if isinstance(error, InvalidSubmission):
        found = list(error.faults)
    for one in found:
        yield _fault_of(one, under, sheet)


def _fault_of(one: FieldError, under: str, sheet: tuple[Sheet, ...]) -> LineFault:
    if sheet:
        return LineFault("", sheet[0].column_of(one.pointer), one.code, one.message)
    return LineFault(f"{under}{one.pointer}", "", one.code, one.message)


def of_cells(faults: Iterable[CellFault]) -> list[Result]:
    """Give the faults of a table as refused lines, one a line, in the order of the file."""
    by_line: dict[int, list[LineFault]] = {}
    for one in sorted(faults, key=lambda fault: fault.line):
        fault = LineFault("", one.column, one.code, one.sentence)
        by_line.setdefault(one.line, []).append(fault)
    return [
        Result(line, Outcome.REFUSED, refusal=InvalidSubmission.code, faults=tuple(found))
        for line, found in by_line.items()
    ]


def each_of(error: RegistryError) -> tuple[RegistryError, ...]:
    """Give the errors that one is made of."""
    return error.errors if isinstance(error, Refused) else (error,)

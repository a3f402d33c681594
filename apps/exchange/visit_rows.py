"""The rows of a CSV file (RFC 4180): bytes to text to named cells, with what is wrong and where."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import BinaryIO

from apps.exchange.visit_cells import CellFault, Delimiter, TableForm, near
from apps.exchange.visit_columns import COLUMNS
from apps.records.forms import shown

BYTE_ORDER_MARK = "\ufeff"
MOST_CELL_CHARACTERS = 20_000
MOST_LINE_BYTES = 2**20


class BadTable(Exception):
    """The file can't be read as a table from this place on; nothing after it was looked at."""

    def __init__(self, fault: CellFault) -> None:
        super().__init__(fault.sentence)
        self.fault = fault


@dataclass(frozen=True, slots=True)
class Row:
    """One row: the line on which it begins, and its cells in the order of the heading."""

    line: int
    cells: tuple[str, ...]

    @property
    def is_blank(self) -> bool:
        """Whether nothing stands in it; spreadsheets leave such rows behind."""
        return not any(self.cells)


def template(delimiter: Delimiter = Delimiter.COMMA) -> bytes:
    """Give the heading of a table with all columns, to be filled in."""
    return (delimiter.character.join(COLUMNS) + "\r\n").encode()


def rows_of(file: BinaryIO, form: TableForm) -> Iterator[Row]:
    """Read the rows of a file, the heading first, without the blank ones.

    Parameters
    ----------
    file : binary file
        Read from its beginning, a line at a time.
    form : TableForm

    Raises
    ------
    BadTable
        For other characters than UTF-8, quotes that are wrong or left open, a cell of absurd
        length.
    """
    file.seek(0)
    reader = csv.reader(_lines(file), delimiter=form.delimiter.character, strict=True)
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise BadTable(_of_quotes(line, error)) from error
        row = Row(line, tuple(cell.strip() for cell in cells))
        _check_lengths(row)
        if not row.is_blank:
            yield row


def _of_quotes(line: int, error: csv.Error) -> CellFault:
    if "field larger" in str(error):
        return _too_long(line)
    sentence = (
        f"The quotes of the row that begins here are wrong or left open ({error}). A cell in "
        "quotes ends with one, and a quote inside of it is written twice."
    )
    return CellFault(line, "", "wrong-quotes", sentence)


def _check_lengths(row: Row) -> None:
    if any(len(cell) > MOST_CELL_CHARACTERS for cell in row.cells):
        raise BadTable(_too_long(row.line))


def _too_long(line: int) -> CellFault:
    sentence = (
        f"A cell of this row has more than {MOST_CELL_CHARACTERS} characters; a quote may have "
        "been left open."
    )
    return CellFault(line, "", "cell-too-long", sentence)


def _lines(file: BinaryIO) -> Iterator[str]:
    """Decode a file line by line, so that a wrong byte is named by its line."""
    for number, raw in enumerate(_raw_lines(file), start=1):
        try:
            text = raw.decode("utf-8")
        except UnicodeDecodeError as error:
            raise BadTable(_no_utf_8(number)) from error
        # UTF-16 without letters beyond ASCII is UTF-8 full of zeros.
        if "\0" in text:
            raise BadTable(_no_utf_8(number))
        yield text.removeprefix(BYTE_ORDER_MARK) if number == 1 else text


def _raw_lines(file: BinaryIO) -> Iterator[bytes]:
    """Split at CR LF, LF or a lone CR."""
    for number, piece in enumerate(iter(lambda: file.readline(MOST_LINE_BYTES), b""), start=1):
        if len(piece) == MOST_LINE_BYTES:
            raise BadTable(_too_long(number))
        yield from piece.splitlines(keepends=True)


def _no_utf_8(line: int) -> CellFault:
    sentence = "This line is not UTF-8; save the table as CSV in UTF-8."
    return CellFault(line, "", "not-utf-8", sentence)


@dataclass(frozen=True, slots=True)
class Heading:
    """The columns of a table in their order; "" for a column without a name."""

    line: int
    names: tuple[str, ...]

    def cells_of(self, row: Row) -> dict[str, str]:
        """Give the cells of a row by column."""
        return {name: cell for name, cell in zip(self.names, row.cells, strict=True) if name}

    def faults_of(self, row: Row) -> Iterator[CellFault]:
        """Say what is wrong with the number of cells of a row, or with one under no name."""
        if len(row.cells) != len(self.names):
            sentence = (
                f"This row has {len(row.cells)} cells and the heading {len(self.names)}. Either a "
                "cell needs quotes, or the row was cut off."
            )
            yield CellFault(row.line, "", "wrong-number-of-cells", sentence)
            return
        for number, (name, cell) in enumerate(zip(self.names, row.cells, strict=True), start=1):
            if cell and not name:
                sentence = f"{shown(cell)} stands in column {number}, which has no name."
                yield CellFault(row.line, "", "unnamed-column", sentence)


def heading_of(row: Row, form: TableForm) -> tuple[Heading, list[CellFault]]:
    """Read the heading, and say all that is wrong with it."""
    names = tuple(cell.lower() for cell in row.cells)
    faults = [*_unknown(row, names, form), *_doubled(row, names), *_missing(row, names)]
    return Heading(row.line, names), faults


def _unknown(row: Row, names: Sequence[str], form: TableForm) -> Iterator[CellFault]:
    for name in names:
        if name and name not in COLUMNS:
            yield CellFault(row.line, name[:40], "unknown-column", _no_column(name, form))


def _no_column(name: str, form: TableForm) -> str:
    if name.startswith("sep="):
        return "This line speaks to one program only; take it out, so that the heading is first."
    for other in Delimiter:
        if other is not form.delimiter and other.character in name:
            return (
                f"The heading is one cell by {form.delimiter}s; say that the delimiter is {other}."
            )
    hint = near(name, COLUMNS)
    mend = f"did you mean `{hint}`?" if hint else "take it out; the template has those there are."
    return f"There is no column {shown(name)}; {mend}"


def _doubled(row: Row, names: Sequence[str]) -> Iterator[CellFault]:
    for name in dict.fromkeys(names):
        if name and names.count(name) > 1:
            sentence = f"The column `{name[:40]}` stands twice; give it once."
            yield CellFault(row.line, name[:40], "doubled-column", sentence)


def _missing(row: Row, names: Sequence[str]) -> Iterator[CellFault]:
    for column in COLUMNS.values():
        if column.required and column.name not in names:
            sentence = f"The column `{column.name}` is missing; every visit needs it."
            yield CellFault(row.line, column.name, "missing-column", sentence)

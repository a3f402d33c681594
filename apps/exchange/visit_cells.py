"""Reads the cells of one row: dates, numbers and words as the sender said they are written."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from apps.exchange.visit_columns import COLUMNS
from apps.records.forms import shown


class DecimalMark(StrEnum):
    """What stands before the decimals of a number."""

    POINT = "point"
    COMMA = "comma"


class DateOrder(StrEnum):
    """How a date is written."""

    ISO = "iso"
    DAY_FIRST = "day-first"


class Delimiter(StrEnum):
    """What stands between two cells."""

    COMMA = "comma"
    SEMICOLON = "semicolon"
    TAB = "tab"

    @property
    def character(self) -> str:
        """The character itself."""
        return {"comma": ",", "semicolon": ";", "tab": "\t"}[self.value]


@dataclass(frozen=True, slots=True)
class TableForm:
    """How a table is written; nothing of it is guessed."""

    decimal: DecimalMark = DecimalMark.POINT
    dates: DateOrder = DateOrder.ISO
    delimiter: Delimiter = Delimiter.COMMA


@dataclass(frozen=True, slots=True)
class CellFault:
    """One thing to mend in a table.

    Parameters
    ----------
    line : int
        Line of the file on which the row begins, counted from 1.
    column : str
        Name of the column; "" for the row as a whole.
    code : str
        Stable word for the kind of mistake.
    sentence : str
        Names the mend.
    """

    line: int
    column: str
    code: str
    sentence: str


WORD_BREAKS = re.compile(r"[\s,;]+")
_NUMBER = re.compile(r"[+-]?[0-9]{1,12}(?:([.,])[0-9]{1,12})?", re.ASCII)
_WHOLE = re.compile(r"[+-]?[0-9]{1,12}", re.ASCII)
_ISO = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})", re.ASCII)
_DAY_FIRST = re.compile(r"([0-9]{1,2})[./-]([0-9]{1,2})[./-]([0-9]{4})", re.ASCII)
_WRITTEN = {
    DateOrder.ISO: "2025-01-31, or say that dates are `day-first`",
    DateOrder.DAY_FIRST: "31.01.2025, or say that dates are `iso`",
}
MARKS = {DecimalMark.POINT: ".", DecimalMark.COMMA: ","}


class Cells:
    """The filled cells of one row; notes what is wrong and which of them were looked at."""

    def __init__(self, line: int, cells: Mapping[str, str], form: TableForm) -> None:
        self.line = line
        self.form = form
        self.faults: list[CellFault] = []
        self._cells = {name: text for name, text in cells.items() if text}
        self._unused = dict.fromkeys(self._cells)

    def wrong(self, column: str, code: str, sentence: str) -> None:
        """Note a fault."""
        self.faults.append(CellFault(self.line, column, code, sentence))

    def has(self, names: Iterable[str]) -> bool:
        """Say whether any of the cells is filled."""
        return any(name in self._cells for name in names)

    def text(self, column: str) -> str | None:
        """The text of a cell; None for an empty one."""
        self._unused.pop(column, None)
        return self._cells.get(column)

    def words(self, column: str) -> list[str]:
        """The words of a cell, in lower case."""
        text = self.text(column) or ""
        return [word.lower() for word in WORD_BREAKS.split(text) if word]

    def word(self, column: str) -> str | None:
        """The one word of a cell, in lower case."""
        text = self.text(column)
        return None if text is None else text.lower()

    def whole(self, column: str) -> int | None:
        """The whole number of a cell."""
        text = self.text(column)
        if text is None:
            return None
        if _WHOLE.fullmatch(text):
            return int(text)
        self.wrong(
            column, "not-an-integer", f"{shown(text)} is no whole number; write digits only."
        )
        return None

    def decimal(self, column: str) -> str | None:
        """The number of a cell, with a point."""
        text = self.text(column)
        if text is None:
            return None
        matched = _NUMBER.fullmatch(text)
        if matched is None:
            self.wrong(column, "not-a-decimal", _no_number(text, self.form.decimal))
            return None
        if matched.group(1) not in {None, MARKS[self.form.decimal]}:
            self.wrong(column, "other-decimal-mark", _other_mark(text, self.form.decimal))
            return None
        return text.replace(",", ".")

    def day(self, column: str) -> date | None:
        """The date of a cell."""
        text = self.text(column)
        if text is None:
            self.wrong(column, "missing", f"`{column}` is empty; give it.")
            return None
        parts = _date_parts(text, self.form.dates)
        if parts is None:
            sentence = f"{shown(text)} is no date as announced; write {_WRITTEN[self.form.dates]}."
            self.wrong(column, "not-a-date", sentence)
            return None
        try:
            return date(*parts)
        except ValueError:
            self.wrong(column, "not-a-date", _unreal(text, parts))
            return None

    def refuse_unused(self) -> None:
        """Note each filled cell that nothing in the row asked for."""
        for column in self._unused:
            sentence = f"Nothing in this row goes with `{column}`: {COLUMNS[column].meaning}"
            self.wrong(column, "does-not-belong", f"{sentence} Leave it empty or add the rest.")


def _date_parts(text: str, order: DateOrder) -> tuple[int, int, int] | None:
    matched = (_ISO if order is DateOrder.ISO else _DAY_FIRST).fullmatch(text)
    if matched is None:
        return None
    numbers = [int(part) for part in matched.groups()]
    year, month, day = numbers if order is DateOrder.ISO else reversed(numbers)
    return year, month, day


def _unreal(text: str, parts: tuple[int, int, int]) -> str:
    _, month, _ = parts
    if not 1 <= month <= 12:
        return f"{shown(text)} has no such month: {month}. Write the day and the month in order."
    return f"{shown(text)} is no day of the calendar; correct it."


def _no_number(text: str, mark: DecimalMark) -> str:
    if "," in text and "." in text:
        return f"{shown(text)} has both a point and a comma; write no mark between thousands."
    example = f"1{MARKS[mark]}785"
    return f"{shown(text)} is no number; write it like {example}, without a unit."


def _other_mark(text: str, mark: DecimalMark) -> str:
    other = DecimalMark.COMMA if mark is DecimalMark.POINT else DecimalMark.POINT
    return (
        f"{shown(text)} has a {other} where a {mark} was announced; write it with a {mark}, or say "
        f"that the decimal mark is a {other}."
    )


def near(name: str, names: Iterable[str]) -> str | None:
    """Give the name that is most like a misspelt one, if any is."""
    return next(iter(difflib.get_close_matches(name, sorted(names), n=1)), None)

"""Label stock by its dimensions: sheets of labels and rolls, in whole micrometres.

The dimensions are common practice without a source: measure your own sheet before a large run.
The block of labels stands in the middle of its sheet, so the margins follow from the rest.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

MM = 1000
A4 = (210 * MM, 297 * MM)
LETTER = (215_900, 279_400)  # 8.5 by 11 inches of 25.4 mm


def mm_text(length_um: int) -> str:
    """Write a length exactly in mm, with a full stop, as drawings and style sheets read it."""
    sign = "-" if length_um < 0 else ""
    whole, rest = divmod(abs(length_um), MM)
    return f"{sign}{whole}.{rest:03d}".rstrip("0").rstrip(".")


@dataclass(frozen=True, slots=True)
class Place:
    """The upper left corner of a label on its sheet."""

    x_um: int
    y_um: int


@dataclass(frozen=True, slots=True)
class Stock:
    """One kind of label stock; a roll is a page of one label.

    Parameters
    ----------
    name : str
        How addresses call it: its dimensions.
    page_width_um, page_height_um : int
        Size of a sheet, or of one label of a roll [um].
    label_width_um, label_height_um : int
        Size of a label [um].
    columns, rows : int
        Labels beside and below each other on a sheet.
    gap_x_um, gap_y_um : int
        Between two labels [um].
    """

    name: str
    page_width_um: int
    page_height_um: int
    label_width_um: int
    label_height_um: int
    columns: int = 1
    rows: int = 1
    gap_x_um: int = 0
    gap_y_um: int = 0

    @property
    def count(self) -> int:
        """Labels on a sheet."""
        return self.columns * self.rows

    @property
    def is_roll(self) -> bool:
        """Whether each label is a page of its own."""
        return self.count == 1

    @property
    def left_um(self) -> int:
        """Margin left of the labels [um], rounded down."""
        return (
            self.page_width_um - self._block(self.columns, self.label_width_um, self.gap_x_um)
        ) // 2

    @property
    def top_um(self) -> int:
        """Margin above the labels [um], rounded down."""
        return (
            self.page_height_um - self._block(self.rows, self.label_height_um, self.gap_y_um)
        ) // 2

    @staticmethod
    def _block(count: int, size_um: int, gap_um: int) -> int:
        return count * size_um + (count - 1) * gap_um

    def place(self, number: int) -> Place:
        """Give where a label of a sheet is, counted from 0, line by line."""
        row, column = divmod(number, self.columns)
        return Place(
            self.left_um + column * (self.label_width_um + self.gap_x_um),
            self.top_um + row * (self.label_height_um + self.gap_y_um),
        )


SHEETS = (
    Stock("a4-3x8-70x37", *A4, 70 * MM, 37 * MM, 3, 8),
    Stock("a4-3x7-63.5x38.1", *A4, 63_500, 38_100, 3, 7, gap_x_um=2_500),
    Stock("a4-4x10-48.5x25.4", *A4, 48_500, 25_400, 4, 10),
    Stock("letter-3x10-66.7x25.4", *LETTER, 66_675, 25_400, 3, 10, gap_x_um=3_175),
)


def roll(width_um: int, height_um: int) -> Stock:
    """Give the stock of a roll by the size of its labels [um]."""
    name = f"roll-{mm_text(width_um)}x{mm_text(height_um)}"
    return Stock(name, width_um, height_um, width_um, height_um)


ROLLS = (roll(50 * MM, 25 * MM), roll(57 * MM, 32 * MM))
STOCKS = {stock.name: stock for stock in (*SHEETS, *ROLLS)}


def sheets_of(stock: Stock, count: int, *, start: int = 1) -> Iterator[list[tuple[int, int]]]:
    """Spread labels over sheets.

    Parameters
    ----------
    stock : Stock
    count : int
        How many labels.
    start : int
        The first free label of the first sheet, counted from 1.

    Yields
    ------
    list of (int, int)
        For one sheet: which label, and on which place of the sheet, both counted from 0.
    """
    places = range(start - 1, start - 1 + count)
    for first in range(0, places.stop, stock.count):
        on_sheet = range(max(first, places.start), min(first + stock.count, places.stop))
        yield [(place - places.start, place - first) for place in on_sheet]

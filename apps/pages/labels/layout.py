"""What stands where on one label, in whole micrometres from its upper left corner."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass

from apps.pages.labels.code import QUIET_MODULES, Code, code_that_fits
from apps.pages.labels.stock import Stock

# A printer may slip by as much as this before a label loses something; common practice, no source.
SAFE_UM = 1_500
# A fixed-width letter is this part of its height wide; the drawing stretches it to exactly that.
ADVANCE = 0.6
LINE = 1.15
# A tag is broken into lines only where it would be smaller than this on one.
EASY_FONT_UM = 3_500
LARGEST_FONT_UM = 9_000
LEAST_FONT_UM = 2_000
SHOP_FONT_UM = 2_000
MOST_LINES = 4
MOST_SHOP_LINES = 2
MARKS = "-_."


class DoesNotFit(Exception):
    """The label is too small for this tag with a code that a camera reads."""


@dataclass(frozen=True, slots=True)
class LabelText:
    """What a label says.

    Parameters
    ----------
    tag : str
    address : str
        What the code leads to.
    shop : str
        Label of the shop.
    has_check : bool
        Whether the tag's last character is a check character, which is underlined.
    """

    tag: str
    address: str
    shop: str
    has_check: bool


@dataclass(frozen=True, slots=True)
class TextLine:
    """One line of letters of a fixed width: its left end on the base line [um]."""

    text: str
    x_um: int
    y_um: int
    font_um: int

    @property
    def width_um(self) -> int:
        """How wide the line is [um]."""
        return _width(len(self.text), self.font_um)


@dataclass(frozen=True, slots=True)
class Underline:
    """The line under the check character [um]."""

    x_um: int
    y_um: int
    width_um: int


@dataclass(frozen=True, slots=True)
class Layout:
    """One label, laid out.

    Parameters
    ----------
    code : Code
    code_x_um, code_y_um : int
        Upper left corner of its first module, inside the quiet zone.
    module_um : int
    tag : tuple of TextLine
    underline : Underline or None
    shop : tuple of TextLine
    """

    code: Code
    code_x_um: int
    code_y_um: int
    module_um: int
    tag: tuple[TextLine, ...]
    underline: Underline | None
    shop: tuple[TextLine, ...]


def _width(letters: int, font_um: int) -> int:
    return round(letters * ADVANCE * font_um)


@dataclass(frozen=True, slots=True)
class _Column:
    """Where the letters go, right of the code."""

    x_um: int
    y_um: int
    width_um: int
    height_um: int


def lay_out(label: LabelText, stock: Stock) -> Layout:
    """Lay out one label: the code on the left, tag and shop right of it.

    Raises
    ------
    DoesNotFit
        If the code's modules or the letters of the tag would be too small to be read.
    """
    height = stock.label_height_um - 2 * SAFE_UM
    width = stock.label_width_um - 2 * SAFE_UM
    fitting = code_that_fits(label.address, min(height, width // 2))
    if fitting is None:
        raise DoesNotFit
    code, module_um = fitting
    side = code.modules_with_quiet_zone * module_um
    top = SAFE_UM + (height - side) // 2
    column = _Column(SAFE_UM + side, SAFE_UM, width - side, height)
    quiet = QUIET_MODULES * module_um
    return Layout(code, SAFE_UM + quiet, top + quiet, module_um, *_texts(label, column))


def _texts(
    label: LabelText, column: _Column
) -> tuple[tuple[TextLine, ...], Underline | None, tuple[TextLine, ...]]:
    shop_lines = _shop_lines(label.shop, column)
    room = column.height_um - round(len(shop_lines) * SHOP_FONT_UM * LINE)
    parts, font_um = _broken(label.tag, column.width_um, room)
    spare = room - round(font_um * (len(parts) * LINE + 0.1))
    tag = tuple(_lines(parts, column, font_um, column.y_um + spare // 2))
    below = column.y_um + column.height_um - round(len(shop_lines) * SHOP_FONT_UM * LINE)
    shop = tuple(_lines(shop_lines, column, SHOP_FONT_UM, below))
    return tag, _underline(tag[-1]) if label.has_check else None, shop


def _lines(parts: list[str], column: _Column, font_um: int, top_um: int) -> Iterator[TextLine]:
    for number, part in enumerate(parts):
        yield TextLine(part, column.x_um, top_um + round(font_um * (1 + number * LINE)), font_um)


def _underline(last: TextLine) -> Underline:
    letter = _width(1, last.font_um)
    return Underline(
        last.x_um + last.width_um - letter, last.y_um + round(0.12 * last.font_um), letter
    )


def _shop_lines(shop: str, column: _Column) -> list[str]:
    letters = int(column.width_um / (ADVANCE * SHOP_FONT_UM))
    return textwrap.wrap(
        shop, max(letters, 2), max_lines=MOST_SHOP_LINES, placeholder="…", break_on_hyphens=False
    )


def _broken(tag: str, width_um: int, height_um: int) -> tuple[list[str], int]:
    """Break a tag into as few lines as make it easy to read, else into the largest letters."""
    choices = [(parts, _font(parts, width_um, height_um)) for parts in _breaks(tag)]
    easy = next((choice for choice in choices if choice[1] >= EASY_FONT_UM), None)
    parts, font_um = easy or max(choices, key=lambda choice: choice[1])
    if font_um < LEAST_FONT_UM:
        raise DoesNotFit
    return parts, font_um


def _font(parts: list[str], width_um: int, height_um: int) -> int:
    by_width = width_um / (ADVANCE * max(len(part) for part in parts))
    # Room for the underline stays below the last line.
    by_height = height_um / (LINE * len(parts) + 0.1)
    return int(min(by_width, by_height, LARGEST_FONT_UM))


def _breaks(tag: str) -> Iterator[list[str]]:
    """Break a tag into 1, 2, ... lines of about the same length, after a mark where one is near."""
    for count in range(1, min(MOST_LINES, len(tag)) + 1):
        parts, rest = [], tag
        for left in range(count, 1, -1):
            cut = _cut(rest, -(-len(rest) // left))
            parts.append(rest[:cut])
            rest = rest[cut:]
        yield [*parts, rest]


def _cut(text: str, usual: int) -> int:
    near = [usual, usual - 1, usual + 1, usual - 2]
    return next((cut for cut in near if 0 < cut < len(text) and text[cut - 1] in MARKS), usual)

"""Sheets of labels as a template prints them: every length in mm, written exactly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from apps.pages.labels.layout import LabelText, Layout, TextLine, lay_out
from apps.pages.labels.stock import Stock, mm_text, sheets_of


@dataclass(frozen=True, slots=True)
class Slip:
    """How far the printer's paper is off, which is printed the other way [um]."""

    x_um: int = 0
    y_um: int = 0


@dataclass(frozen=True, slots=True)
class DrawnText:
    """A line of letters, stretched to exactly its width."""

    text: str
    x: str
    y: str
    size: str
    width: str


@dataclass(frozen=True, slots=True)
class DrawnLabel:
    """One label on its sheet; all lengths in mm."""

    tag: str
    x: str
    y: str
    code_x: str
    code_y: str
    module: str
    path: str
    lines: tuple[DrawnText, ...]
    shop: tuple[DrawnText, ...]
    underline: tuple[str, str, str] | None


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet."""

    number: int
    labels: tuple[DrawnLabel, ...]

    @property
    def first(self) -> str:
        """Tag of its first label."""
        return self.labels[0].tag

    @property
    def last(self) -> str:
        """Tag of its last label."""
        return self.labels[-1].tag


@dataclass(frozen=True, slots=True)
class Drawn:
    """Some sheets of many.

    Parameters
    ----------
    sheets : tuple of Sheet
    parts : int
        How many such parts there are in all.
    """

    sheets: tuple[Sheet, ...]
    parts: int


# A code takes some milliseconds, and a page of very many sheets takes a browser long, too.
LABELS_A_PART = 300


def draw_sheets(
    texts: Sequence[LabelText],
    stock: Stock,
    *,
    start: int = 1,
    slip: Slip = Slip(),
    part: int = 1,
) -> Drawn:
    """Draw one part of the sheets that labels take.

    Parameters
    ----------
    texts : sequence of LabelText
    stock : Stock
    start : int
        The first free label of the first sheet, counted from 1.
    slip : Slip
        Is added to where each label stands.
    part : int
        Which part, counted from 1; one beyond the last has no sheets.

    Raises
    ------
    DoesNotFit
        If a label is too small for its tag or its code.
    """
    sheets = list(enumerate(sheets_of(stock, len(texts), start=start), start=1))
    a_part = max(1, LABELS_A_PART // stock.count)
    drawn = tuple(
        Sheet(number, tuple(_drawn(texts[which], stock, place, slip) for which, place in sheet))
        for number, sheet in sheets[(part - 1) * a_part : part * a_part]
    )
    return Drawn(drawn, -(-len(sheets) // a_part))


def _drawn(text: LabelText, stock: Stock, place: int, slip: Slip) -> DrawnLabel:
    laid_out, corner = lay_out(text, stock), stock.place(place)
    return DrawnLabel(
        tag=text.tag,
        x=mm_text(corner.x_um + slip.x_um),
        y=mm_text(corner.y_um + slip.y_um),
        code_x=mm_text(laid_out.code_x_um),
        code_y=mm_text(laid_out.code_y_um),
        module=mm_text(laid_out.module_um),
        path=laid_out.code.path,
        lines=tuple(_text(line) for line in laid_out.tag),
        shop=tuple(_text(line) for line in laid_out.shop),
        underline=_underline(laid_out),
    )


def _text(line: TextLine) -> DrawnText:
    lengths = (line.x_um, line.y_um, line.font_um, line.width_um)
    return DrawnText(line.text, *(mm_text(length) for length in lengths))


def _underline(laid_out: Layout) -> tuple[str, str, str] | None:
    line = laid_out.underline
    if line is None:
        return None
    return mm_text(line.x_um), mm_text(line.y_um), mm_text(line.width_um)

"""Prints a page and reads from the PDF what lies where on the paper, in millimetres."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from playwright.sync_api import Page
from pypdf import PageObject, PdfReader

MM_PER_POINT = 25.4 / 72
Matrix = Sequence[float]


@dataclass(frozen=True)
class Written:
    """A run of text on the paper.

    Parameters
    ----------
    text : str
    x_mm, y_mm : float
        Where its baseline begins, from the left and from the upper edge of the sheet.
    """

    text: str
    x_mm: float
    y_mm: float


@dataclass(frozen=True)
class Sheet:
    """One printed sheet.

    Parameters
    ----------
    width_mm, height_mm : float
    written : tuple of Written
    """

    width_mm: float
    height_mm: float
    written: tuple[Written, ...]

    @property
    def text(self) -> str:
        """All that is written on it."""
        return " ".join(run.text for run in self.written)


def printed(page: Page) -> list[Sheet]:
    """Print the page on the paper that its own style asks for."""
    data = page.pdf(prefer_css_page_size=True, print_background=True)
    return [_sheet(one) for one in PdfReader(io.BytesIO(data)).pages]


def _sheet(page: PageObject) -> Sheet:
    width_mm, height_mm = (float(side) * MM_PER_POINT for side in page.mediabox[2:])
    written: list[Written] = []
    page.extract_text(visitor_text=_keeping(written, height_mm))
    return Sheet(width_mm, height_mm, tuple(written))


def _keeping(written: list[Written], height_mm: float) -> Callable[..., None]:
    def keep(text: str, cm: Matrix, tm: Matrix, *_: Any) -> None:
        if text.strip():
            x, y = _through(cm, tm[4], tm[5])
            written.append(Written(text.strip(), x * MM_PER_POINT, height_mm - y * MM_PER_POINT))

    return keep


def _through(matrix: Matrix, x: float, y: float) -> tuple[float, float]:
    a, b, c, d, e, f = matrix
    return a * x + c * y + e, b * x + d * y + f

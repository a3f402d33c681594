"""What comes out of the printer, in millimetres."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from playwright.sync_api import Page

from tests.browser.printing import Sheet, Written, printed
from tests.browser.visits import Visits

WITHIN_MM = 0.05
# A frame's box is measured over its line, which is 0.1 mm wide.
FRAME_WITHIN_MM = 0.12
MM_PER_PX = 25.4 / 96
# A PDF counts in points, and a browser rounds a sheet to whole ones.
SHEET_WITHIN_MM = 0.36
LEAST_CODE_MM = 25
TAG = "VHL-"


@dataclass(frozen=True)
class Paper:
    """One kind of sheet or roll; the sizes are common practice, no source."""

    stock: str
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    columns: int
    step_x_mm: float
    step_y_mm: float
    on_first: int


PAPERS = (
    Paper("a4-3x8-70x37", 210, 297, 0, 0.5, 3, 70, 37, 24),
    Paper("a4-3x7-63.5x38.1", 210, 297, 7.25, 15.15, 3, 66, 38.1, 21),
    Paper("a4-4x10-48.5x25.4", 210, 297, 8, 21.5, 4, 48.5, 25.4, 30),
    Paper("letter-3x10-66.7x25.4", 215.9, 279.4, 4.7625, 12.7, 3, 69.85, 25.4, 30),
    Paper("roll-50x25", 50, 25, 0, 0, 1, 0, 0, 1),
    Paper("roll-57x32", 57, 32, 0, 0, 1, 0, 0, 1),
)


def laid_out(visits: Visits, stock: str) -> Page:
    page = visits.page("technician")
    asked = f"/labels/{{range}}/print?stock={stock}&start=1&right=0&down=0&frames=on"
    page.goto(visits.node.fill(asked))
    return page


def tags_on(sheet: Sheet) -> list[Written]:
    return [run for run in sheet.written if run.text.startswith(TAG)]


@pytest.mark.parametrize("paper", PAPERS, ids=lambda paper: paper.stock)
def test_labels_lie_where_the_sheet_has_them(visits: Visits, paper: Paper) -> None:
    page = laid_out(visits, paper.stock)
    first, *more = printed(page)
    assert first.width_mm == pytest.approx(paper.width_mm, abs=SHEET_WITHIN_MM)
    assert first.height_mm == pytest.approx(paper.height_mm, abs=SHEET_WITHIN_MM)
    tags = tags_on(first)
    assert len(tags) == paper.on_first
    assert len(tags) + sum(len(tags_on(sheet)) for sheet in more) == 30
    for number, tag in enumerate(tags):
        row, column = divmod(number, paper.columns)
        x_mm = tags[0].x_mm + column * paper.step_x_mm
        y_mm = tags[0].y_mm + row * paper.step_y_mm
        assert tag.x_mm == pytest.approx(x_mm, abs=WITHIN_MM), tag
        assert tag.y_mm == pytest.approx(y_mm, abs=WITHIN_MM), tag
    page.emulate_media(media="print")
    corner = page.locator(".frame").first.bounding_box()
    assert corner is not None
    assert corner["x"] * MM_PER_PX == pytest.approx(paper.left_mm, abs=FRAME_WITHIN_MM)
    assert corner["y"] * MM_PER_PX == pytest.approx(paper.top_mm, abs=FRAME_WITHIN_MM)


def test_a_printer_that_is_off_is_met(visits: Visits) -> None:
    stock = PAPERS[0].stock
    page = laid_out(visits, stock)
    straight = tags_on(printed(page)[0])[0]
    page.goto(page.url.replace("right=0&down=0", "right=1,5&down=-0.75"))
    shifted = tags_on(printed(page)[0])[0]
    assert shifted.x_mm - straight.x_mm == pytest.approx(1.5, abs=WITHIN_MM)
    assert shifted.y_mm - straight.y_mm == pytest.approx(-0.75, abs=WITHIN_MM)


def test_the_certificate_fits_on_two_sheets_with_a_code_to_scan(visits: Visits) -> None:
    page = visits.page()
    page.goto(visits.node.fill("/s/{share}/certificate"))
    sheets = printed(page)
    assert 1 <= len(sheets) <= 2
    assert {(round(one.width_mm), round(one.height_mm)) for one in sheets} == {(210, 297)}
    assert "VH-107-A" in sheets[0].text
    page.emulate_media(media="print")
    width_mm, height_mm = size_mm(page, ".code-figure svg")
    assert width_mm == pytest.approx(height_mm, abs=WITHIN_MM)
    assert width_mm >= LEAST_CODE_MM
    for hidden in ("nav", "footer"):
        assert not page.locator(hidden).first.is_visible()


def size_mm(page: Page, selector: str) -> tuple[float, float]:
    box = page.locator(selector).first.bounding_box()
    assert box is not None
    return box["width"] * MM_PER_PX, box["height"] * MM_PER_PX

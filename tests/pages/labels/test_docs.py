"""What the page on labels says of stock is what the code prints."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from apps.pages.labels import layout
from apps.pages.labels.code import LEAST_MODULE_UM, QUIET_MODULES
from apps.pages.labels.forms import HIGHEST_MM, LOWEST_MM, MOST_SLIP_MM, NARROWEST_MM, WIDEST_MM
from apps.pages.labels.stock import STOCKS, Stock, mm_text

PAGE = Path(__file__).parents[3] / "docs" / "pages" / "labels.md"
ROWS = {
    cells[0].strip("` "): [cell.strip() for cell in cells[1:]]
    for line in PAGE.read_text().splitlines()
    if line.startswith("| `") and (cells := line.strip("|").split("|"))
}


def row_of(stock: Stock) -> list[str]:
    """What the table has to say of one kind of stock."""
    label = f"{mm_text(stock.label_width_um)} × {mm_text(stock.label_height_um)}"  # noqa: RUF001
    margins = f"{mm_text(stock.left_um)}, {mm_text(stock.top_um)}"
    if stock.is_roll:
        return ["one label", "1", label, margins, ""]
    paper = f"{mm_text(stock.page_width_um)} × {mm_text(stock.page_height_um)}"  # noqa: RUF001
    labels = f"{stock.columns} × {stock.rows}"  # noqa: RUF001
    gap = f"{mm_text(stock.gap_x_um)} beside each other" if stock.gap_x_um else "0"
    return [paper, labels, label, margins, gap]


@pytest.mark.parametrize("stock", STOCKS.values(), ids=lambda stock: str(stock.name))
def test_the_table_has_each_stock_as_it_is(stock: Stock) -> None:
    shown = ROWS[stock.name]
    assert shown + [""] * (5 - len(shown)) == row_of(stock)


def test_the_table_has_no_other_stock_than_the_free_roll() -> None:
    assert set(ROWS) - set(STOCKS) == {"roll"}
    sizes = f"{NARROWEST_MM} to {WIDEST_MM} × {LOWEST_MM} to {HIGHEST_MM}"  # noqa: RUF001
    assert ROWS["roll"][2] == sizes


def test_the_numbers_in_the_text_are_those_of_the_code() -> None:
    text = " ".join(PAGE.read_text().split())
    assert re.search(r"quiet zone of four modules", text)
    assert QUIET_MODULES == 4
    assert f"at {LEAST_MODULE_UM / 1000:g} mm or more" in text
    assert f"stays {layout.SAFE_UM / 1000:g} mm off the border" in text
    assert f"at least {layout.EASY_FONT_UM / 1000:g} mm high" in text
    assert f"moves everything by up to {MOST_SLIP_MM} mm" in text

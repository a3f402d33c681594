"""What stands where on one label."""

from __future__ import annotations

from itertools import pairwise

import pytest

from apps.pages.labels.code import LEAST_MODULE_UM
from apps.pages.labels.layout import (
    LEAST_FONT_UM,
    SAFE_UM,
    DoesNotFit,
    LabelText,
    Layout,
    lay_out,
)
from apps.pages.labels.stock import STOCKS, Stock, roll

each_stock = pytest.mark.parametrize("stock", STOCKS.values(), ids=lambda stock: str(stock.name))
TAGS = ["A", "VH-0001S", "KELDERBY.BENCH-2026-000142X", "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.ABC"]


def label(tag: str, *, shop: str = "Veskerdal hire", has_check: bool = True) -> LabelText:
    return LabelText(tag, f"https://ski.example.org/t/veskerdal-hire/{tag}", shop, has_check)


def lines_of(layout: Layout) -> list[tuple[int, int, int, int]]:
    """Left, top, right and bottom of each line of letters."""
    return [
        (line.x_um, line.y_um - line.font_um, line.x_um + line.width_um, line.y_um)
        for line in (*layout.tag, *layout.shop)
    ]


@each_stock
@pytest.mark.parametrize("tag", TAGS)
def test_everything_stays_off_the_border_of_the_label(tag: str, stock: Stock) -> None:
    layout = lay_out(label(tag), stock)
    right, bottom = stock.label_width_um - SAFE_UM, stock.label_height_um - SAFE_UM
    quiet = 4 * layout.module_um
    end = layout.code_x_um + layout.code.modules * layout.module_um
    assert layout.code_x_um - quiet >= SAFE_UM
    assert layout.code_y_um - quiet >= SAFE_UM
    assert layout.code_y_um + layout.code.modules * layout.module_um + quiet <= bottom
    for left, top, line_right, below in lines_of(layout):
        # The quiet zone of the code holds no letter.
        assert left >= end + quiet
        assert top >= SAFE_UM
        assert line_right <= right
        assert below <= bottom


@each_stock
@pytest.mark.parametrize("tag", TAGS)
def test_the_tag_is_whole_and_large_enough_to_be_read(tag: str, stock: Stock) -> None:
    layout = lay_out(label(tag), stock)
    assert "".join(line.text for line in layout.tag) == tag
    assert all(line.text for line in layout.tag)
    assert layout.tag[0].font_um >= LEAST_FONT_UM
    assert layout.module_um >= LEAST_MODULE_UM


@each_stock
def test_no_line_stands_on_another(stock: Stock) -> None:
    boxes = lines_of(lay_out(label(TAGS[-1], shop="A label of two lines or of many more"), stock))
    for (_l, _t, _r, below), (_l2, top, _r2, _b2) in pairwise(boxes):
        assert top >= below


def test_the_check_character_is_underlined_and_no_other() -> None:
    layout = lay_out(label("VH-0001S"), STOCKS["a4-3x8-70x37"])
    (line,), underline = layout.tag, layout.underline
    assert underline is not None
    letter = line.width_um / len(line.text)
    assert underline.width_um == pytest.approx(letter, abs=1)
    assert underline.x_um + underline.width_um == line.x_um + line.width_um
    assert line.y_um < underline.y_um < line.y_um + line.font_um / 4


def test_a_tag_without_a_check_character_has_no_underline() -> None:
    assert lay_out(label("OLD-7", has_check=False), STOCKS["roll-50x25"]).underline is None


def test_a_short_tag_stands_on_one_line_and_a_long_one_breaks_at_a_mark() -> None:
    stock = STOCKS["a4-4x10-48.5x25.4"]
    assert [line.text for line in lay_out(label("VH-0001S"), stock).tag] == ["VH-0001S"]
    long = lay_out(label("KELDERBY-000142X"), stock)
    assert [line.text for line in long.tag] == ["KELDERBY-", "000142X"]


def test_a_long_label_of_the_shop_is_cut_visibly() -> None:
    layout = lay_out(label("VH-0001S", shop="word " * 30), STOCKS["roll-50x25"])
    assert len(layout.shop) == 2
    assert layout.shop[-1].text.endswith("…")


def test_a_label_too_small_for_the_code_is_refused() -> None:
    with pytest.raises(DoesNotFit):
        lay_out(label("VH-0001S"), roll(30_000, 15_000))


def test_a_label_too_narrow_for_the_letters_is_refused() -> None:
    text = LabelText("A" * 40, "https://a.example/t/b/C", "A shop on two lines", has_check=False)
    with pytest.raises(DoesNotFit):
        lay_out(text, roll(31_000, 15_000))

"""Whole sheets as the page gives them: exact in mm, and read back by another decoder."""

from __future__ import annotations

import re

import pytest
import zxingcpp
from django.test import Client

from apps.pages.labels import drawing
from apps.pages.labels.code import LEAST_MODULE_UM, code_that_fits
from apps.pages.labels.stock import STOCKS, Stock
from apps.registry.label_ranges import tags_of
from apps.registry.models import LabelRange
from tests.pages.labels.raster import SVG, boxes_of, labels_of, paper, sheets_in

ADDRESS = "http://testserver/t/veskerdal-hire/"
# At 12 dots a mm, half a dot is the most that rounding may cost.
each_stock = pytest.mark.parametrize("stock", STOCKS.values(), ids=lambda stock: str(stock.name))


def page(client: Client, issued: LabelRange, **query: str) -> str:
    answer = client.get(f"/labels/{issued.pk}/print", query)
    assert answer.status_code == 200
    return answer.content.decode()


@each_stock
def test_every_code_on_paper_leads_to_its_tag(
    stock: Stock, reader: Client, issued: LabelRange
) -> None:
    sheets = sheets_in(page(reader, issued, stock=stock.name))
    read = [zxingcpp.read_barcodes(paper(sheet)) for sheet in sheets]
    found = sorted(one.text for of_sheet in read for one in of_sheet)
    assert found == sorted(ADDRESS + tag for tag in tags_of(issued))


@each_stock
def test_every_code_stands_where_the_stock_says(
    stock: Stock, reader: Client, issued: LabelRange
) -> None:
    sheet = sheets_in(page(reader, issued, stock=stock.name))[0]
    size = (stock.page_width_um / 1000, stock.page_height_um / 1000)
    assert sheet.attrib["viewBox"] == f"0 0 {size[0]:g} {size[1]:g}"
    assert (sheet.attrib["width"], sheet.attrib["height"]) == (f"{size[0]:g}mm", f"{size[1]:g}mm")
    fitting = code_that_fits(
        ADDRESS + tags_of(issued)[0],
        min(stock.label_height_um - 3000, (stock.label_width_um - 3000) // 2),
    )
    assert fitting is not None
    module_mm = fitting[1] / 1000
    for number, label in enumerate(labels_of(sheet)):
        first = boxes_of(label)[0]
        place = stock.place(number)
        side_mm = fitting[0].modules_with_quiet_zone * module_mm
        top_mm = (stock.label_height_um / 1000 - side_mm) / 2
        assert first.x_mm == pytest.approx(place.x_um / 1000 + 1.5 + 4 * module_mm, abs=0.001)
        assert first.y_mm == pytest.approx(place.y_um / 1000 + top_mm + 4 * module_mm, abs=0.001)
        assert first.height_mm == module_mm >= LEAST_MODULE_UM / 1000


def test_the_printers_slip_moves_every_label_alike(reader: Client, issued: LabelRange) -> None:
    plain = sheets_in(page(reader, issued))[0]
    moved = sheets_in(page(reader, issued, right="1,25", down="-0.5 mm"))[0]
    for one, other in zip(labels_of(plain), labels_of(moved), strict=True):
        first, second = boxes_of(one)[0], boxes_of(other)[0]
        assert second.x_mm - first.x_mm == pytest.approx(1.25)
        assert second.y_mm - first.y_mm == pytest.approx(-0.5)


def test_a_sheet_that_was_begun_goes_on_where_it_ended(reader: Client, issued: LabelRange) -> None:
    sheets = sheets_in(page(reader, issued, start="24"))
    assert [len(labels_of(sheet)) for sheet in sheets] == [1, 24, 5]
    place = STOCKS["a4-3x8-70x37"].place(23)
    wanted = f"translate({place.x_um // 1000} {place.y_um / 1000:g})"
    assert labels_of(sheets[0])[0].attrib["transform"] == wanted


def test_a_long_run_comes_in_parts_that_miss_no_label(
    reader: Client, issued: LabelRange, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(drawing, "LABELS_A_PART", 24)
    first, second = (page(reader, issued, start="19", part=part) for part in ("1", "2"))
    tags = re.findall(r'class="tag" x[^>]*>([^<]+)<', first + second)
    assert tags == list(tags_of(issued))
    assert 'href="?start=19&amp;part=2"' in first
    assert 'href="?start=19&amp;part=1"' in second
    assert "Sheet 2, from VH-0007" in second


def test_a_short_run_has_no_parts(reader: Client, issued: LabelRange) -> None:
    assert "part=" not in page(reader, issued)


@pytest.mark.parametrize(("part", "status"), [("2", 404), ("0", 422), ("x", 422)])
def test_a_part_beyond_the_last_is_not_there(
    part: str, status: int, reader: Client, issued: LabelRange
) -> None:
    assert reader.get(f"/labels/{issued.pk}/print", {"part": part}).status_code == status


def test_letters_are_stretched_to_exactly_their_width(reader: Client, issued: LabelRange) -> None:
    label = labels_of(sheets_in(page(reader, issued))[0])[0]
    tag = label.find(f"{SVG}text[@class='tag']")
    assert tag is not None
    assert tag.text == "VH-0001S"
    assert tag.attrib["lengthAdjust"] == "spacingAndGlyphs"
    width = float(tag.attrib["textLength"])
    assert width == pytest.approx(8 * 0.6 * float(tag.attrib["font-size"]), abs=0.001)
    assert 20 < width < 67


def test_frames_are_printed_only_where_they_were_asked_for(
    reader: Client, issued: LabelRange
) -> None:
    assert 'class="sheets"' in page(reader, issued)
    assert 'class="sheets framed"' in page(reader, issued, frames="on")


def test_a_free_roll_has_pages_of_its_own_size(reader: Client, issued: LabelRange) -> None:
    shown = page(reader, issued, stock="roll", width="62,5", height="29")
    sheets = sheets_in(shown)
    assert len(sheets) == 30
    assert sheets[0].attrib["viewBox"] == "0 0 62.5 29"
    assert "/labels/page.css?width=62.5&amp;height=29" in shown

"""Where labels stand on their sheets, to the micrometre."""

from __future__ import annotations

import pytest

from apps.pages.labels.stock import ROLLS, SHEETS, STOCKS, Stock, mm_text, roll, sheets_of

# Worked by hand from the sizes: margin = (paper - labels - gaps) / 2.
CORNERS_MM = [
    # name, first label, last label (upper left corners)
    ("a4-3x8-70x37", ("0", "0.5"), ("140", "259.5")),
    ("a4-3x7-63.5x38.1", ("7.25", "15.15"), ("139.25", "243.75")),
    ("a4-4x10-48.5x25.4", ("8", "21.5"), ("153.5", "250.1")),
    # 3/16 inch is 4.7625 mm, which is rounded down by half a micrometre.
    ("letter-3x10-66.7x25.4", ("4.762", "12.7"), ("144.462", "241.3")),
    ("roll-50x25", ("0", "0"), ("0", "0")),
    ("roll-57x32", ("0", "0"), ("0", "0")),
]


@pytest.mark.parametrize(("name", "first", "last"), CORNERS_MM)
def test_labels_stand_where_the_sizes_say(
    name: str, first: tuple[str, str], last: tuple[str, str]
) -> None:
    stock = STOCKS[name]
    for number, corner in ((0, first), (stock.count - 1, last)):
        place = stock.place(number)
        assert (mm_text(place.x_um), mm_text(place.y_um)) == corner


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: str(sheet.name))
def test_no_label_overlaps_another_or_leaves_the_sheet(sheet: Stock) -> None:
    places = [sheet.place(number) for number in range(sheet.count)]
    assert len(set(places)) == sheet.count
    for place in places:
        assert 0 <= place.x_um <= sheet.page_width_um - sheet.label_width_um
        assert 0 <= place.y_um <= sheet.page_height_um - sheet.label_height_um
    assert places[1].x_um - places[0].x_um >= sheet.label_width_um
    assert places[sheet.columns].y_um - places[0].y_um >= sheet.label_height_um


def test_only_rolls_have_one_label_a_page() -> None:
    assert [stock.is_roll for stock in SHEETS] == [False] * len(SHEETS)
    assert [stock.is_roll for stock in ROLLS] == [True] * len(ROLLS)


@pytest.mark.parametrize(
    ("length_um", "text"),
    [(0, "0"), (1, "0.001"), (500, "0.5"), (66_675, "66.675"), (210_000, "210"), (-1_250, "-1.25")],
)
def test_a_length_is_written_exactly(length_um: int, text: str) -> None:
    assert mm_text(length_um) == text


def test_a_sheet_already_begun_is_used_up() -> None:
    stock = STOCKS["a4-3x8-70x37"]
    sheets = list(sheets_of(stock, 30, start=20))
    assert sheets[0] == [(0, 19), (1, 20), (2, 21), (3, 22), (4, 23)]
    assert [len(sheet) for sheet in sheets] == [5, 24, 1]
    assert sheets[1][0] == (5, 0)
    assert sheets[2] == [(29, 0)]


def test_a_full_sheet_leaves_no_empty_one_behind() -> None:
    stock = STOCKS["a4-3x8-70x37"]
    assert [len(sheet) for sheet in sheets_of(stock, 48)] == [24, 24]


def test_each_label_of_a_roll_is_a_page() -> None:
    assert list(sheets_of(roll(60_000, 30_000), 2)) == [[(0, 0)], [(1, 0)]]

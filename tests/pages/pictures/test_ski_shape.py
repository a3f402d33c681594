"""The outline of a ski goes through every width that is given and adds none."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.pages.pictures import SkiShape, WidthRow
from apps.pages.pictures.ski_shape import NOMINAL_WIDTH_MM, STATIONS, Outline
from apps.tuning.racing_radius import racing_stations_mm
from tests.pages.pictures.skis import DESCRIBED, MEASURED


def test_the_three_widths_are_met_at_their_stations() -> None:
    outline = Outline(DESCRIBED)
    at = outline.stations_mm
    widths = [2.0 * outline.half_width_mm(at[name]) for name in ("shovel", "waist", "tail")]
    assert widths == pytest.approx([122.0, 68.0, 104.0])
    assert at["shovel"] - at["tail"] == pytest.approx(1430.0)


def test_measured_widths_are_met_where_they_were_measured() -> None:
    outline = Outline(MEASURED)
    assert MEASURED.row is not None
    for place, width in zip(MEASURED.row.positions_mm, MEASURED.row.widths_mm, strict=True):
        assert 2.0 * outline.half_width_mm(place) == pytest.approx(width)
    at = outline.stations_mm
    assert (at["tail"], at["waist"], at["shovel"]) == (150.0, 750.0, 1480.0)


@given(
    shovel=st.floats(70.0, 200.0),
    waist=st.floats(40.0, 70.0),
    tail=st.floats(70.0, 200.0),
    chord=st.floats(500.0, 1600.0),
)
def test_the_waist_is_the_narrowest_and_no_place_is_wider_than_the_ends(
    shovel: float, waist: float, tail: float, chord: float
) -> None:
    outline = Outline(SkiShape(1700.0, shovel, waist, tail, chord))
    at = outline.stations_mm
    halves = [outline.half_width_mm(place) for place in outline.places_mm()]
    assert max(halves) == pytest.approx(max(shovel, tail) / 2.0)
    between = [
        outline.half_width_mm(place)
        for place in outline.places_mm()
        if at["tail"] <= place <= at["shovel"]
    ]
    assert min(between) == pytest.approx(waist / 2.0)


def test_the_ends_are_closed() -> None:
    for shape in (DESCRIBED, MEASURED):
        outline = Outline(shape)
        assert outline.half_width_mm(0.0) == outline.half_width_mm(outline.length_mm) == 0.0
        assert outline.half_width_mm(-50.0) == 0.0
        assert (outline.places_mm()[0], outline.places_mm()[-1]) == (0.0, outline.length_mm)


def test_widths_measured_to_the_very_ends_leave_nothing_to_round() -> None:
    outline = Outline(SkiShape(row=WidthRow((0.0, 800.0, 1600.0), (90.0, 70.0, 110.0))))
    assert outline.length_mm == 1600.0
    assert outline.half_width_mm(0.0) == pytest.approx(45.0)
    assert outline.half_width_mm(1600.0) == pytest.approx(55.0)


def test_two_widths_alone_still_have_stations_in_order() -> None:
    outline = Outline(SkiShape(1700.0, row=WidthRow((1500.0, 1600.0), (110.0, 100.0))))
    assert [outline.stations_mm[name] for name in ("tail", "shovel")] == [1500.0, 1500.0]


# Practice: the stations of the racing rule (FIS radius calculation page), on the ski of 1880 mm
# with its waist at 820 mm that the tests of apps.tuning.racing_radius have.
def test_stations_that_nobody_stated_are_near_those_of_the_racing_rule() -> None:
    rule = racing_stations_mm(1880, 820)
    at = Outline(SkiShape(1880.0, 93.0, 65.0, 78.6)).stations_mm
    assert at["tail"] == pytest.approx(rule.tail_at_mm, abs=5.0)
    assert at["waist"] == pytest.approx(rule.waist_at_mm, abs=5.0)
    assert at["shovel"] == pytest.approx(rule.shovel_at_mm, abs=5.0)


@pytest.mark.parametrize("shape", [SkiShape(), SkiShape(1600.0), DESCRIBED, MEASURED])
def test_stations_lie_in_order_from_tail_to_tip(shape: SkiShape) -> None:
    outline = Outline(shape)
    places = [outline.stations_mm[name] for name in reversed(STATIONS)]
    assert places == sorted(places)
    assert 0.0 < places[0] < places[-1] < outline.length_mm


@pytest.mark.parametrize(
    ("shape", "length_mm"),
    [
        (SkiShape(), 1700.0),
        (SkiShape(1650.0), 1650.0),
        (SkiShape(chord_mm=1400.0), 1400.0 / 0.84),
        (SkiShape(1300.0, chord_mm=1400.0), 1400.0),
        (SkiShape(1300.0, row=WidthRow((100.0, 1500.0), (90.0, 95.0))), 1500.0),
    ],
)
def test_a_ski_is_as_long_as_the_longest_thing_said_of_it(
    shape: SkiShape, length_mm: float
) -> None:
    assert Outline(shape).length_mm == pytest.approx(length_mm)


def test_without_all_three_widths_it_is_a_bar_of_no_known_width() -> None:
    for shape in (SkiShape(1700.0), SkiShape(1700.0, 120.0, 68.0)):
        outline = Outline(shape)
        assert shape.basis == "unknown"
        assert {outline.half_width_mm(x) for x in (0.0, 500.0, 1700.0)} == {NOMINAL_WIDTH_MM / 2}

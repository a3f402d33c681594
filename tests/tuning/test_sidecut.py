"""Sidecut formulas against published skis and the circle they come from."""

import math
from collections.abc import Callable
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.errors import (
    NotFiniteError,
    OutOfRangeError,
    ProfileNotOrderedError,
    SidecutImpossibleError,
    WrongCountError,
)
from apps.tuning.racing_radius import (
    judge_radius_limit,
    meets_radius_limit,
    racing_stations_mm,
    radius_racing_rule_m,
)
from apps.tuning.sidecut import (
    depth_for_radius_mm,
    radius_chord_m,
    radius_exact_chord_m,
    radius_three_point_m,
    sidecut_depth_mm,
)


# Published: skiwithhugh.com, Modern ski design.
def test_depth_of_a_published_ski() -> None:
    assert sidecut_depth_mm(81, 67, 70) == 4.25


# Depth form of Lind and Sanders, The Physics of Skiing (page not seen), on the widths of
# Spokesman-Review 2017-01-19, which drops the 8 and so prints 224 m.
def test_radius_from_chord() -> None:
    answer = radius_chord_m(98.5, 62, 84, 1810)
    assert sidecut_depth_mm(98.5, 62, 84) == 14.625
    assert answer.radius_m == pytest.approx(28.0009, abs=1e-4)
    assert answer.method == "chord"


# Derived: R = C**2 / (8 SC) + SC / 2; the short form alone would give 16.0000.
def test_depth_for_a_radius() -> None:
    assert depth_for_radius_mm(20, 1600) == pytest.approx(16.0064, abs=1e-4)
    assert 1600**2 / (8 * 20_000) == 16.0


# Published: hhitme.fortunecity.ws/skiradius.html (first), lyzovanie-alpy.sk radius page.
@pytest.mark.parametrize(
    ("tip", "length", "waist", "at", "tail", "radius_m"),
    [
        (117, 1750, 83, 800, 105, 27.7),
        (114, 1630, 70, 715, 99, 18.4),
        (109, 1535, 65, 730, 93, 16.5),
    ],
)
def test_circle_through_three_points(
    tip: float, length: float, waist: float, at: float, tail: float, radius_m: float
) -> None:
    answer = radius_three_point_m(tip, waist, tail, length, at)
    assert answer.radius_m == pytest.approx(radius_m, abs=0.05)
    assert answer.method == "three-point"


# Published rule: FIS radius calculation page; the numbers are our own, worked by hand.
def test_racing_rule() -> None:
    stations = racing_stations_mm(1880, 820)
    assert stations.chord_mm == pytest.approx(1586.0)
    assert (stations.shovel_at_mm, stations.waist_at_mm) == pytest.approx((1668.0, 820.0))
    assert stations.tail_at_mm == pytest.approx(82.0)
    answer = radius_racing_rule_m(1880, 820, 93.0, 65.0, 78.6)
    assert answer.radius_m == pytest.approx(30.2331, abs=1e-4)
    assert answer.method == "racing-rule"


# The rule rounds widths to 0.1 mm as in trade, half up. In binary 93.05 lies below 93.05.
@pytest.mark.parametrize(
    ("shovel", "waist", "tail"), [(92.95, 64.95, 78.55), (93.04, 65.049, 78.649)]
)
def test_racing_rule_rounds_widths_first(shovel: float, waist: float, tail: float) -> None:
    rounded = radius_racing_rule_m(1880, 820, 93.0, 65.0, 78.6)
    assert radius_racing_rule_m(1880, 820, shovel, waist, tail) == rounded


def test_racing_rule_rounds_a_half_up_and_not_to_even() -> None:
    up = radius_racing_rule_m(1880, 820, 93.1, 65.0, 78.6)
    assert radius_racing_rule_m(1880, 820, 93.05, 65.0, 78.6) == up


# Published rule (FIS radius calculation page): the mean of three, with 1.5 %, must reach it.
def test_radius_limit() -> None:
    assert meets_radius_limit([29.56] * 3, 30)
    assert not meets_radius_limit([29.55] * 3, 30)
    verdict = judge_radius_limit([29.5, 29.6, 29.58], 30)
    assert verdict.mean_m == pytest.approx(29.56)
    assert verdict.allowed_m == pytest.approx(30.0034)
    assert verdict.meets


# 1.015 * 20 is 20.3 on paper and 20.299999999999997 in binary: reaching exactly is enough.
@pytest.mark.parametrize("radius_m", [20.0, 20.6, 29.0, 33.4])
def test_radius_limit_reached_exactly_is_met(radius_m: float) -> None:
    limit_m = round(1.015 * radius_m, 6)
    assert meets_radius_limit([radius_m] * 3, limit_m)
    assert not meets_radius_limit([radius_m] * 3, limit_m + 1e-6)


@given(radius_m=st.floats(5.0, 60.0), chord_mm=st.floats(500.0, 2000.0))
def test_exact_chord_and_depth_are_inverse(radius_m: float, chord_mm: float) -> None:
    depth = depth_for_radius_mm(radius_m, chord_mm)
    waist = 70.0
    end = waist + 2 * depth
    if end <= 250.0:
        answer = radius_exact_chord_m(end, waist, end, chord_mm)
        assert answer.method == "exact-chord"
        assert answer.radius_m == pytest.approx(radius_m, rel=1e-9)


@given(
    shovel=st.floats(90.0, 140.0),
    waist=st.floats(60.0, 85.0),
    tail=st.floats(87.0, 130.0),
    chord_mm=st.floats(1200.0, 2000.0),
)
def test_short_and_exact_form_agree_on_a_shallow_sidecut(
    shovel: float, waist: float, tail: float, chord_mm: float
) -> None:
    short = radius_chord_m(shovel, waist, tail, chord_mm).radius_m
    exact = radius_exact_chord_m(shovel, waist, tail, chord_mm).radius_m
    depth = sidecut_depth_mm(shovel, waist, tail)
    assert short < exact
    assert exact - short == pytest.approx(depth / 2000.0)
    assert exact == pytest.approx(short, rel=0.01)


@given(radius_m=st.floats(8.0, 60.0), waist_share=st.floats(0.3, 0.7))
def test_three_points_of_a_circle_give_it_back(radius_m: float, waist_share: float) -> None:
    length, radius = 1600.0, radius_m * 1000.0
    middle, at = 800.0, 1600.0 * waist_share

    def width(x: float) -> float:
        return 70.0 + 2 * (radius - math.sqrt(radius**2 - (x - middle) ** 2))

    answer = radius_three_point_m(width(length), width(at), width(0.0), length, at)
    assert answer.radius_m == pytest.approx(radius_m, rel=1e-6)


# Derived: without a waist the radius would be infinite or negative.
@pytest.mark.parametrize(("shovel", "waist", "tail"), [(80, 75, 70), (80, 90, 70), (70, 70, 70)])
def test_no_waist_no_radius(shovel: float, waist: float, tail: float) -> None:
    for formula in (
        lambda: sidecut_depth_mm(shovel, waist, tail),
        lambda: radius_chord_m(shovel, waist, tail, 1600),
        lambda: radius_exact_chord_m(shovel, waist, tail, 1600),
        lambda: radius_three_point_m(shovel, waist, tail, 1600, 800),
        lambda: radius_racing_rule_m(1880, 820, shovel, waist, tail),
    ):
        with pytest.raises(SidecutImpossibleError, match="no sidecut radius") as refusal:
            formula()
        assert refusal.value.field == "waist_mm"


def test_the_narrowest_and_widest_ski_are_skis() -> None:
    assert sidecut_depth_mm(250.0, 30.0, 250.0) == 110.0


def test_a_waist_lost_by_rounding_has_no_radius() -> None:
    with pytest.raises(SidecutImpossibleError, match="no sidecut radius"):
        radius_racing_rule_m(1880, 820, 70.04, 70.01, 70.03)


def test_a_circle_smaller_than_the_chord_is_refused() -> None:
    with pytest.raises(SidecutImpossibleError, match="too small a circle"):
        depth_for_radius_mm(0.5, 1600)
    # Half a circle is the limit: its depth is the radius.
    assert depth_for_radius_mm(0.8, 1600) == 800.0


@pytest.mark.parametrize(
    ("refused", "error", "field"),
    [
        (partial(sidecut_depth_mm, -81, 67, 70), OutOfRangeError, "shovel_mm"),
        (partial(sidecut_depth_mm, 81, 6.7, 70), OutOfRangeError, "waist_mm"),
        (partial(sidecut_depth_mm, 81, 67, 700), OutOfRangeError, "tail_mm"),
        (partial(sidecut_depth_mm, math.nan, 67, 70), NotFiniteError, "shovel_mm"),
        (partial(radius_chord_m, 98, 62, 84, 0), OutOfRangeError, "chord_mm"),
        (partial(radius_chord_m, 98, 62, 84, math.inf), NotFiniteError, "chord_mm"),
        (partial(depth_for_radius_mm, -20, 1600), OutOfRangeError, "radius_m"),
        (partial(radius_three_point_m, 117, 83, 105, 1750, 1750), ProfileNotOrderedError, None),
        (partial(radius_three_point_m, 117, 83, 5, 1750, 800), OutOfRangeError, "tail_mm"),
        (partial(racing_stations_mm, 1880, 1900), ProfileNotOrderedError, "tail_to_waist_mm"),
        (partial(racing_stations_mm, 18_800, 820), OutOfRangeError, "total_length_mm"),
        (partial(judge_radius_limit, [29.5, 29.6], 30), WrongCountError, "radii_m"),
        (partial(judge_radius_limit, [29.5, 0.0, 29.6], 30), OutOfRangeError, "radii_m"),
        (partial(meets_radius_limit, [29.5] * 3, math.nan), NotFiniteError, "limit_m"),
    ],
)
def test_inputs_out_of_range_are_named(
    refused: Callable[[], object], error: type[OutOfRangeError], field: str | None
) -> None:
    with pytest.raises(error) as refusal:
        refused()
    assert refusal.value.field == (field or "tail_to_waist_mm")

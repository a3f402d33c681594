"""Twist along the ski, against a known lean and against NumPy's straight line."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.condition import fold
from apps.tuning.cross_slope import Station, cross_slope_deg, twist_along
from apps.tuning.errors import (
    NotFiniteError,
    OutOfRangeError,
    ProfileNotOrderedError,
    ProfileTooShortError,
)
from apps.tuning.flatness import profile_from_heights
from apps.tuning.history import BaseProfile, Place, Visit
from apps.tuning.practice import Practice
from apps.tuning.twist_now import TwistNow
from apps.tuning.uncertainty import Estimate
from tests.tuning.visits import TODAY, grind, visit

X = (0.0, 7.0, 20.0, 33.0, 46.0, 60.0, 66.0)


def leaning(degrees: float, position_mm: int | None, *, off_um: float | None = 10.0) -> BaseProfile:
    rise = math.tan(math.radians(degrees)) * 1000.0
    gaps = tuple(2000.0 - rise * at for at in X)
    return BaseProfile(X, gaps, Place(position_mm=position_mm), uncertainty_um=off_um)


def twists(*visits: Visit) -> tuple[TwistNow, ...]:
    return fold(visits, practice=Practice(), today=TODAY).twist


# Derived: a base that leans by a degree leans by a degree, and u = s / sqrt(sum (x - mean)^2).
@pytest.mark.parametrize("degrees", [-1.0, 0.0, 0.3])
def test_the_slope_of_a_leaning_base(degrees: float) -> None:
    rise = math.tan(math.radians(degrees)) * 1000.0
    slope = cross_slope_deg(profile_from_heights(X, [rise * at for at in X]), 5.0)
    spread = sum((at - sum(X) / 7) ** 2 for at in X)
    assert slope.value == pytest.approx(degrees, abs=1e-9)
    expected = math.degrees(math.cos(math.radians(degrees)) ** 2 * 0.005 / math.sqrt(spread))
    assert slope.standard_uncertainty == pytest.approx(expected)


# Reference: numpy.polyfit, which also gives the covariance of the slope.
@given(heights=st.lists(st.integers(-200, 200), min_size=7, max_size=7))
def test_the_slope_is_that_of_numpy(heights: list[int]) -> None:
    slope = cross_slope_deg(profile_from_heights(X, heights), 5.0)
    (rise, _), covariance = np.polyfit(X, heights, 1, w=np.full(7, 1 / 5.0), cov="unscaled")
    assert math.tan(math.radians(slope.value)) * 1000 == pytest.approx(rise, abs=1e-9)
    expected = math.degrees(math.sqrt(covariance[0, 0]) / 1000 / (1 + (rise / 1000) ** 2))
    assert slope.standard_uncertainty == pytest.approx(expected)


# 0.3 deg over 0.6 m, then -0.1 deg over 0.4 m, and 0.2 deg over the metre: by hand.
def test_twist_between_stations_and_over_all() -> None:
    at = [Station(400, Estimate(0.1, 0.03)), Station(1000, Estimate(0.4, 0.04))]
    (only,) = twist_along(at)
    assert only.deg_per_m.value == pytest.approx(0.5)
    assert only.deg_per_m.standard_uncertainty == pytest.approx(0.05 / 0.6)
    whole = twist_along([*at, Station(1400, Estimate(0.3, 0.0))])
    assert [round(one.deg_per_m.value, 9) for one in whole] == [0.5, -0.25, 0.2]
    assert (whole[-1].from_mm, whole[-1].to_mm) == (400, 1400)


def test_stations_are_two_and_in_order() -> None:
    one = Station(400, Estimate(0.1, 0.03))
    with pytest.raises(ProfileTooShortError, match="stations"):
        twist_along([one])
    with pytest.raises(ProfileNotOrderedError, match="position_mm"):
        twist_along([one, one])
    for off, error in ((-1.0, OutOfRangeError), (math.inf, NotFiniteError)):
        with pytest.raises(error, match="gap_standard_uncertainty_um"):
            cross_slope_deg(profile_from_heights(X, X), off)


def test_the_twist_of_a_history() -> None:
    first = visit(0, profiles=(leaning(0.0, 300), leaning(0.5, 1300)))
    (twist,) = twists(first, visit(1, profiles=(leaning(0.2, 300),)))
    assert (twist.from_mm, twist.to_mm) == (300, 1300)
    assert twist.deg_per_m == pytest.approx(0.3, abs=1e-6)
    assert twist.high_deg_per_m - twist.deg_per_m == pytest.approx(0.0131, abs=5e-4)
    assert twist.rests_on == ("r001", "r000")
    assert "by 0.30 deg for each metre" in twist.sentence
    assert "only if the bar was held to one plane" in twist.sentence


def test_a_twist_within_its_uncertainty_says_so() -> None:
    (twist,) = twists(visit(0, profiles=(leaning(0.0, 300), leaning(0.005, 1300))))
    assert "no more than is unsure" in twist.sentence


# What tells nothing of the base now: no position, worked since, unreadable, or maybe a groove.
def test_profiles_that_give_no_station() -> None:
    placed = leaning(0.0, 300)
    assert twists(visit(0, profiles=(placed, leaning(0.3, None)))) == ()
    ground = visit(1, steps=(grind(),), profiles=(leaning(0.3, 1300),))
    assert twists(visit(0, profiles=(placed,)), ground) == ()
    short = BaseProfile((0.0, 66.0), (0.0, 0.0), Place(position_mm=1300))
    assert twists(visit(0, profiles=(placed, short))) == ()
    grooved = BaseProfile(X, (0, 0, 0, 700, 0, 0, 0), Place(position_mm=1300))
    assert twists(visit(0, profiles=(placed, grooved))) == ()


def test_of_two_profiles_at_one_position_the_newer_counts() -> None:
    named = BaseProfile(
        leaning(0.4, 300).x_mm, leaning(0.4, 300).gap_um, Place(station="tail", position_mm=300)
    )
    older = visit(0, profiles=(leaning(0.0, 300), leaning(0.0, 1300)))
    (twist,) = twists(older, visit(1, profiles=(named,)))
    assert twist.deg_per_m == pytest.approx(-0.4, abs=1e-6)

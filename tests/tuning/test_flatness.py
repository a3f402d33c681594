"""Straightness against linear programming, and what a bar shows against the trade's words."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from apps.tuning.errors import (
    NotFiniteError,
    OutOfRangeError,
    ProfileNotOrderedError,
    ProfileTooShortError,
    TuningError,
    WrongCountError,
)
from apps.tuning.flatness import (
    RACING_TOLERANCE_UM,
    Profile,
    base_shape,
    end_point_straightness,
    least_grind_to_flat,
    least_squares_straightness,
    minimum_zone_straightness,
    profile_from_bar_gaps,
    profile_from_heights,
)
from apps.tuning.straightness import hollow_and_crown_um

SEVEN = (0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0)


@st.composite
def profiles(draw: st.DrawFn) -> Profile:
    """Profiles at positions of 0.1 mm with heights of 0.1 um."""
    x = sorted(draw(st.sets(st.integers(0, 1200), min_size=3, max_size=15)))
    heights = st.integers(-3000, 3000)
    y = draw(st.lists(heights, min_size=len(x), max_size=len(x)))
    return Profile(tuple(p / 10 for p in x), tuple(h / 10 for h in y))


def zone_by_linear_programming(profile: Profile) -> float:
    """Least t with a line that no point is further below or above than t / 2."""
    x, y = np.array(profile.x_mm), np.array(profile.height_um)
    ones = np.ones_like(x)
    below = np.column_stack([x, ones, -ones])
    above = np.column_stack([-x, -ones, -ones])
    free = (None, None)
    solved = linprog(
        [0, 0, 1],
        A_ub=np.vstack([below, above]),
        b_ub=np.concatenate([y, -y]),
        bounds=[free, free, (0, None)],
    )
    assert solved.fun is not None, solved.message
    return float(2 * solved.fun)


# Own data, confirmed by linear programming; definitions of ISO 1101 and ISO 12780-1.
@pytest.mark.parametrize(
    ("x", "y", "zone", "least_squares", "end_points"),
    [
        (SEVEN, (0, 4, 3, 9, 6, 12, 10), 4.5, 4.75, 4.6667),
        ((0, 1, 2, 3), (0, 3, 0, 3), 3.0, 3.6, 4.0),
        (SEVEN, (0, 12, 18, 20, 17, 11, 0), 20.0, 20.3214, 20.0),
    ],
)
def test_straightness_by_three_references(
    x: tuple[float, ...],
    y: tuple[float, ...],
    zone: float,
    least_squares: float,
    end_points: float,
) -> None:
    profile = profile_from_heights(x, y)
    assert zone_by_linear_programming(profile) == pytest.approx(zone, abs=1e-6)
    assert minimum_zone_straightness(profile).zone_um == pytest.approx(zone)
    assert least_squares_straightness(profile).zone_um == pytest.approx(least_squares, abs=1e-4)
    assert end_point_straightness(profile).zone_um == pytest.approx(end_points, abs=1e-4)


# Own data: which of the trade's words it is.
def test_a_domed_base_is_convex() -> None:
    shape = base_shape(profile_from_heights(SEVEN, (0, 12, 18, 20, 17, 11, 0)), 10.0)
    assert shape.shape == "convex"
    assert shape.straightness.zone_um == pytest.approx(20.0)
    assert (shape.hollow_um, shape.crown_um) == pytest.approx((0.0, 20.0))


@given(profile=profiles())
def test_hull_agrees_with_linear_programming(profile: Profile) -> None:
    zone = minimum_zone_straightness(profile).zone_um
    assert zone == pytest.approx(zone_by_linear_programming(profile), abs=1e-5)


# Derived: the minimum zone is the least of all, whatever line another reference picks.
@given(profile=profiles())
def test_no_reference_beats_the_minimum_zone(profile: Profile) -> None:
    zone = minimum_zone_straightness(profile)
    for other in (least_squares_straightness(profile), end_point_straightness(profile)):
        assert zone.zone_um <= other.zone_um + 1e-9
    lines = np.array(profile.x_mm) * zone.slope_um_per_mm
    heights = np.array(profile.height_um)
    assert (heights >= lines + zone.lower_um - 1e-9).all()
    assert (heights <= lines + zone.upper_um + 1e-9).all()


# Derived: a tilted bar or a twisted ski must not look less straight.
@given(profile=profiles(), offset=st.floats(-500, 500), slope=st.floats(-20, 20))
def test_adding_a_line_changes_no_straightness(
    profile: Profile, offset: float, slope: float
) -> None:
    pairs = zip(profile.x_mm, profile.height_um, strict=True)
    tilted = Profile(profile.x_mm, tuple(y + offset + slope * x for x, y in pairs))
    for straightness in (
        minimum_zone_straightness,
        least_squares_straightness,
        end_point_straightness,
    ):
        before, after = straightness(profile), straightness(tilted)
        assert after.zone_um == pytest.approx(before.zone_um, abs=1e-6)
    assert hollow_and_crown_um(tilted) == pytest.approx(hollow_and_crown_um(profile), abs=1e-6)


@given(slope=st.floats(-20, 20), count=st.integers(3, 20))
def test_a_sloping_line_is_straight(slope: float, count: int) -> None:
    x = tuple(float(7 * i) for i in range(count))
    profile = Profile(x, tuple(slope * p for p in x))
    assert minimum_zone_straightness(profile).zone_um == pytest.approx(0.0, abs=1e-9)
    assert base_shape(profile).shape == "flat"
    assert least_grind_to_flat(profile).greatest_um == pytest.approx(0.0, abs=1e-9)


# Common practice, no source: light in the middle is concave, light at the sides convex.
@pytest.mark.parametrize(
    ("gaps", "word"),
    [
        ((0, 80, 150, 180, 140, 70, 0), "concave"),
        ((0, 120, 120, 120, 120, 120, 0), "concave"),
        ((180, 60, 10, 0, 20, 70, 150), "convex"),
        ((0, 0, 0, 0, 0, 60, 200), "convex"),
        ((0, 10, 20, 40, 20, 10, 0), "flat"),
        ((0, 120, 60, 0, 60, 120, 0), "uneven"),
        ((0, 150, 0, 150, 0, 150, 0), "uneven"),
    ],
)
def test_light_under_the_bar_is_named_as_the_trade_does(gaps: tuple[int, ...], word: str) -> None:
    assert base_shape(profile_from_bar_gaps(SEVEN, gaps), RACING_TOLERANCE_UM).shape == word


# A hollow of 15 + 48 um beside a crown of 60 + 12 um, by hand: neither alone explains the light.
def test_two_deviations_of_one_size_are_uneven_even_within_the_tolerance() -> None:
    wave = profile_from_heights((0, 10, 20, 30, 40, 50), (0, 60, 0, 0, -48, 0))
    shape = base_shape(wave, 70.0)
    assert (shape.hollow_um, shape.crown_um) == pytest.approx((63.0, 72.0))
    assert shape.shape == "uneven"


# Derived: the narrowest zone is as wide as the longest upright chord of the convex hull, and
# that chord ends at a measured point.
@given(profile=profiles())
def test_the_greater_of_hollow_and_crown_is_the_straightness(profile: Profile) -> None:
    zone = minimum_zone_straightness(profile).zone_um
    assert max(hollow_and_crown_um(profile)) == pytest.approx(zone, abs=1e-6)


def test_the_same_base_may_be_flat_for_rental_and_not_for_racing() -> None:
    profile = profile_from_bar_gaps(SEVEN, (0, 30, 60, 80, 60, 30, 0))
    assert base_shape(profile).shape == "flat"
    assert base_shape(profile, RACING_TOLERANCE_UM).shape == "concave"


# Derived: a symmetric railed base is ground down to its middle, a crowned one to its edges.
def test_grinding_a_concave_base_takes_the_edges() -> None:
    grind = least_grind_to_flat(profile_from_bar_gaps(SEVEN, (0, 80, 150, 180, 150, 80, 0)))
    assert (grind.left_edge_um, grind.right_edge_um) == pytest.approx((180.0, 180.0))
    assert grind.greatest_um == pytest.approx(180.0)
    assert grind.removal_um[3] == pytest.approx(0.0, abs=1e-9)


def test_grinding_a_convex_base_spares_the_edges() -> None:
    grind = least_grind_to_flat(profile_from_heights(SEVEN, (0, 12, 18, 20, 17, 11, 0)))
    assert (grind.left_edge_um, grind.right_edge_um) == (0.0, 0.0)
    assert grind.removal_um == pytest.approx((0, 12, 18, 20, 17, 11, 0))
    assert grind.mean_um == pytest.approx(13.0)


def test_a_tolerance_saves_that_much_steel() -> None:
    profile = profile_from_bar_gaps(SEVEN, (0, 80, 150, 180, 150, 80, 0))
    assert least_grind_to_flat(profile, 50.0).left_edge_um == pytest.approx(130.0)
    assert least_grind_to_flat(profile, 180.0).greatest_um == pytest.approx(0.0, abs=1e-9)


@given(profile=profiles(), tolerance=st.integers(0, 200))
def test_the_least_grind_reaches_its_tolerance(profile: Profile, tolerance: int) -> None:
    grind = least_grind_to_flat(profile, tolerance)
    heights = zip(profile.height_um, grind.removal_um, strict=True)
    ground = Profile(profile.x_mm, tuple(height - off for height, off in heights))
    zone = minimum_zone_straightness(profile).zone_um
    assert minimum_zone_straightness(ground).zone_um <= tolerance + 1e-6
    assert grind.greatest_um == pytest.approx(max(0.0, zone - tolerance), abs=1e-6)
    assert min(grind.removal_um) >= 0.0
    assert 0.0 <= grind.mean_um <= grind.greatest_um + 1e-9


@pytest.mark.parametrize(
    ("x", "y", "error", "field"),
    [
        ((0, 10), (0, 5), ProfileTooShortError, "x_mm"),
        ((0, 10, 20), (0, 5), WrongCountError, "height_um"),
        ((0, 20, 20), (0, 5, 0), ProfileNotOrderedError, "x_mm"),
        ((20, 10, 0), (0, 5, 0), ProfileNotOrderedError, "x_mm"),
        ((-1, 10, 20), (0, 5, 0), OutOfRangeError, "x_mm"),
        ((0, 10, 2000), (0, 5, 0), OutOfRangeError, "x_mm"),
        ((0, 10, 20), (0, 1e6, 0), OutOfRangeError, "height_um"),
        ((0, 10, 20), (0, math.nan, 0), NotFiniteError, "height_um"),
        ((0, 10, math.inf), (0, 5, 0), NotFiniteError, "x_mm"),
    ],
)
def test_profiles_that_say_nothing_are_refused(
    x: tuple[float, ...], y: tuple[float, ...], error: type[TuningError], field: str
) -> None:
    with pytest.raises(error) as refusal:
        profile_from_heights(x, y)
    assert refusal.value.field == field


def test_gaps_and_tolerances_are_checked() -> None:
    with pytest.raises(OutOfRangeError, match="gap_um"):
        profile_from_bar_gaps((0, 10, 20), (0, -5, 0))
    profile = profile_from_heights((0, 10, 20), (0, 5, 0))
    for judge in (base_shape, least_grind_to_flat):
        with pytest.raises(OutOfRangeError, match="tolerance_um"):
            judge(profile, -1.0)
        with pytest.raises(NotFiniteError, match="tolerance_um"):
            judge(profile, math.nan)

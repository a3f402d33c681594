"""What each way to flat takes off the edges, against sums by hand and against the zone itself."""

import math
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.errors import NotFiniteError, OutOfRangeError, ProfileTooShortError
from apps.tuning.flatness import (
    Profile,
    base_shape,
    least_grind_to_flat,
    minimum_zone_straightness,
    profile_from_bar_gaps,
    profile_from_heights,
)
from apps.tuning.flatness_grinds import Cut, CutAt, edges_only_cut, grind_cut

X = (0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0)
RAILED = profile_from_bar_gaps(X, (0, 100, 110, 120, 110, 100, 0))


@st.composite
def profiles(draw: st.DrawFn) -> Profile:
    """Uneven positions of 0.1 mm from edge to edge, heights of 0.1 um."""
    inner = draw(st.sets(st.integers(101, 499), max_size=8))
    x = (0.0, 10.0, *(place / 10 for place in sorted(inner)), 50.0, 60.0)
    heights = draw(st.lists(st.integers(-3000, 3000), min_size=len(x), max_size=len(x)))
    return profile_from_heights(x, [height / 10 for height in heights])


def edges(cut: Cut) -> tuple[float, float]:
    return cut.left_edge.taken_um, cut.right_edge.taken_um


# Derived: a symmetric railed base is ground down to its middle.
def test_the_least_grind_of_a_railed_base() -> None:
    cut = grind_cut(RAILED, 50.0)
    assert edges(cut) == pytest.approx((120.0, 120.0))
    assert cut.greatest.taken_um == pytest.approx(120.0)
    assert cut.after.shape == "flat"
    assert cut.after.straightness.zone_um == pytest.approx(0.0)
    to_tolerance = grind_cut(RAILED, 50.0, remaining_um=50.0)
    assert edges(to_tolerance) == pytest.approx((70.0, 70.0))
    assert to_tolerance.after.straightness.zone_um == pytest.approx(50.0)


# By hand: the bar lies on the points at 10 and 50 mm, 100 um below the edges; 20 um stay hollow.
def test_filing_the_edges_alone_leaves_the_hollow_between_them() -> None:
    cut = edges_only_cut(RAILED, 50.0)
    assert edges(cut) == pytest.approx((100.0, 100.0))
    assert cut.after.straightness.zone_um == pytest.approx(20.0)
    assert cut.after.shape == "flat"


# By hand: the right edge alone stands 80 um above the line of the base, which rises by 1 um/mm.
def test_each_edge_is_filed_for_itself() -> None:
    leaning = profile_from_heights(X, (-5, 10, 20, 30, 40, 50, 140))
    cut = edges_only_cut(leaning, 50.0)
    assert edges(cut) == pytest.approx((0.0, 80.0))
    assert cut.left_edge.height_um == pytest.approx(-5.0)
    assert cut.greatest == cut.right_edge


# Two steel readings at the left: what stands highest tells how much is filed there.
def test_several_readings_on_the_steel() -> None:
    x = (0.0, 1.5, 10.0, 30.0, 50.0, 60.0)
    cut = edges_only_cut(profile_from_heights(x, (60, 90, 0, 0, 0, 0)), 50.0)
    assert edges(cut) == pytest.approx((90.0, 0.0))
    narrow = edges_only_cut(profile_from_heights(x, (60, 0, 0, 0, 0, 0)), 50.0, edge_width_mm=1.5)
    assert edges(narrow) == pytest.approx((60.0, 0.0))


def test_two_points_between_the_edges_make_the_bar_lie_on_both() -> None:
    cut = edges_only_cut(profile_from_heights((0, 10, 50, 60), (50, 10, 20, 50)), 100.0)
    assert edges(cut) == pytest.approx((42.5, 27.5))


@pytest.mark.parametrize(
    "x", [(0.0, 30.0, 60.0), (0.0, 1.0, 59.5, 60.0), (0.0, 20.0, 49.9, 60.0), (0.0, 2.0, 9.0, 60.0)]
)
def test_too_little_base_between_the_edges(x: tuple[float, ...]) -> None:
    with pytest.raises(ProfileTooShortError, match="between the edges") as refusal:
        edges_only_cut(profile_from_heights(x, [0.0] * len(x)), 50.0)
    assert refusal.value.field == "x_mm"


# Derived: a height above a chord half way between its ends has 1 + 1/4 + 1/4 of a variance, and
# one that the chord is drawn out to, from 10 and 50 to 0 mm, 1 + (5/4)^2 + (1/4)^2.
def test_how_much_of_a_readings_uncertainty_goes_into_a_cut() -> None:
    cut = edges_only_cut(RAILED, 50.0)
    assert cut.left_edge.sensitivity == pytest.approx(math.sqrt(1 + 25 / 16 + 1 / 16))
    crowned = grind_cut(profile_from_heights((0, 30, 60), (0, 40, 0)), 10.0)
    assert crowned.greatest.sensitivity == pytest.approx(math.sqrt(2.0))
    assert crowned.left_edge == CutAt(0.0, 0.0)


# JCGM 100:2008, equation 10: the change of a result by finite differences is its sensitivity.
@given(profile=profiles())
def test_sensitivities_are_those_of_small_changes(profile: Profile) -> None:
    cut = grind_cut(profile, 50.0)
    changes = []
    for index in range(len(profile.x_mm)):
        heights = list(profile.height_um)
        heights[index] += 1e-4
        moved = grind_cut(replace(profile, height_um=tuple(heights)), 50.0)
        changes.append((moved.left_edge.height_um - cut.left_edge.height_um) / 1e-4)
    found = float(np.linalg.norm(changes))
    # Where two zones are equally narrow a small change picks the other one.
    if _narrowest_zones(profile) == 1:
        assert cut.left_edge.sensitivity == pytest.approx(found, abs=1e-4)


def _narrowest_zones(profile: Profile) -> int:
    """How many pairs of points give the slope of a narrowest zone, to a micrometre."""
    x, y = np.array(profile.x_mm), np.array(profile.height_um)
    slopes = [(y[j] - y[i]) / (x[j] - x[i]) for i, j in combinations(range(len(x)), 2)]
    zones = np.array([np.ptp(y - slope * x) for slope in slopes])
    return int(np.count_nonzero(zones < zones.min() + 1.0))


@given(profile=profiles(), tolerance=st.integers(0, 100))
def test_the_cut_is_the_least_grind(profile: Profile, tolerance: int) -> None:
    cut = grind_cut(profile, 50.0, remaining_um=tolerance)
    grind = least_grind_to_flat(profile, tolerance)
    assert edges(cut) == pytest.approx((grind.left_edge_um, grind.right_edge_um), abs=1e-6)
    assert cut.greatest.taken_um == pytest.approx(grind.greatest_um, abs=1e-6)
    assert cut.after.straightness.zone_um <= tolerance + 1e-6


# Derived: filing only steel can't take base, and afterwards no edge stands above the bar.
@given(profile=profiles())
def test_filed_edges_stand_no_higher_than_the_base(profile: Profile) -> None:
    again = edges_only_cut(profile, 50.0)
    filed = list(profile.height_um)
    filed[0] -= again.left_edge.taken_um
    filed[-1] -= again.right_edge.taken_um
    after = edges_only_cut(profile_from_heights(profile.x_mm, filed), 50.0)
    assert max(after.left_edge.height_um, after.right_edge.height_um) <= 1e-6
    assert base_shape(profile_from_heights(profile.x_mm, filed), 50.0).straightness.zone_um == (
        pytest.approx(again.after.straightness.zone_um, abs=1e-6)
    )


# A missing reading can only make a base look straighter, never worse (derived).
@given(profile=profiles(), index=st.integers(0, 11))
def test_a_missing_reading_never_widens_the_zone(profile: Profile, index: int) -> None:
    kept = [i for i in range(len(profile.x_mm)) if i != index]
    if len(kept) < 3:
        return
    fewer = profile_from_heights(
        [profile.x_mm[i] for i in kept], [profile.height_um[i] for i in kept]
    )
    zone, less = (minimum_zone_straightness(one).zone_um for one in (profile, fewer))
    assert less <= zone + 1e-6


def test_what_can_t_be_cut_is_named() -> None:
    with pytest.raises(OutOfRangeError, match="remaining_um"):
        grind_cut(RAILED, 50.0, remaining_um=-1.0)
    with pytest.raises(NotFiniteError, match="tolerance_um"):
        grind_cut(RAILED, math.nan)
    for width in (0.0, -2.0):
        with pytest.raises(OutOfRangeError, match="edge_width_mm"):
            edges_only_cut(RAILED, 50.0, edge_width_mm=width)

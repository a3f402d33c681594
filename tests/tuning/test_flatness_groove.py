"""The centre groove: who says how wide it is, and profiles without it."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.centre_groove import (
    CentreGroove,
    beside_groove,
    centre_groove_of,
    groove_like_depth_um,
)
from apps.tuning.errors import NotFiniteError, OutOfRangeError, ProfileTooShortError
from apps.tuning.flatness import base_shape, profile_from_bar_gaps
from apps.tuning.history import GrooveStatement, Visit
from tests.tuning.visits import visit

X = (0.0, 11.0, 22.0, 29.0, 33.0, 37.0, 44.0, 55.0, 66.0)


def states(number: int, width_mm: float, *, measured: bool = False) -> Visit:
    return replace(visit(number), centre_groove=GrooveStatement(width_mm, measured))


def test_what_was_measured_last_counts_else_what_was_described_last() -> None:
    assert centre_groove_of([visit(0)]) is None
    described = centre_groove_of([states(0, 8.0), states(1, 9.0), visit(2)])
    assert described == CentreGroove(9.0, measured=False, record="r001")
    history = [states(0, 8.0), states(1, 8.4, measured=True), states(2, 8.0)]
    assert centre_groove_of(history) == CentreGroove(8.4, measured=True, record="r001")
    later = [*history, states(3, 8.6, measured=True)]
    assert centre_groove_of(later) == CentreGroove(8.6, measured=True, record="r003")


# The groove lies in the middle, and its edges belong to it.
@pytest.mark.parametrize(
    ("width", "left"),
    [(0.0, 9), (7.9, 8), (8.0, 6), (10.0, 6), (22.0, 4)],
)
def test_readings_over_the_groove_are_left_out(width: float, left: int) -> None:
    x, gaps = beside_groove(X, tuple(range(9)), width)
    assert len(x) == len(gaps) == left
    assert {0.0, 66.0} <= set(x)


def test_a_groove_makes_a_flat_base_look_hollow_until_it_is_left_out() -> None:
    gaps = (0, 10, 20, 900, 1000, 900, 20, 10, 0)
    assert base_shape(profile_from_bar_gaps(X, gaps)).shape != "flat"
    assert base_shape(profile_from_bar_gaps(*beside_groove(X, gaps, 8.0))).shape == "flat"


# Symmetric readings that stop short of the edges have the same middle.
def test_the_middle_is_half_way_between_the_outer_readings() -> None:
    x, _ = beside_groove((2.0, 20.0, 33.0, 46.0, 64.0), (0.0,) * 5, 8.0)
    assert x == (2.0, 20.0, 46.0, 64.0)


@pytest.mark.parametrize(
    ("x", "width"),
    [((30.0, 33.0, 36.0), 8.0), ((0.0, 66.0), 0.0), ((0.0, 33.0, 66.0), 8.0), ((), 8)],
)
def test_too_little_beside_the_groove_is_refused(x: tuple[float, ...], width: float) -> None:
    with pytest.raises(ProfileTooShortError, match="at least 3 are needed") as refusal:
        beside_groove(x, (0.0,) * len(x), width)
    assert refusal.value.field == "x_mm"


def test_the_width_is_checked() -> None:
    with pytest.raises(OutOfRangeError, match="centre_groove_width_mm"):
        beside_groove(X, (0.0,) * 9, -1.0)
    with pytest.raises(NotFiniteError, match="centre_groove_width_mm"):
        beside_groove(X, (0.0,) * 9, math.nan)


# Own data: a groove 0.5 mm deep in a base hollow by 0.03 mm; the string at 33 mm lies at 30 um.
def test_a_notch_in_the_middle_looks_like_a_groove() -> None:
    grooved = profile_from_bar_gaps(X, (0, 20, 30, 500, 530, 500, 30, 20, 0))
    assert groove_like_depth_um(grooved) == pytest.approx(500.0)


@pytest.mark.parametrize(
    "gaps",
    [
        (0, 20, 30, 150, 180, 150, 30, 20, 0),
        (0, 0, 400, 260, 600, 260, 400, 0, 0),
        (300, 100, 20, 5, 0, 5, 20, 100, 300),
    ],
)
def test_what_is_shallow_or_no_deeper_than_the_rest_is_bent_looks_like_none(
    gaps: tuple[int, ...],
) -> None:
    assert groove_like_depth_um(profile_from_bar_gaps(X, gaps)) == 0.0


@pytest.mark.parametrize("x", [(0.0, 5.0, 10.0, 15.0), (0.0, 5.0, 60.0, 66.0), (0.0, 33.0, 66.0)])
def test_too_few_points_look_like_nothing(x: tuple[float, ...]) -> None:
    gaps = [900.0 if 4 < at < 62 else 0.0 for at in x]
    assert groove_like_depth_um(profile_from_bar_gaps(x, gaps)) == 0.0


# A base hollow all over as a parabola never looks grooved, however deep: its middle 20 mm of 66
# lie at most a ninth of the depth below their own string.
@given(depth=st.floats(0, 5000), points=st.integers(5, 40))
def test_a_hollow_base_never_looks_grooved(depth: float, points: int) -> None:
    x = [66.0 * i / (points - 1) for i in range(points)]
    gaps = [max(0.0, depth * (1 - ((at - 33.0) / 33.0) ** 2)) for at in x]
    if sum(abs(at - 33.0) > 10 for at in x) >= 4:
        assert groove_like_depth_um(profile_from_bar_gaps(x, gaps)) == 0.0

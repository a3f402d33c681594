"""Fitted circles against the published example, and the waist and radius of many widths."""

import math
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.circle import fit_circle_algebraic, fit_circle_geometric
from apps.tuning.errors import (
    CircleImpossibleError,
    NotFiniteError,
    OutOfRangeError,
    ProfileNotOrderedError,
    ProfileTooShortError,
    SidecutImpossibleError,
    TuningError,
    WrongCountError,
)
from apps.tuning.sidecut_fit import fit_sidecut
from apps.tuning.width_profile import waist_from_widths

GANDER = [(1.0, 7.0), (2.0, 6.0), (5.0, 8.0), (7.0, 7.0), (9.0, 5.0), (3.0, 7.0)]


# Gander, Golub and Strebel, BIT 34 (1994) 558-578: their points; results recalled and recomputed.
def test_geometric_fit_of_the_published_points() -> None:
    fit = fit_circle_geometric(GANDER)
    assert (fit.centre_x, fit.centre_y) == pytest.approx((4.739782, 2.983533), abs=1e-6)
    assert fit.radius == pytest.approx(4.714226, abs=1e-6)
    assert fit.method == "geometric"


def test_algebraic_fit_of_the_published_points() -> None:
    fit = fit_circle_algebraic(GANDER)
    assert (fit.centre_x, fit.centre_y) == pytest.approx((5.379413, 7.253198), abs=1e-6)
    assert fit.radius == pytest.approx(3.037041, abs=1e-6)
    assert fit.method == "algebraic"
    assert fit.residual_rms > fit_circle_geometric(GANDER).residual_rms


@given(
    x=st.floats(-50, 50),
    y=st.floats(-50, 50),
    radius=st.floats(1, 100),
    angles=st.lists(st.integers(0, 35), min_size=3, max_size=12, unique=True),
)
def test_points_on_a_circle_give_it_back(
    x: float, y: float, radius: float, angles: list[int]
) -> None:
    points = [
        (x + radius * math.cos(math.radians(10 * a)), y + radius * math.sin(math.radians(10 * a)))
        for a in angles
    ]
    fit = fit_circle_geometric(points)
    assert (fit.centre_x, fit.centre_y) == pytest.approx((x, y), abs=1e-5 * radius)
    assert fit.radius == pytest.approx(radius, rel=1e-5)
    assert fit.residual_rms == pytest.approx(0.0, abs=1e-6 * radius)


@pytest.mark.parametrize(
    "points",
    [
        [(0.0, 0.0), (1.0, 1.0), (2.0, 2.0), (5.0, 5.0)],
        [(1.0, 1.0), (1.0, 1.0), (4.0, 2.0)],
        [(3.0, 3.0)] * 4,
    ],
)
def test_points_on_a_line_have_no_circle(points: Sequence[tuple[float, float]]) -> None:
    for fit in (fit_circle_geometric, fit_circle_algebraic):
        with pytest.raises(CircleImpossibleError, match="straight line"):
            fit(points)


# Point symmetry leaves the equation's square term at zero: a line fits better than any circle.
def test_algebraic_fit_refuses_a_lying_s() -> None:
    with pytest.raises(CircleImpossibleError, match="straight line"):
        fit_circle_algebraic([(-5.0, -0.5), (-2.0, 0.5), (2.0, -0.5), (5.0, 0.5)])


# The sum of squares of these points falls all the way to an infinite radius.
def test_geometric_fit_refuses_points_that_a_line_fits_better() -> None:
    with pytest.raises(CircleImpossibleError, match="straight line"):
        fit_circle_geometric([(2.0, 1.0), (6.0, 1.0), (0.0, 1.0), (5.0, 3.0)])


def test_fits_need_three_ordinary_points() -> None:
    with pytest.raises(ProfileTooShortError, match="at least 3"):
        fit_circle_geometric(GANDER[:2])
    with pytest.raises(NotFiniteError):
        fit_circle_algebraic([(0.0, 1.0), (1.0, math.nan), (2.0, 1.0)])


def circular_widths(radius_m: float, waist_at: float) -> tuple[list[float], list[float]]:
    """Widths of a ski whose edges are arcs, every 50 mm."""
    radius = radius_m * 1000.0
    positions = [float(x) for x in range(100, 1701, 50)]
    drops = [radius - math.sqrt(radius**2 - (x - waist_at) ** 2) for x in positions]
    return positions, [70.0 + 2.0 * drop for drop in drops]


@given(radius_m=st.floats(10.0, 45.0), waist_at=st.floats(700.0, 1000.0))
def test_an_arc_of_widths_gives_radius_and_waist(radius_m: float, waist_at: float) -> None:
    positions, widths = circular_widths(radius_m, waist_at)
    answer = fit_sidecut(positions, widths)
    assert answer.radius_m == pytest.approx(radius_m, rel=1e-6)
    assert answer.residual_rms_mm == pytest.approx(0.0, abs=1e-6)
    waist = waist_from_widths(positions, widths)
    assert waist.method == "parabola"
    assert waist.position_mm == pytest.approx(waist_at, abs=0.1)
    assert waist.width_mm == pytest.approx(70.0, abs=0.001)


# Rounding to 0.1 mm is a rectangular error of 0.05 mm half width; the fit has to average it.
def test_widths_rounded_to_tenths_still_give_the_radius() -> None:
    positions, widths = circular_widths(20.0, 850.0)
    answer = fit_sidecut(positions, [round(width, 1) for width in widths])
    assert answer.radius_m == pytest.approx(20.0, rel=0.005)
    assert 0.0 < answer.residual_rms_mm < 0.05


def test_an_edge_that_bulges_has_no_sidecut() -> None:
    positions, widths = circular_widths(20.0, 850.0)
    with pytest.raises(SidecutImpossibleError, match="no sidecut radius"):
        fit_sidecut(positions, [200.0 - width for width in widths])
    with pytest.raises(CircleImpossibleError):
        fit_sidecut(positions, [70.0] * len(positions))


# The vertex of y = 65 + (x - 840)**2 / 10000, by hand.
def test_waist_between_uneven_steps() -> None:
    positions = [700.0, 800.0, 850.0, 1000.0]
    waist = waist_from_widths(positions, [65 + (x - 840) ** 2 / 10_000 for x in positions])
    assert (waist.position_mm, waist.width_mm) == pytest.approx((840.0, 65.0))


@pytest.mark.parametrize(
    ("positions", "widths", "position_mm"),
    [
        ([0.0, 100.0, 200.0], [65.0, 70.0, 80.0], 0.0),
        ([0.0, 100.0, 200.0], [80.0, 70.0, 65.0], 200.0),
        ([0.0, 100.0], [70.0, 65.0], 100.0),
        ([400.0], [65.0], 400.0),
    ],
)
def test_a_waist_at_an_end_is_a_plain_minimum(
    positions: list[float], widths: list[float], position_mm: float
) -> None:
    waist = waist_from_widths(positions, widths)
    assert (waist.position_mm, waist.width_mm, waist.method) == (
        position_mm,
        65.0,
        "plain-minimum",
    )


def test_two_equal_least_widths_put_the_waist_between_them() -> None:
    waist = waist_from_widths([0.0, 100.0, 200.0, 300.0], [66.0, 65.0, 65.0, 66.0])
    assert waist.method == "parabola"
    assert waist.position_mm == pytest.approx(150.0)
    assert waist.width_mm == pytest.approx(64.875)


def test_the_waist_never_lies_above_a_measured_width() -> None:
    positions, widths = circular_widths(17.0, 833.0)
    assert waist_from_widths(positions, widths).width_mm <= min(widths)


@pytest.mark.parametrize(
    ("positions", "widths", "error"),
    [
        ([], [], ProfileTooShortError),
        ([0.0, 100.0], [70.0], WrongCountError),
        ([0.0, 0.0, 100.0], [70.0, 66.0, 70.0], ProfileNotOrderedError),
        ([200.0, 100.0, 0.0], [70.0, 66.0, 70.0], ProfileNotOrderedError),
        ([0.0, math.inf, 300.0], [70.0, 66.0, 70.0], NotFiniteError),
        ([0.0, 100.0, 200.0], [70.0, -66.0, 70.0], OutOfRangeError),
        ([0.0, 100.0, 200.0], [70.0, 660.0, 70.0], OutOfRangeError),
    ],
)
def test_rows_of_widths_that_say_nothing_are_refused(
    positions: list[float], widths: list[float], error: type[TuningError]
) -> None:
    with pytest.raises(error):
        waist_from_widths(positions, widths)
    with pytest.raises(error):
        fit_sidecut(positions, widths)

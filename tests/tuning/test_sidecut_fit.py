"""The circle through many widths: radius, limits, residual, against SciPy and known arcs."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import stats
from scipy.optimize import curve_fit

from apps.tuning.circle import fit_circle_geometric
from apps.tuning.errors import (
    CircleImpossibleError,
    OutOfRangeError,
    ProfileTooShortError,
    SidecutImpossibleError,
    TuningError,
)
from apps.tuning.sidecut_fit import fit_sidecut, radius_limits, squares_explained
from tests.tuning.widths import AT, arc, noisy

Array = NDArray[np.float64]


# Reference: scipy.optimize.curve_fit of the same arc, whose errors are square to the ski; at
# slopes below 4 degrees the two fits differ by less than a thousandth of their uncertainty.
@pytest.mark.parametrize(("radius_m", "seed"), [(11.0, 1), (15.0, 2), (21.0, 3), (35.0, 4)])
def test_radius_and_uncertainty_are_those_of_scipy(radius_m: float, seed: int) -> None:
    widths = noisy(arc(radius_m), 0.05, seed)

    def half_width(x: Array, /, middle: float, waist: float, curvature: float) -> Array:
        along = x - middle
        rise: Array = along**2 * curvature / (1 + np.sqrt(1 - (along * curvature) ** 2))
        return waist + rise

    (_, _, curvature), covariance = curve_fit(
        half_width,
        np.array(AT) - 900.0,
        np.array(widths) / 2,
        p0=[0.0, 34.0, 1 / 15_000],
        sigma=np.full(len(AT), 0.025),
        absolute_sigma=True,
        xtol=1e-14,
        ftol=1e-14,
    )
    fit = fit_sidecut(AT, widths, 0.05)
    off = math.sqrt(covariance[2, 2])
    assert fit.radius_m == pytest.approx(1 / curvature / 1000, rel=1e-4)
    assert fit.limits.low_m == pytest.approx(1 / (curvature + 2 * off) / 1000, rel=1e-4)
    assert fit.limits.high_m == pytest.approx(1 / (curvature - 2 * off) / 1000, rel=1e-4)
    assert (fit.coverage_factor, fit.degrees_of_freedom, fit.points) == (2.0, 14, 17)


# Gander, Golub and Strebel, BIT 34 (1994) 558-578: six points (results recalled, recomputed); the
# sensitivity against the covariance of the linearised problem, (J'J)^-1, inverted by hand here.
def test_how_sensitive_the_published_circle_is() -> None:
    points = [(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)]
    fit = fit_circle_geometric(points)
    outwards = np.array(points) - (4.739782, 2.983533)
    design = np.column_stack([outwards / np.linalg.norm(outwards, axis=1)[:, None], np.ones(6)])
    variance = np.linalg.inv(design.T @ design)[2, 2]
    assert fit.radius == pytest.approx(4.714226, abs=1e-6)
    assert fit.radius_sensitivity == pytest.approx(math.sqrt(variance), rel=1e-5)


# Own data, a thousand noisy rows of known radius: k = 2 asks for 95.45 % (JCGM 100:2008, G).
def test_the_limits_hold_the_radius_as_often_as_they_say() -> None:
    generator = np.random.default_rng(7)
    held = 0
    for _ in range(400):
        widths = np.array(arc(15.0)) + generator.normal(0, 0.05, len(AT))
        limits = fit_sidecut(AT, widths.tolist(), 0.05).limits
        held += limits.high_m is not None and limits.low_m <= 15.0 <= limits.high_m
    assert 0.925 <= held / 400 <= 0.985


# Widths worse than stated: the residuals have to tell, with Student's t of n - 3 (GUM, G.3).
def test_residuals_beyond_the_stated_uncertainty_widen_the_limits() -> None:
    widths = noisy(arc(15.0), 0.4, 5)
    sure, unsure = fit_sidecut(AT, widths, 0.05), fit_sidecut(AT, widths, 0.4)
    assert (sure.explained, unsure.explained) == (False, True)
    assert sure.coverage_factor == pytest.approx(stats.t.ppf((1 + 0.9545) / 2, 14), abs=1e-3)
    assert sure.radius_m == unsure.radius_m
    scale = math.sqrt(sure.residual_rms_mm**2 * 17 / 14) / 0.2 * sure.coverage_factor / 2
    widened = sure.radius_m / sure.limits.low_m - 1
    assert widened == pytest.approx(scale * (unsure.radius_m / unsure.limits.low_m - 1))


def test_three_widths_leave_nothing_to_doubt_and_wide_limits() -> None:
    fit = fit_sidecut([200, 900, 1600], [100, 68, 100], 0.05)
    assert (fit.degrees_of_freedom, fit.explained) == (0, True)
    assert fit.residual_rms_mm == pytest.approx(0.0, abs=1e-6)
    assert fit.limits.low_m < fit.radius_m


def test_an_edge_hardly_curved_has_no_upper_limit() -> None:
    fit = fit_sidecut([200, 900, 1600], [70.0, 69.9, 70.0], 0.3)
    assert fit.limits.high_m is None
    assert radius_limits(15.0, 1.0).high_m is None
    assert radius_limits(15.0, 0.5).high_m == pytest.approx(30.0)
    assert radius_limits(15.0, 0.5).low_m == pytest.approx(10.0)


# Printed tables of chi-square at 99 %: 6.635 for one degree of freedom, 23.209 for ten.
@pytest.mark.parametrize(("limit", "freedom"), [(6.635, 1), (23.209, 10)])
def test_residuals_are_explained_up_to_the_printed_limit(limit: float, freedom: int) -> None:
    assert squares_explained((limit - 0.01) * 0.25, 0.5, freedom)
    assert not squares_explained((limit + 0.01) * 0.25, 0.5, freedom)
    assert squares_explained(1e9, 0.5, 0)


@given(radius_m=st.floats(8, 40), waist=st.floats(55, 120))
def test_an_exact_arc_gives_its_radius_back(radius_m: float, waist: float) -> None:
    fit = fit_sidecut(AT, arc(radius_m, waist), 0.05)
    assert fit.radius_m == pytest.approx(radius_m, rel=1e-6)
    assert fit.explained


@pytest.mark.parametrize(
    ("positions", "widths", "off", "error"),
    [
        ([200, 1600], [100, 100], 0.05, ProfileTooShortError),
        ([200, 900, 1600], [90, 80, 70], 0.05, CircleImpossibleError),
        ([200, 900, 1600], [80, 80, 80], 0.05, CircleImpossibleError),
        ([200, 900, 1600], [70, 90, 70], 0.05, SidecutImpossibleError),
        ([200, 900, 1600], [100, 68, 100], 0.0, OutOfRangeError),
    ],
)
def test_rows_that_have_no_radius(
    positions: list[float], widths: list[float], off: float, error: type[TuningError]
) -> None:
    with pytest.raises(error):
        fit_sidecut(positions, widths, off)

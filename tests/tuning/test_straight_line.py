"""Straight lines against certified values of NIST StRD and against NumPy."""

import math

import numpy as np
import pytest

from apps.tuning.errors import (
    NotFiniteError,
    OutOfRangeError,
    ProfileTooShortError,
    WrongCountError,
)
from apps.tuning.straight_line import fit_line, fit_line_through_zero
from tests.tuning import nist


# Certified: NIST StRD, Norris (lower difficulty, 36 points).
def test_norris() -> None:
    line = fit_line([x for _, x in nist.NORRIS_Y_X], [y for y, _ in nist.NORRIS_Y_X])
    assert line.intercept == pytest.approx(nist.NORRIS_INTERCEPT, rel=1e-11)
    assert line.slope == pytest.approx(nist.NORRIS_SLOPE, rel=1e-13)
    assert line.intercept_uncertainty == pytest.approx(nist.NORRIS_INTERCEPT_DEVIATION, rel=1e-11)
    assert line.slope_uncertainty == pytest.approx(nist.NORRIS_SLOPE_DEVIATION, rel=1e-11)
    assert line.residual_deviation == pytest.approx(nist.NORRIS_RESIDUAL, rel=1e-11)
    assert line.degrees_of_freedom == 34


# Certified: NIST StRD, NoInt1 and NoInt2 (average difficulty), recalled from memory.
@pytest.mark.parametrize(
    ("x", "y", "certified"),
    [
        (nist.NOINT1_X, nist.NOINT1_Y, nist.NOINT1),
        (nist.NOINT2_X, nist.NOINT2_Y, nist.NOINT2),
    ],
)
def test_lines_without_intercept(
    x: tuple[int, ...], y: tuple[int, ...], certified: tuple[float, float, float]
) -> None:
    line = fit_line_through_zero(x, y)
    found = (line.slope, line.slope_uncertainty, line.residual_deviation)
    assert found == pytest.approx(certified, rel=1e-12)
    assert (line.intercept, line.intercept_uncertainty) == (0.0, 0.0)


# Reference library: numpy.polyfit with weights 1 / u and its unscaled covariance scaled by chi2.
def test_weights_agree_with_numpy() -> None:
    x, y, u = (
        [0.0, 1.0, 3.0, 4.0, 7.0],
        [1.8, 1.76, 1.70, 1.62, 1.55],
        [0.01, 0.02, 0.01, 0.03, 0.02],
    )
    line = fit_line(x, y, [1.0 / one**2 for one in u])
    found, covariance = np.polyfit(x, y, 1, w=[1.0 / one for one in u], cov=True)
    assert (line.slope, line.intercept) == pytest.approx(tuple(found), rel=1e-10)
    assert line.slope_uncertainty == pytest.approx(math.sqrt(covariance[0, 0]), rel=1e-9)
    assert line.intercept_uncertainty == pytest.approx(math.sqrt(covariance[1, 1]), rel=1e-9)


def test_nothing_is_over_with_as_many_points_as_coefficients() -> None:
    line = fit_line([1, 3], [2, 6])
    assert (line.slope, line.intercept) == (2.0, 0.0)
    assert (line.slope_uncertainty, line.residual_deviation) == (None, None)
    assert fit_line_through_zero([2], [5]).slope_uncertainty is None


def test_bad_points_are_refused() -> None:
    with pytest.raises(ProfileTooShortError):
        fit_line([1.0], [1.0])
    with pytest.raises(WrongCountError):
        fit_line([1.0, 2.0], [1.0])
    with pytest.raises(WrongCountError):
        fit_line([1.0, 2.0], [1.0, 2.0], [1.0])
    with pytest.raises(NotFiniteError):
        fit_line([1.0, math.nan], [1.0, 2.0])
    with pytest.raises(NotFiniteError):
        fit_line([1.0, 2.0], [1.0, math.inf])
    with pytest.raises(OutOfRangeError):
        fit_line([1.0, 2.0], [1.0, 2.0], [1.0, 0.0])
    with pytest.raises(OutOfRangeError) as same:
        fit_line([2.0, 2.0], [1.0, 2.0])
    assert same.value.field == "x"
    with pytest.raises(OutOfRangeError):
        fit_line_through_zero([0.0, 0.0], [1.0, 2.0])

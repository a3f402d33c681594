"""A straight line through points of which some are surer than others."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from apps.tuning.errors import (
    OutOfRangeError,
    require_finite,
    require_points,
    require_positive,
    require_same_length,
)

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Line:
    """A fitted straight line ``y = intercept + slope * x``.

    Attributes
    ----------
    intercept, slope : float
        Coefficients [unit of y], [unit of y per unit of x].
    intercept_uncertainty, slope_uncertainty : float or None
        Standard uncertainties from the scatter about the line; None where no point is over.
    residual_deviation : float or None
        Root of the weighted mean square about the line [unit of y where all weights are 1].
    degrees_of_freedom : int
        Points less coefficients.
    """

    intercept: float
    slope: float
    intercept_uncertainty: float | None
    slope_uncertainty: float | None
    residual_deviation: float | None
    degrees_of_freedom: int


def fit_line(
    x: Sequence[float], y: Sequence[float], weights: Sequence[float] | None = None
) -> Line:
    """Fit a straight line by weighted least squares.

    Parameters
    ----------
    x, y : sequence of float, shape (n,)
        At least two points, not all above one another [any units].
    weights : sequence of float, shape (n,), optional
        Weight of each, above zero [1], such as ``1 / u**2``; all alike if left out.

    Returns
    -------
    Line
        Two points leave nothing to judge the line by, and then its uncertainties are None.

    Raises
    ------
    ProfileTooShortError
        If there are fewer than two points.
    WrongCountError
        If the lists don't pair up.
    NotFiniteError, OutOfRangeError
        If a number is not finite, a weight not above zero, or all points share one x.

    Notes
    -----
    Source: the normal equations about the weighted means, which keep the digits that the plain
    sums lose (any textbook; checked against the certified values of NIST StRD).
    """
    at, values, sure = _arrays(x, y, weights)
    total = sure.sum()
    middle, level = (sure @ at) / total, (sure @ values) / total
    spread = float(sure @ (at - middle) ** 2)
    if spread == 0.0:
        raise OutOfRangeError(
            "x is the same for all points. Give points at two places at least.", field="x"
        )
    slope = float(sure @ ((at - middle) * (values - level))) / spread
    residuals = values - level - slope * (at - middle)
    factors = (1.0 / total + middle**2 / spread, 1.0 / spread)
    return _line(float(level - slope * middle), slope, float(sure @ residuals**2), at.size, factors)


def fit_line_through_zero(
    x: Sequence[float], y: Sequence[float], weights: Sequence[float] | None = None
) -> Line:
    """Fit a straight line that passes through zero.

    Parameters, returns and errors are those of `fit_line`, but one point is enough; the
    intercept is zero and sure.

    Raises
    ------
    ProfileTooShortError, WrongCountError, NotFiniteError, OutOfRangeError
        As `fit_line`, and if all x are zero.

    Notes
    -----
    Source: checked against the certified values of NIST StRD, sets NoInt1 and NoInt2.
    """
    at, values, sure = _arrays(x, y, weights, least=1)
    spread = float(sure @ at**2)
    if spread == 0.0:
        raise OutOfRangeError("x is zero for all points. Give another point.", field="x")
    slope = float(sure @ (at * values)) / spread
    residuals = values - slope * at
    return _line(0.0, slope, float(sure @ residuals**2), at.size, (0.0, 1.0 / spread), free=1)


def _arrays(
    x: Sequence[float], y: Sequence[float], weights: Sequence[float] | None, least: int = 2
) -> tuple[Floats, Floats, Floats]:
    chosen = [1.0] * len(x) if weights is None else weights
    require_points(x, "x", least)
    require_same_length(x, y, "x", "y")
    require_same_length(x, chosen, "x", "weights")
    for at, value, weight in zip(x, y, chosen, strict=True):
        require_finite(at, "x")
        require_finite(value, "y")
        require_positive(weight, "weights")
    return np.array(x, float), np.array(y, float), np.array(chosen, float)


def _line(
    intercept: float,
    slope: float,
    squares: float,
    points: int,
    factors: tuple[float, float],
    free: int = 2,
) -> Line:
    degrees = points - free
    if degrees == 0:
        return Line(intercept, slope, None, None, None, 0)
    variance = squares / degrees
    of_intercept, of_slope = (math.sqrt(variance * factor) for factor in factors)
    return Line(intercept, slope, of_intercept, of_slope, math.sqrt(variance), degrees)

"""The closest series that only falls (or only rises), weighted by how sure each value is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
from scipy.optimize import isotonic_regression

from apps.tuning.errors import (
    require_finite,
    require_points,
    require_positive,
    require_same_length,
)

Direction = Literal["falling", "rising"]


@dataclass(frozen=True, slots=True)
class MonotoneFit:
    """Closest falling or rising series to some values.

    Attributes
    ----------
    fitted : tuple of float, shape (n,)
        One for each value [unit of the values].
    weights : tuple of float, shape (n,)
        Weight of the block each value was pooled into [1]: the sum over the block.
    blocks : tuple of (int, int), shape (m,)
        First index and index past the last of each run that shares one fitted value.
    """

    fitted: tuple[float, ...]
    weights: tuple[float, ...]
    blocks: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class LastLevel:
    """Where a falling fit ends.

    Attributes
    ----------
    value : float
        Fitted last value [unit of the values].
    low, high : float
        Limits, k = 2 [same unit].
    members : tuple of int
        Indices of the values that were pooled into it.
    """

    value: float
    low: float
    high: float
    members: tuple[int, ...]


def closest_monotone(
    values: Sequence[float],
    weights: Sequence[float] | None = None,
    *,
    direction: Direction = "falling",
) -> MonotoneFit:
    """Closest monotone series in the sense of weighted least squares.

    Parameters
    ----------
    values : sequence of float, shape (n,)
        Values in order [any unit].
    weights : sequence of float, shape (n,), optional
        Weight of each, above zero [1]; all alike if left out.
    direction : {"falling", "rising"}
        Non-increasing or non-decreasing.

    Returns
    -------
    MonotoneFit
        Fitted values with the blocks they were pooled into.

    Raises
    ------
    ProfileTooShortError
        If there is no value.
    WrongCountError
        If values and weights don't pair up.
    NotFiniteError, OutOfRangeError
        If a value is not an ordinary number or a weight not above zero.

    Notes
    -----
    Source: pool-adjacent-violators, as in Busing 2022, J. Stat. Softw. 102(1); SciPy's own.
    """
    chosen = [1.0] * len(values) if weights is None else list(weights)
    require_points(values, "values", 1)
    require_same_length(values, chosen, "values", "weights")
    for value, weight in zip(values, chosen, strict=True):
        require_finite(value, "values")
        require_positive(weight, "weights")
    found = isotonic_regression(
        np.array(values, dtype=float),
        weights=np.array(chosen, dtype=float),
        increasing=direction == "rising",
    )
    blocks = tuple(pairwise(int(edge) for edge in found.blocks))
    pooled = [
        float(weight)
        for (start, stop), weight in zip(blocks, found.weights, strict=True)
        for _ in range(start, stop)
    ]
    return MonotoneFit(tuple(float(one) for one in found.x), tuple(pooled), blocks)


def fit_falling(
    values: Sequence[float], standard_uncertainties: Sequence[float]
) -> tuple[MonotoneFit, LastLevel]:
    """Fit readings of something that can't grow, and say where they end and how sure that is.

    Parameters
    ----------
    values : sequence of float, shape (n,)
        Readings in order of time [any unit].
    standard_uncertainties : sequence of float, shape (n,)
        Standard uncertainty of each, above zero [same unit]. They are taken as independent.

    Returns
    -------
    tuple of MonotoneFit and LastLevel
        The fit weighted by ``1 / u**2``, and its last level with limits. Readings that were
        pooled and lie further apart than their uncertainties explain widen the limits by their
        scatter; the upper limit never passes the last reading and its own uncertainty.

    Raises
    ------
    ProfileTooShortError, WrongCountError, NotFiniteError, OutOfRangeError
        As `closest_monotone`.

    Notes
    -----
    Source: weighted mean and its internal and external uncertainty (the Birge ratio, R. T.
    Birge, Phys. Rev. 40 (1932) 207, recalled from memory) over the last block; the upper limit
    is physics: what is there now was there at the last reading.
    """
    require_same_length(values, standard_uncertainties, "values", "standard_uncertainties")
    for uncertainty in standard_uncertainties:
        require_positive(uncertainty, "standard_uncertainties")
    fit = closest_monotone(values, [1.0 / uncertainty**2 for uncertainty in standard_uncertainties])
    start, stop = fit.blocks[-1]
    members = tuple(range(start, stop))
    level = fit.fitted[-1]
    residuals = [(values[i] - level) / standard_uncertainties[i] for i in members]
    spread = 2.0 * _widened(fit.weights[-1], residuals)
    most = values[-1] + 2.0 * standard_uncertainties[-1]
    # Rounding in the fit may lift a level above its only reading by the last bit.
    high = max(level, min(level + spread, most))
    return fit, LastLevel(level, level - spread, high, members)


def _widened(weight: float, residuals: Sequence[float]) -> float:
    """Standard uncertainty of a pooled level, the larger of the internal and the external one."""
    internal = 1.0 / math.sqrt(weight)
    if len(residuals) == 1:
        return internal
    birge = math.hypot(*residuals) / math.sqrt(len(residuals) - 1)
    return internal * max(1.0, birge)

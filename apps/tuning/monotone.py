"""The closest series that only falls (or only rises), weighted by how sure each value is."""

from __future__ import annotations

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

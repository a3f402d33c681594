"""Uncertainties that have something in common: what becomes of it in sums and differences."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from apps.tuning.errors import (
    OutOfRangeError,
    require_finite,
    require_not_negative,
    require_points,
    require_same_length,
)

# The last bits of a variance that is nothing may fall below it.
_ROUNDING = 1e-12


def combine_correlated(
    contributions: Sequence[float], correlations: Sequence[Sequence[float]]
) -> float:
    """Combine the contributions of inputs that are not independent.

    Parameters
    ----------
    contributions : sequence of float, shape (n,)
        Sensitivity times standard uncertainty of each input, with the sign of the sensitivity
        [unit of the result].
    correlations : sequence of sequence of float, shape (n, n)
        Correlation coefficients of the inputs [1], with ones on the diagonal.

    Returns
    -------
    float
        Combined standard uncertainty [unit of the result].

    Raises
    ------
    ProfileTooShortError, WrongCountError
        If there is no contribution, or the correlations are not as many, row by row.
    NotFiniteError, OutOfRangeError
        If a number is not finite, a coefficient outside -1 to 1, the table not its own mirror,
        or all of them together can't be true at once.

    Notes
    -----
    Source: JCGM 100:2008, equation 16 with the sensitivities taken into the contributions.
    """
    require_points(contributions, "contributions", 1)
    require_same_length(contributions, correlations, "contributions", "correlations")
    for contribution in contributions:
        require_finite(contribution, "contributions")
    for row in correlations:
        require_same_length(contributions, row, "contributions", "correlations")
    table = np.array(correlations, dtype=float)
    _require_correlations(table)
    parts = np.array(contributions, dtype=float)
    return math.sqrt(max(0.0, float(parts @ table @ parts)))


def difference_standard(
    first_standard_uncertainty: float,
    second_standard_uncertainty: float,
    shared_standard_uncertainty: float = 0.0,
) -> float:
    """Standard uncertainty of the difference of two values that have a part in common.

    Parameters
    ----------
    first_standard_uncertainty, second_standard_uncertainty : float
        Of the two values (k = 1) [one unit].
    shared_standard_uncertainty : float
        The part of both that is one and the same error, such as the zero of one gauge (k = 1)
        [same unit]; not above the smaller of the two.

    Returns
    -------
    float
        ``sqrt(u1**2 + u2**2 - 2 s**2)`` [same unit].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If one is negative or not a number, or the shared part is above one of the two.

    Notes
    -----
    Source: JCGM 100:2008, 5.2.2 and F.1.2.3: the covariance is the variance of what is shared.
    """
    uncertainties = (first_standard_uncertainty, second_standard_uncertainty)
    for uncertainty in uncertainties:
        require_not_negative(uncertainty, "standard_uncertainty")
    most = min(uncertainties)
    shared = require_not_negative(
        shared_standard_uncertainty, "shared_standard_uncertainty", most * (1.0 + _ROUNDING)
    )
    own = [math.sqrt(max(0.0, one**2 - shared**2)) for one in uncertainties]
    return math.hypot(*own)


def _require_correlations(table: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> None:
    # A NaN fails the first comparison too.
    if not bool(np.all(np.abs(table) <= 1.0)):
        _refuse("A coefficient lies outside -1 to 1.")
    if not bool(np.all(np.diag(table) == 1.0) and np.array_equal(table, table.T)):
        _refuse("The table needs ones on its diagonal and must be its own mirror.")
    if float(np.linalg.eigvalsh(table)[0]) < -1e-9:
        _refuse("These coefficients can't all be true at once.")


def _refuse(sentence: str) -> None:
    raise OutOfRangeError(f"{sentence} Mend the correlations.", field="correlations")

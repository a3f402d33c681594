"""How sure a number is: uncertainties combined, expanded and compared by JCGM 100:2008 (GUM)."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from apps.tuning.errors import (
    OutOfRangeError,
    require_finite,
    require_not_negative,
    require_points,
    require_positive,
    require_same_length,
)
from apps.tuning.quantiles import t_quantile

USUAL_COVERAGE_FACTOR = 2.0


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value and how sure it is.

    Attributes
    ----------
    value : float
        Best estimate, in the unit its holder names.
    standard_uncertainty : float
        One standard deviation of the estimate (k = 1), same unit.

    Raises
    ------
    NotFiniteError
        If either number is NaN or infinite.
    OutOfRangeError
        If the uncertainty is negative.
    """

    value: float
    standard_uncertainty: float

    def __post_init__(self) -> None:
        require_finite(self.value, "value")
        require_not_negative(self.standard_uncertainty, "standard_uncertainty")

    def expanded(self, coverage_factor: float = USUAL_COVERAGE_FACTOR) -> float:
        """Return the expanded uncertainty, k times the standard one [unit of the value]."""
        return coverage_factor * self.standard_uncertainty


@dataclass(frozen=True, slots=True)
class RiseJudgement:
    """Whether material that seems to have grown back may be a matter of reading only.

    Attributes
    ----------
    rise : float
        Later reading minus earlier one [unit of the readings].
    limit : float
        The largest rise that the two uncertainties explain [same unit].
    explained : bool
        True when the rise does not pass the limit.
    """

    rise: float
    limit: float
    explained: bool


def combine_standard(*standard_uncertainties: float) -> float:
    """Combine independent standard uncertainties of one quantity by root sum of squares.

    Parameters
    ----------
    *standard_uncertainties : float
        Standard uncertainties, each already in the unit of the result (k = 1).

    Returns
    -------
    float
        Combined standard uncertainty [same unit].

    Raises
    ------
    ProfileTooShortError
        If none is given: no reading is not a sure reading.
    NotFiniteError, OutOfRangeError
        If one is not a number or is negative.

    Notes
    -----
    Source: JCGM 100:2008, equation 10 with unit sensitivities.
    """
    require_points(standard_uncertainties, "standard_uncertainties", 1)
    for uncertainty in standard_uncertainties:
        require_not_negative(uncertainty, "standard_uncertainties")
    return math.hypot(*standard_uncertainties)


def standard_from_expanded(
    expanded_uncertainty: float, coverage_factor: float = USUAL_COVERAGE_FACTOR
) -> float:
    """Turn an expanded uncertainty into the standard one.

    Parameters
    ----------
    expanded_uncertainty : float
        Uncertainty as a certificate or a bench states it [any unit].
    coverage_factor : float
        The k it was stated with [1]; 2 is usual.

    Returns
    -------
    float
        Standard uncertainty [same unit].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the uncertainty is negative, k is not above zero, or one is not a number.

    Notes
    -----
    Source: JCGM 100:2008, 4.3.3 and 6.2.1.
    """
    require_not_negative(expanded_uncertainty, "expanded_uncertainty")
    require_positive(coverage_factor, "coverage_factor")
    return expanded_uncertainty / coverage_factor


def rectangular_standard(step: float) -> float:
    """Give the standard uncertainty of a display that moves in steps.

    Parameters
    ----------
    step : float
        Full width of one step [any unit]; the true value may lie half a step to either side.

    Returns
    -------
    float
        ``step / sqrt(12)`` [same unit].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the step is negative or not a number.

    Notes
    -----
    Source: JCGM 100:2008, 4.3.7 and F.2.2.1.
    """
    return require_not_negative(step, "step") / math.sqrt(12.0)


def effective_degrees_of_freedom(
    standard_uncertainties: Sequence[float], degrees_of_freedom: Sequence[float]
) -> float:
    """Degrees of freedom of a combined uncertainty, by Welch and Satterthwaite.

    Parameters
    ----------
    standard_uncertainties : sequence of float, shape (n,)
        Parts of the combined uncertainty [one unit].
    degrees_of_freedom : sequence of float, shape (n,)
        Degrees of freedom of each part [1]; ``math.inf`` for a part known from elsewhere.

    Returns
    -------
    float
        Effective degrees of freedom [1], not truncated; infinite when no part limits them.

    Raises
    ------
    WrongCountError, ProfileTooShortError
        If the lists do not pair up or are empty.
    NotFiniteError, OutOfRangeError
        If a part is negative or not a number, or its degrees of freedom are not above zero.

    Notes
    -----
    Source: JCGM 100:2008, equation G.2b.
    """
    require_same_length(
        standard_uncertainties, degrees_of_freedom, "standard_uncertainties", "degrees_of_freedom"
    )
    combined = combine_standard(*standard_uncertainties)
    for degrees in degrees_of_freedom:
        _require_degrees(degrees)
    if combined == 0:
        return math.inf
    # Ratios first: the fourth power of a bare uncertainty in metres would run out of digits.
    limit = sum(
        (part / combined) ** 4 / degrees
        for part, degrees in zip(standard_uncertainties, degrees_of_freedom, strict=True)
    )
    return 1.0 / limit if limit > 0 else math.inf


def coverage_factor(degrees_of_freedom: float, confidence: float = 0.95) -> float:
    """Two-sided coverage factor from Student's t.

    Parameters
    ----------
    degrees_of_freedom : float
        Degrees of freedom of the combined uncertainty [1]; may be infinite.
    confidence : float
        Level of confidence of the interval [1], between 0 and 1.

    Returns
    -------
    float
        Factor k for an interval of plus and minus k standard uncertainties [1].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the degrees of freedom are not above zero or the confidence is not inside (0, 1).

    Notes
    -----
    Source: JCGM 100:2008, G.3 and table G.2.
    """
    _require_degrees(degrees_of_freedom)
    if require_positive(confidence, "confidence", 1.0) == 1.0:
        raise OutOfRangeError(
            "confidence is 1, and nothing is that sure. Give a value below 1.", field="confidence"
        )
    return t_quantile((1.0 + confidence) / 2.0, degrees_of_freedom)


def rise_limit(
    earlier_standard_uncertainty: float,
    later_standard_uncertainty: float,
    factor: float = USUAL_COVERAGE_FACTOR,
) -> float:
    """Largest rise between two readings of something that can't grow.

    Parameters
    ----------
    earlier_standard_uncertainty, later_standard_uncertainty : float
        Standard uncertainties of the two readings [one unit].
    factor : float
        Coverage factor k of their difference [1].

    Returns
    -------
    float
        ``k * sqrt(u1**2 + u2**2)`` [same unit].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If an uncertainty is negative, k is not above zero, or one is not a number.

    Notes
    -----
    Source: JCGM 100:2008, 5.1.2 for the difference of two independent quantities.
    """
    require_positive(factor, "factor")
    return factor * combine_standard(earlier_standard_uncertainty, later_standard_uncertainty)


def judge_rise(
    earlier: Estimate, later: Estimate, factor: float = USUAL_COVERAGE_FACTOR
) -> RiseJudgement:
    """Say whether a rise between two readings is explained by their uncertainty.

    Parameters
    ----------
    earlier, later : Estimate
        The two readings, in order of time [one unit].
    factor : float
        Coverage factor k of their difference [1].

    Returns
    -------
    RiseJudgement
        The rise, the limit and the verdict; a fall is always explained.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If k is not above zero or not a number.

    Notes
    -----
    Source: JCGM 100:2008, 5.1.2; the rule that material never grows back is physics.
    """
    rise = later.value - earlier.value
    limit = rise_limit(earlier.standard_uncertainty, later.standard_uncertainty, factor)
    return RiseJudgement(rise=rise, limit=limit, explained=rise <= limit)


def rise_is_explained(
    rise: float,
    earlier_standard_uncertainty: float,
    later_standard_uncertainty: float,
    factor: float = USUAL_COVERAGE_FACTOR,
) -> bool:
    """Return whether `rise` stays within `rise_limit` of the two uncertainties [one unit].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If a number is NaN or infinite, an uncertainty is negative, or k is not above zero.
    """
    require_finite(rise, "rise")
    return rise <= rise_limit(earlier_standard_uncertainty, later_standard_uncertainty, factor)


def _require_degrees(degrees_of_freedom: float) -> None:
    if math.isnan(degrees_of_freedom) or degrees_of_freedom <= 0:
        raise OutOfRangeError(
            f"degrees_of_freedom is {degrees_of_freedom}. Give a value above zero.",
            field="degrees_of_freedom",
        )

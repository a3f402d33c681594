"""Whether a finished tune met its target: pass, fail or undecided, as in ISO 14253-1:2017."""

import math
from dataclasses import dataclass
from typing import Literal

from scipy import optimize

from apps.tuning.errors import (
    OutOfRangeError,
    ToleranceImpossibleError,
    require_finite,
    require_positive,
)
from apps.tuning.quantiles import normal_probability, normal_quantile
from apps.tuning.uncertainty import Estimate

STANDARD = "ISO 14253-1:2017"
USUAL_CONFORMANCE_PROBABILITY = 0.95

Outcome = Literal["pass", "fail", "undecided"]


@dataclass(frozen=True, slots=True)
class Tolerance:
    """The values a target allows; a side without a limit is None.

    Attributes
    ----------
    lower, upper : float or None
        Least and greatest value allowed [unit of the reading].

    Raises
    ------
    ToleranceImpossibleError
        If both sides are open, or the lower limit is above the upper one.
    NotFiniteError
        If a limit is NaN or infinite; leave it out instead.
    """

    lower: float | None = None
    upper: float | None = None

    def __post_init__(self) -> None:
        given = [limit for limit in (self.lower, self.upper) if limit is not None]
        if not given:
            raise ToleranceImpossibleError(
                "The tolerance has no limit. Give one.", field="tolerance"
            )
        for limit in given:
            require_finite(limit, "tolerance")
        if given[0] > given[-1]:
            raise ToleranceImpossibleError(
                f"The lower limit {given[0]:g} is above the upper limit {given[-1]:g}. Swap them.",
                field="tolerance",
            )


@dataclass(frozen=True, slots=True)
class Conformity:
    """The verdict on one reading, with what it rests on.

    Attributes
    ----------
    outcome : {"pass", "fail", "undecided"}
        Conformity proved, its contrary proved, or neither.
    probability : float
        Probability that the true value lies within the tolerance [1].
    guard_band : float
        Width beside a single limit where nothing is proved, one-sided normal [unit of reading].
    deciding_uncertainty : float or None
        Largest standard uncertainty that would give a verdict at this reading [same unit]; None
        where the reading lies on a limit and no gauge could tell.
    standard : str
        The standard whose decision rule was used.
    """

    outcome: Outcome
    probability: float
    guard_band: float
    deciding_uncertainty: float | None
    standard: str = STANDARD


def conformance_probability(reading: Estimate, tolerance: Tolerance) -> float:
    """Probability that the true value of a normal reading lies within a tolerance.

    Parameters
    ----------
    reading : Estimate
        Measured value and its standard uncertainty [unit of the tolerance].
    tolerance : Tolerance
        Limits, both of which are allowed values themselves.

    Returns
    -------
    float
        Probability [1]; exactly 0 or 1 for a reading without uncertainty.

    Notes
    -----
    Source: JCGM 106:2012, 7.2 to 7.4.
    """
    # The survival function keeps the digits that one minus the distribution would lose.
    below = 0.0 if tolerance.lower is None else _chance_below(tolerance.lower, reading)
    above = 0.0 if tolerance.upper is None else _chance_above(tolerance.upper, reading)
    return max(0.0, 1.0 - below - above)


def judge_conformity(
    reading: Estimate,
    tolerance: Tolerance,
    required_probability: float = USUAL_CONFORMANCE_PROBABILITY,
) -> Conformity:
    """Say whether a reading proves that a target was met.

    Parameters
    ----------
    reading : Estimate
        Measured value and its standard uncertainty [unit of the tolerance].
    tolerance : Tolerance
        Limits of the target.
    required_probability : float
        How sure a verdict has to be [1], above 0.5 and below 1.

    Returns
    -------
    Conformity
        Pass when it is that probable that the true value lies within the tolerance, fail when it
        is that probable that it lies beyond one limit, else undecided.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the required probability is not inside (0.5, 1).

    Notes
    -----
    Source: ISO 14253-1:2017, default rule of 95 % conformance probability. Beside a single limit
    that is a guard band of 1.645 standard uncertainties. A tolerance narrower than the
    uncertainty can never be passed, which the probability shows and two guard bands would not;
    nor does a gauge too coarse to pass anything make a reading inside the tolerance fail.
    """
    _require_verdict_probability(required_probability)
    probability = conformance_probability(reading, tolerance)
    factor = normal_quantile(required_probability)
    return Conformity(
        _outcome(reading, tolerance, required_probability),
        probability,
        factor * reading.standard_uncertainty,
        deciding_standard_uncertainty(reading.value, tolerance, required_probability),
    )


def deciding_standard_uncertainty(
    value: float,
    tolerance: Tolerance,
    required_probability: float = USUAL_CONFORMANCE_PROBABILITY,
) -> float | None:
    """Largest standard uncertainty with which a reading would be decided.

    Parameters
    ----------
    value : float
        The reading [unit of the tolerance].
    tolerance : Tolerance
        Limits of the target.
    required_probability : float
        How sure a verdict has to be [1], above 0.5 and below 1.

    Returns
    -------
    float or None
        Standard uncertainty [same unit]; any smaller one decides too. None on a limit.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the value is not a number or the required probability is not inside (0.5, 1).

    Notes
    -----
    Source: derived from the rule of `judge_conformity`. Beyond a limit, and inside a tolerance
    with one limit, it is the distance over the one-sided factor; between two limits the root of
    a probability that falls as the uncertainty grows.
    """
    _require_verdict_probability(required_probability)
    room = _room(Estimate(value, 0.0), tolerance)
    one_sided = normal_quantile(required_probability)
    if room == 0:
        return None
    if room < 0 or tolerance.lower is None or tolerance.upper is None:
        return abs(room) / one_sided

    def missing(uncertainty: float) -> float:
        found = conformance_probability(Estimate(value, uncertainty), tolerance)
        return found - required_probability

    # With both limits equally near each may be missed half as often; with one far away it is
    # the one-sided case. The root lies between the two, or on one of them but for rounding.
    two_sided = normal_quantile((1.0 + required_probability) / 2.0)
    return float(optimize.brentq(missing, 0.999 * room / two_sided, 1.001 * room / one_sided))


def _room(reading: Estimate, tolerance: Tolerance) -> float:
    """Distance to the nearer limit, below zero beyond it."""
    below = math.inf if tolerance.lower is None else reading.value - tolerance.lower
    above = math.inf if tolerance.upper is None else tolerance.upper - reading.value
    return min(below, above)


def _outcome(reading: Estimate, tolerance: Tolerance, required: float) -> Outcome:
    if conformance_probability(reading, tolerance) >= required:
        return "pass"
    below = 0.0 if tolerance.lower is None else _chance_below(tolerance.lower, reading)
    above = 0.0 if tolerance.upper is None else _chance_above(tolerance.upper, reading)
    return "fail" if max(below, above) >= required else "undecided"


def _chance_below(limit: float, reading: Estimate) -> float:
    if reading.standard_uncertainty == 0:
        return float(reading.value < limit)
    return normal_probability((limit - reading.value) / reading.standard_uncertainty)


def _chance_above(limit: float, reading: Estimate) -> float:
    if reading.standard_uncertainty == 0:
        return float(reading.value > limit)
    return normal_probability((reading.value - limit) / reading.standard_uncertainty)


def _require_verdict_probability(required_probability: float) -> None:
    require_positive(required_probability, "required_probability", 1.0)
    if not 0.5 < required_probability < 1.0:
        raise OutOfRangeError(
            f"required_probability is {required_probability:g}. "
            "Give a value above 0.5 and below 1.",
            field="required_probability",
        )

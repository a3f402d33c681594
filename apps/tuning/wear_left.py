"""How long the material of each ski lasts: services and seasons until it is below the least.

What is left falls by one service after another. The limits are where a line that falls as fast
and as unevenly as the readings allow, and one that falls as slowly, pass the shop's least.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray
from scipy import special

from apps.tuning.errors import OutOfRangeError, require_finite, require_positive
from apps.tuning.wear_pace import Pace
from apps.tuning.wear_policy import AS_NOW, Policy, under
from apps.tuning.wear_rates import ShrunkRates
from apps.tuning.wear_statistics import WearColumns

Floats = NDArray[np.float64]

AS_NORMAL = 500.0
"""Degrees of freedom from which Student's t is the normal distribution within 0.0004."""

SURE = 0.90
"""Confidence of the intervals of this module, unless asked otherwise."""


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """How the reserve of each ski falls with services or seasons ``x``, arrays of shape (n,).

    Its mean is ``reserve - fall x``, its variance ``start + steps x + drift x**2`` [mm, mm2].

    Attributes
    ----------
    reserve_mm, fall_mm : array of float
        Level above the least now, and what falls for each ``x``; never below zero.
    start_mm2 : array of float
        Variance of the level now.
    steps_mm2 : array of float
        Variance that each ``x`` adds by itself: no two services are alike.
    drift_mm2 : array of float
        Variance that grows with the square of ``x``: the rate is not known surely.
    degrees_of_freedom : array of float
        Effective ones [1].
    """

    reserve_mm: Floats
    fall_mm: Floats
    start_mm2: Floats
    steps_mm2: Floats
    drift_mm2: Floats
    degrees_of_freedom: Floats

    def below_at(self, x: float) -> Floats:
        """Chance that each ski is below the least at ``x`` [1]; NaN where unknown."""
        if self.degrees_of_freedom.min(initial=np.inf) > AS_NORMAL:
            return np.asarray(special.ndtr(self._passed(x)))
        return np.asarray(special.stdtr(self.degrees_of_freedom, self._passed(x)))

    def steepness_at(self, x: float) -> Floats:
        """How much that chance grows with each mm more that fell by ``x`` [1/mm]."""
        density = np.exp(-0.5 * self._passed(x) ** 2) / np.sqrt(2.0 * np.pi)
        return np.asarray(density / self._deviation(x))

    def of(self, chosen: NDArray[np.bool_]) -> Course:
        """The course of some of the skis."""
        return Course(*(getattr(self, one.name)[chosen] for one in fields(self)))

    def _deviation(self, x: float) -> Floats:
        return np.sqrt(self.start_mm2 + self.steps_mm2 * x + self.drift_mm2 * x * x)

    def _passed(self, x: float) -> Floats:
        return (self.fall_mm * x - self.reserve_mm) / self._deviation(x)


@dataclass(frozen=True, slots=True, eq=False)
class Left:
    """How many services or seasons are left, arrays of shape (n,).

    Attributes
    ----------
    value, low, high : array of float
        Until the least is reached [1]; 0 where it is reached, inf where no end is in sight, NaN
        where nothing is known. 5.4 services are five whole ones and a part of the sixth.
    confidence : float
        Chance that the truth lies between the limits [1].
    """

    value: Floats
    low: Floats
    high: Floats
    confidence: float

    @property
    def whole(self) -> Left:
        """The whole numbers below; the limits hold the truth at least as surely."""
        return Left(np.floor(self.value), np.floor(self.low), np.floor(self.high), self.confidence)


def course_by_services(columns: WearColumns, rates: ShrunkRates, least_mm: float) -> Course:
    """How the reserve of each ski falls with the services from now on.

    Parameters
    ----------
    columns : WearColumns
        The skis, n of them.
    rates : ShrunkRates
        Of the same skis.
    least_mm : float
        The shop's least [mm].

    Returns
    -------
    Course
        Arrays of shape (n,), NaN where no level was read.

    Raises
    ------
    NotFiniteError
        If the least is not an ordinary number.
    """
    one, none = np.ones(columns.count), np.zeros(columns.count)
    services = _Services(one, none, none, none, none, 1.0, rates.degrees_of_freedom)
    return _course(columns, rates, least_mm, services)


def course_by_seasons(
    columns: WearColumns,
    rates: ShrunkRates,
    pace: Pace,
    least_mm: float,
    policy: Policy = AS_NOW,
) -> Course:
    """How the reserve of each ski falls with the seasons from now on.

    Parameters
    ----------
    columns, rates, least_mm
        As `course_by_services`.
    pace : Pace
        Services a season as now, of the same skis.
    policy : Policy
        How the services to come will differ; those done since the last level were as now.

    Returns
    -------
    Course
        Arrays of shape (n,), NaN where no level was read or the use is unknown.

    Notes
    -----
    Source: variance of a product of independent quantities (L. A. Goodman, J. Am. Stat. Assoc.
    55 (1960) 708-713, recalled).
    """
    # A service falls due somewhere in the half service to either side.
    phase = np.full(columns.count, 1.0 / 12.0)
    to_come = under(policy, pace)
    services = _Services(
        to_come.services,
        to_come.variance,
        to_come.process,
        pace.ahead,
        phase,
        policy.removal_factor,
        pace.degrees_of_freedom,
    )
    return _course(columns, rates, least_mm, services)


def crossing(course: Course, confidence: float = SURE) -> Left:
    """When the reserve of each ski runs out, between limits.

    Parameters
    ----------
    course : Course
        Of n skis.
    confidence : float
        Of the limits [1], between 0 and 1.

    Returns
    -------
    Left
        The limits are the roots of ``(reserve - fall x)**2 = k**2 (variance at x)``; there may be
        no upper one.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the confidence is not inside (0, 1).

    Notes
    -----
    Source: the quotient of two uncertain quantities by E. C. Fieller, J. R. Stat. Soc. B 16
    (1954) 175-185 (recalled), with the variance of a sum of unlike steps in it.
    """
    if require_positive(confidence, "confidence", 1.0) == 1.0:
        raise OutOfRangeError("confidence is 1. Give a value below 1.", field="confidence")
    k = special.stdtrit(course.degrees_of_freedom, (1.0 + confidence) / 2.0)
    reserve, fall, start = course.reserve_mm, course.fall_mm, np.sqrt(course.start_mm2)
    a = fall**2 - k**2 * course.drift_mm2
    b = 2.0 * reserve * fall + k**2 * course.steps_mm2
    c = reserve**2 - k**2 * course.start_mm2
    root = b + np.sqrt(np.maximum(b * b - 4.0 * a * c, 0.0))
    low = np.where(reserve > k * start, _quotient(2.0 * c, root), 0.0)
    high = np.where(reserve > -k * start, _quotient(root, 2.0 * np.maximum(a, 0.0)), 0.0)
    value = _quotient(np.maximum(reserve, 0.0), fall)
    nothing = np.where(np.isfinite(reserve + fall + start), 0.0, np.nan)
    return Left(value + nothing, low + nothing, high + nothing, confidence)


def services_left_of(
    columns: WearColumns, rates: ShrunkRates, least_mm: float, confidence: float = SURE
) -> Left:
    """How many services each ski is good for from now on, between limits.

    Parameters, returns and errors are those of `course_by_services` and `crossing`.
    """
    return crossing(course_by_services(columns, rates, least_mm), confidence)


def seasons_left_of(
    columns: WearColumns,
    rates: ShrunkRates,
    pace: Pace,
    least_mm: float,
    confidence: float = SURE,
) -> Left:
    """How many seasons until each ski is below the least, between limits.

    Parameters, returns and errors are those of `course_by_seasons` and `crossing`.
    """
    return crossing(course_by_seasons(columns, rates, pace, least_mm), confidence)


@dataclass(frozen=True, slots=True, eq=False)
class _Services:
    """Services for each ``x``: mean, its variance, variance by itself, and what each takes."""

    mean: Floats
    variance: Floats
    process: Floats
    ahead: Floats
    phase: Floats
    removal_factor: float
    degrees_of_freedom: Floats


def _course(
    columns: WearColumns, rates: ShrunkRates, least_mm: float, services: _Services
) -> Course:
    require_finite(least_mm, "least_mm")
    # Material doesn't grow: a rate below zero is a matter of reading, and no fall is in sight.
    rate, unsure = np.maximum(rates.mean_mm, 0.0), rates.variance_mm2
    done = columns.services_since + services.ahead
    past, take = np.maximum(done, 0.0), services.removal_factor
    scatter, tied = rates.fleet.scatter_mm2, -2.0 * rates.covariance_mm2
    start = columns.level_variance_mm2 + (scatter + tied) * past + unsure * done**2
    unlike = take**2 * scatter + take * (tied + 2.0 * unsure * past)
    drift = unsure * services.mean**2 + (rate**2 + unsure) * services.variance
    return Course(
        columns.level_mm - least_mm - rate * done,
        take * rate * services.mean,
        start + rate**2 * services.phase,
        unlike * services.mean + (take * rate) ** 2 * services.process,
        take**2 * drift,
        np.minimum(rates.degrees_of_freedom, services.degrees_of_freedom),
    )


def _quotient(over: Floats, under: Floats) -> Floats:
    """A quotient of numbers that are not negative; inf over zero."""
    return np.divide(over, under, out=np.full_like(over, np.inf), where=under > 0.0)

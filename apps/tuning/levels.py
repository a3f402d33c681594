"""Where readings of something that can't grow end, and how sure that is.

Readings between which no work is on record are of one and the same thing: where they agree they
are pooled. The pools are then fitted so that nothing grows.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from apps.tuning.coverage import USUAL_CONFIDENCE, Combined, Part, combine_parts
from apps.tuning.errors import WrongCountError, require_points
from apps.tuning.gauges import Gauge, GaugeReading, Pool, PooledMean, SharedPart
from apps.tuning.monotone import closest_monotone
from apps.tuning.quantiles import chi_squared_quantile
from apps.tuning.uncertainty import USUAL_COVERAGE_FACTOR


@dataclass(frozen=True, slots=True)
class Level:
    """Where a falling series ends.

    Attributes
    ----------
    value : float
        Fitted last value [unit of the readings].
    low, high : float
        Limits: the value less and plus `coverage_factor` times its standard uncertainty, cut
        where readings themselves set a limit [same unit].
    standard_uncertainty : float
        Of the value (k = 1) [same unit].
    degrees_of_freedom : float
        Effective ones [1]; infinite where the stated uncertainties explain the readings.
    coverage_factor : float
        k [1].
    members : tuple of int
        Indices of the readings that the value rests on.
    fitted : tuple of float, shape (n,)
        What the fit makes of each reading [same unit].
    shared : tuple of SharedPart
        What the common error of each gauge contributes to the standard uncertainty.
    """

    value: float
    low: float
    high: float
    standard_uncertainty: float
    degrees_of_freedom: float
    coverage_factor: float
    members: tuple[int, ...]
    fitted: tuple[float, ...]
    shared: tuple[SharedPart, ...]


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Agreeing readings in a row that no work parts, and their mean."""

    readings: tuple[GaugeReading, ...]
    mean: PooledMean

    @property
    def low(self) -> float:
        return self.mean.value - USUAL_COVERAGE_FACTOR * self.mean.standard_uncertainty

    @property
    def high(self) -> float:
        """What is there now was there at the last reading, so that one is a limit too."""
        last = self.readings[-1]
        return min(
            self.mean.value + USUAL_COVERAGE_FACTOR * self.mean.standard_uncertainty,
            last.value + USUAL_COVERAGE_FACTOR * last.standard_uncertainty,
        )


def last_level(readings: Sequence[GaugeReading], worked_before: Sequence[bool]) -> Level:
    """Fit readings of something that can't grow, and say where they end and how sure that is.

    Parameters
    ----------
    readings : sequence of GaugeReading, shape (n,)
        In order of time [any unit].
    worked_before : sequence of bool, shape (n,)
        Whether work that took anything, or may have, lies between a reading and the one before
        it; the first says nothing.

    Returns
    -------
    Level
        The last level of the closest falling fit, with limits.

    Raises
    ------
    ProfileTooShortError, WrongCountError
        If there is no reading, or the two lists don't pair up.

    Notes
    -----
    Rules. (1) Readings in a row that no work parts are pooled by `Pool` as long as each agrees
    with those before it within k = 2 of their difference. (2) The pools are fitted by
    `closest_monotone`, weighted by ``1 / u**2``. (3) The uncertainty of the last level is that
    of the weighted mean, with what readings of one gauge share added and not averaged. (4) Where
    pools had to be levelled out that lie further apart than their uncertainties explain, by
    chi squared at 95.45 %, the uncertainty is widened to their scatter and its degrees of freedom
    are counted. (5) The limits never pass those of the readings themselves: upwards those of the
    last pool and of the last reading, downwards those of the lowest pool.

    Source: JCGM 100:2008, 5.2 and G.4; the widening is the Birge ratio (R. T. Birge, Phys. Rev.
    40 (1932) 207, recalled from memory); (5) is physics, and that one of the readings is right.
    """
    require_points(readings, "readings", 1)
    if len(readings) != len(worked_before):
        raise WrongCountError(
            "worked_before needs one entry for each reading.", field="worked_before"
        )
    stretches = tuple(_stretches(readings, worked_before))
    fit = closest_monotone(
        [one.mean.value for one in stretches],
        [one.mean.standard_uncertainty**-2 for one in stretches],
    )
    start, _ = fit.blocks[-1]
    fitted = tuple(
        value
        for stretch, value in zip(stretches, fit.fitted, strict=True)
        for _ in stretch.readings
    )
    return _level(stretches[start:], fit.fitted[-1], fitted)


def _stretches(
    readings: Sequence[GaugeReading], worked_before: Sequence[bool]
) -> Iterator[_Stretch]:
    members, pool = [readings[0]], Pool(readings[:1])
    for reading, worked in zip(readings[1:], worked_before[1:], strict=True):
        if worked or not pool.agrees_with(reading, USUAL_COVERAGE_FACTOR):
            yield _Stretch(tuple(members), pool.mean)
            members, pool = [], Pool()
        members.append(reading)
        pool.add(reading)
    yield _Stretch(tuple(members), pool.mean)


def _level(block: Sequence[_Stretch], value: float, fitted: tuple[float, ...]) -> Level:
    contributions = _contributions(block)
    standard = math.hypot(*contributions.own, *contributions.shared.values())
    combined = combine_parts([Part(standard), *_scatter(block, standard)])
    count = sum(len(one.readings) for one in block)
    low, high = _limits(block, value, combined)
    return Level(
        value,
        low,
        high,
        combined.standard_uncertainty,
        combined.degrees_of_freedom,
        combined.coverage_factor,
        tuple(range(len(fitted) - count, len(fitted))),
        fitted,
        tuple(SharedPart(*gauge, part) for gauge, part in contributions.shared.items() if part),
    )


@dataclass(frozen=True, slots=True)
class _Contributions:
    """Of single readings, and of the common error of each gauge."""

    own: Sequence[float]
    shared: dict[Gauge, float]


def _contributions(block: Sequence[_Stretch]) -> _Contributions:
    """Parts of the uncertainty of the mean of pools, weighted as the fit weights them."""
    whole = sum(one.mean.standard_uncertainty**-2 for one in block)
    own: list[float] = []
    shared: dict[Gauge, float] = {}
    for stretch in block:
        weight = stretch.mean.standard_uncertainty**-2 / whole
        pool = Pool(stretch.readings)
        for reading in stretch.readings:
            part = weight * pool.weight_of(reading.gauge) * pool.weight_in_gauge(reading)
            own.append(part * math.sqrt(reading.own_variance))
            before = shared.get(reading.gauge, 0.0)
            shared[reading.gauge] = before + part * reading.shared_uncertainty
    return _Contributions(own, shared)


def _scatter(block: Sequence[_Stretch], standard: float) -> Iterator[Part]:
    """What the scatter of levelled pools adds, nothing where uncertainties explain it."""
    if len(block) == 1:
        return
    readings = [reading for stretch in block for reading in stretch.readings]
    degrees = len(readings) - 1
    chi_squared = Pool(readings).chi_squared(readings)
    if chi_squared > chi_squared_quantile(USUAL_CONFIDENCE, degrees):
        yield Part(standard * math.sqrt(chi_squared / degrees - 1.0), degrees)


def _limits(block: Sequence[_Stretch], value: float, combined: Combined) -> tuple[float, float]:
    # Rounding in the fit may lift a level above its only reading by the last bit.
    high = max(value, min(value + combined.expanded, block[-1].high))
    low = value - combined.expanded
    return (low if len(block) == 1 else min(value, max(low, _lowest(block)))), high


def _lowest(block: Iterable[_Stretch]) -> float:
    return min(one.low for one in block)

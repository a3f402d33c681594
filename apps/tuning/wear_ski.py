"""What one ski of a fleet is told of its wear: rate, services left and last day, between limits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

import numpy as np
from scipy import special

from apps.tuning.outlook import Fleet, day_after
from apps.tuning.season import SeasonCalendar
from apps.tuning.wear_left import SURE, Left, seasons_left_of, services_left_of
from apps.tuning.wear_rates import METHOD
from apps.tuning.wear_statistics import LEAST_READINGS


@dataclass(frozen=True, slots=True)
class Limits:
    """A number between limits; None where it is unknown or no end is in sight."""

    value: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class LastDay:
    """The day of the service that takes a ski below the least, between limits.

    None where it is unknown, or lies beyond the calendar.
    """

    value: date | None
    low: date | None
    high: date | None


@dataclass(frozen=True, slots=True)
class SkiWear:
    """What is known of the wear of one ski.

    Attributes
    ----------
    rate_mm : Limits
        What one service takes off [mm].
    own_rate_mm : float or None
        The plain mean of its own readings [mm], None without any.
    weight : float
        How much of the rate is its own [1].
    readings : int
        Readings its own part rests on.
    services_left : Limits
        From now on [1]; the whole ones are the numbers below.
    exhausted_on : LastDay
        By its pace.
    confidence : float
        Of all limits [1].
    method, sentence : str
        Name of the rule, and for a person what it rests on.
    """

    rate_mm: Limits
    own_rate_mm: float | None
    weight: float
    readings: int
    services_left: Limits
    exhausted_on: LastDay
    confidence: float
    method: str
    sentence: str


def ski_wears(
    fleet: Fleet,
    chosen: Iterable[int],
    today: date,
    calendar: SeasonCalendar,
    confidence: float = SURE,
) -> tuple[SkiWear, ...]:
    """What some skis of a fleet are told of their wear.

    Parameters
    ----------
    fleet : Fleet
        All skis, whose rates and pace the chosen ones are drawn to.
    chosen : iterable of int
        Places of the skis asked for.
    today : date
        Day from which seasons count.
    calendar : SeasonCalendar
        The shop's season.
    confidence : float
        Of all limits [1].

    Returns
    -------
    tuple of SkiWear
        One for each chosen ski, in order.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        As `apps.tuning.wear_left.crossing`.
    """
    services = services_left_of(fleet.columns, fleet.rates, fleet.least_mm, confidence)
    seasons = seasons_left_of(fleet.columns, fleet.rates, fleet.pace, fleet.least_mm, confidence)
    return tuple(
        _ski_wear(fleet, number, services, _last_day(seasons, number, today, calendar))
        for number in chosen
    )


def _ski_wear(fleet: Fleet, number: int, services: Left, last: LastDay) -> SkiWear:
    rates, readings = fleet.rates, int(fleet.columns.readings[number])
    return SkiWear(
        _rate(fleet, number, services.confidence),
        _finite(rates.own_mm[number]),
        float(rates.weight[number]),
        readings,
        Limits(*(_finite(one[number]) for one in (services.value, services.low, services.high))),
        last,
        services.confidence,
        METHOD,
        _sentence(readings, float(rates.weight[number]), rates.fleet.sentence),
    )


def _rate(fleet: Fleet, number: int, confidence: float) -> Limits:
    mean = float(fleet.rates.mean_mm[number])
    degrees = fleet.rates.degrees_of_freedom[number]
    k = float(special.stdtrit(degrees, (1.0 + confidence) / 2.0))
    half = k * float(np.sqrt(fleet.rates.variance_mm2[number]))
    return Limits(max(0.0, mean), max(0.0, mean - half), max(0.0, mean + half))


def _last_day(left: Left, number: int, today: date, calendar: SeasonCalendar) -> LastDay:
    days = (day_after(one[number], today, calendar) for one in (left.value, left.low, left.high))
    return LastDay(*days)


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _sentence(readings: int, weight: float, of_fleet: str) -> str:
    own = f"{readings} readings of its own count for {100.0 * weight:.0f} % of its rate."
    if readings < LEAST_READINGS:
        own = f"Fewer than three readings of its own ({readings}): the rate is mostly the fleet's."
    return f"{own} {of_fleet}"

"""How many skis of a fleet fall below the shop's least by each month of the seasons to come.

Each ski has its own chance to be below by then. Their sum is the number expected; how far the
number may stray is what the skis do each by itself, and what they share: the fleet's rate that
nobody knows surely, its use, and the snow of a season.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby, pairwise, repeat

import numpy as np
from numpy.typing import NDArray
from scipy import special

from apps.tuning.errors import (
    OutOfRangeError,
    ProfileNotOrderedError,
    require_not_negative,
    require_points,
)
from apps.tuning.season import SeasonCalendar
from apps.tuning.wear_left import SURE, Course, course_by_seasons
from apps.tuning.wear_pace import Pace
from apps.tuning.wear_policy import AS_NOW, Policy
from apps.tuning.wear_rates import ShrunkRates
from apps.tuning.wear_statistics import WearColumns

Floats = NDArray[np.float64]

# A limit within so little of a whole number of skis is that number.
_ROUNDING = 1e-9

METHOD = "sum of each ski's chance, with what the skis share"


@dataclass(frozen=True, slots=True, eq=False)
class Counted:
    """A number of skis at each time, between limits; arrays of shape (m,).

    Attributes
    ----------
    expected, low, high : array of float
        Skis expected, and the limits as whole numbers [1].
    """

    expected: Floats
    low: Floats
    high: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    """The wear of a fleet over some time.

    Attributes
    ----------
    seasons : array of float, shape (m,)
        Seasons from now [1].
    below : Counted
        Skis below the least by then.
    spared : Counted
        How many fewer than as now, under the policy; all zero where it is as now.
    policy : Policy
        The policy reckoned with.
    skis, unknown : int
        Skis reckoned with, and skis whose level or use nobody knows.
    confidence : float
        Of the limits [1].
    method : str
        Name of the rule.
    """

    seasons: Floats
    below: Counted
    spared: Counted
    policy: Policy
    skis: int
    unknown: int
    confidence: float
    method: str = METHOD


@dataclass(frozen=True, slots=True, eq=False)
class Fleet:
    """All an outlook rests on: n skis, their rates and pace, and the shop's least [mm]."""

    columns: WearColumns
    rates: ShrunkRates
    pace: Pace
    least_mm: float


def outlook(
    fleet: Fleet,
    seasons: Sequence[float],
    *,
    policy: Policy = AS_NOW,
    confidence: float = SURE,
) -> Outlook:
    """How many skis are below the least by each time, as now or under another policy.

    Parameters
    ----------
    fleet : Fleet
        The skis in service.
    seasons : sequence of float, shape (m,)
        Times in seasons from now, none before the one before it [1].
    policy : Policy
        How the shop will service them.
    confidence : float
        Of the limits [1].

    Returns
    -------
    Outlook
        No work for a single ski: arrays over all skis, once a time.

    Raises
    ------
    ProfileTooShortError
        If there is no time.
    ProfileNotOrderedError, OutOfRangeError
        If a time lies before the one before it, or in the past.

    Notes
    -----
    Source: mean and variance of a sum of unlike chances (Poisson's binomial); first-order
    propagation of what is shared (JCGM 100:2008, 5.2.2); limits by a gamma distribution of the
    same mean and variance, rounded outwards.
    """
    _require_times(seasons)
    as_now = _chances(fleet, AS_NOW)
    planned = as_now if policy == AS_NOW else _chances(fleet, policy)
    below, spared = zip(*_by_time(as_now, planned, seasons), strict=True)
    return Outlook(
        np.array(seasons, dtype=np.float64),
        _counted(below, as_now.known, confidence),
        _counted(spared, as_now.known, confidence),
        policy,
        as_now.known,
        fleet.columns.count - as_now.known,
        confidence,
    )


def month_ends(today: date, months: int) -> tuple[date, ...]:
    """The last days of some months, that of today first.

    Raises
    ------
    OutOfRangeError
        If there is no month.
    """
    if months < 1:
        raise OutOfRangeError("months is below 1. Ask for at least one.", field="months")
    numbers = range(today.year * 12 + today.month, today.year * 12 + today.month + months)
    return tuple(date(number // 12, number % 12 + 1, 1) - timedelta(days=1) for number in numbers)


def seasons_until(days: Sequence[date], today: date, calendar: SeasonCalendar) -> list[float]:
    """Seasons from today up to some days, a season as long as the calendar's first one [1]."""
    return [
        max(0.0, (calendar.through(day) - calendar.through(today)) / season_length(calendar))
        for day in days
    ]


def day_after(seasons: float, today: date, calendar: SeasonCalendar) -> date | None:
    """Day on which so many seasons from today have gone by; None beyond the calendar.

    Nothing left is today; an unknown number (NaN) and no end in sight (inf) are no day.
    """
    if not seasons < len(calendar.starts):
        return None
    count = calendar.through(today) + int(np.ceil(seasons * season_length(calendar)))
    return today if seasons == 0.0 else calendar.day_of(count)


def season_length(calendar: SeasonCalendar) -> int:
    """Days in a season [d]."""
    return calendar.ends_at[0]


@dataclass(frozen=True, slots=True, eq=False)
class _Chances:
    """What the known skis of a fleet do with time, and how they move together."""

    course: Course
    falls_by_rate: Floats
    done_by_rate: Floats
    falls_by_use: Floats
    rate_deviation: float
    use_deviation: float
    season_deviation: float
    known: int

    def below(self, x: float, before: Floats) -> Floats:
        """Chance of each to be below at ``x``; what is ground off once stays off."""
        return np.maximum(before, self.course.below_at(x))

    def shared(self, x: float) -> float:
        """How far the number moves by one standard deviation of all that is shared [1]."""
        steepness = self.course.steepness_at(x)
        by_rate = float(steepness @ (self.falls_by_rate * x + self.done_by_rate))
        by_use = float(steepness @ self.falls_by_use) * x
        season = self.season_deviation / np.sqrt(max(x, 1.0))
        parts = (by_rate * self.rate_deviation, by_use * self.use_deviation, by_use * season)
        return float(np.linalg.norm(parts))


def _chances(fleet: Fleet, policy: Policy) -> _Chances:
    columns, rates, pace = fleet.columns, fleet.rates, fleet.pace
    course = course_by_seasons(columns, rates, pace, fleet.least_mm, policy)
    known = np.isfinite(course.reserve_mm + course.fall_mm + course.start_mm2)
    apart = (1.0 - rates.weight)[known]
    to_come = policy.removal_factor * policy.services_factor * pace.services[known]
    done = np.maximum(columns.services_since + pace.ahead, 0.0)[known]
    return _Chances(
        course.of(known),
        apart * to_come,
        apart * done,
        course.fall_mm[known],
        float(np.sqrt(rates.fleet.centre.variance)),
        pace.shared,
        pace.shared_season,
        int(known.sum()),
    )


def _require_times(seasons: Sequence[float]) -> None:
    require_points(seasons, "seasons", 1)
    for time in seasons:
        require_not_negative(time, "seasons")
    for before, after in pairwise(seasons):
        if after < before:
            raise ProfileNotOrderedError(
                f"seasons goes back from {before:g} to {after:g}. Give the times in order.",
                field="seasons",
            )


Moments = tuple[float, float]
"""Mean and variance of a number of skis."""


def _by_time(
    as_now: _Chances, planned: _Chances, seasons: Sequence[float]
) -> Iterator[tuple[Moments, Moments]]:
    """Skis below and skis spared; out of season no time passes and nothing is reckoned anew."""
    now = then = np.zeros(as_now.known)
    for x, times in groupby(seasons):
        now = as_now.below(x, now)
        then = now if planned is as_now else planned.below(x, then)
        shared = planned.shared(x)
        fewer = 0.0 if planned is as_now else as_now.shared(x) - shared
        found = _moments(then, shared), _moments(np.maximum(now - then, 0.0), fewer)
        yield from repeat(found, len(list(times)))


def _moments(chances: Floats, shared: float) -> Moments:
    return float(chances.sum()), float(chances @ (1.0 - chances)) + shared**2


def _counted(moments: Sequence[Moments], most: int, confidence: float) -> Counted:
    mean, variance = (np.array(column) for column in zip(*moments, strict=True))
    tail = (1.0 - confidence) / 2.0
    # No mean at all has no shape, and no ski either.
    some = mean > _ROUNDING
    shape = np.divide(mean**2, variance, out=np.ones_like(mean), where=some & (variance > 0.0))
    scale = np.where(some, mean / shape, 0.0)
    low = np.floor(special.gammaincinv(shape, tail) * scale + _ROUNDING)
    high = np.ceil(special.gammaincinv(shape, 1.0 - tail) * scale - _ROUNDING)
    return Counted(mean, np.clip(low, 0.0, most), np.maximum(np.minimum(high, most), low))

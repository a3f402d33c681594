"""The levels read at one place and what was removed between them, service by service."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from apps.tuning.figures import in_turn
from apps.tuning.history import Step, Visit
from apps.tuning.practice import Practice
from apps.tuning.series import Series, SeriesKey, SeriesReading, TakenSince, taken_between
from apps.tuning.timeline import WORK, Timed
from apps.tuning.wear_use import days_between


@dataclass(frozen=True, slots=True)
class WearInterval:
    """What one place lost between two levels read, with services between them.

    Attributes
    ----------
    services : int
        Services between them.
    removed_mm : float
        Earlier less later level, less what other work took [mm]; negative where it rose.
    reading_variance_mm2 : float
        Variance of that from the readings' uncertainty and from other work [mm2].
    days_out : int or None
        Days out on record between them, None where no use is on record.
    rests_on : tuple of str
        Records of the readings.
    """

    services: int
    removed_mm: float
    reading_variance_mm2: float
    days_out: int | None
    rests_on: tuple[str, ...]

    @property
    def rate_mm(self) -> float:
        """Removed by one service on the mean [mm]."""
        return self.removed_mm / self.services


@dataclass(frozen=True, slots=True)
class WearLevel:
    """Readings without a service between them, pooled by their uncertainty.

    Attributes
    ----------
    services : int
        Services before it.
    level_mm, variance_mm2 : float
        Level as it would be had other work taken nothing since the first reading, and its
        variance from what is each reading's own [mm, mm2].
    shared_mm2 : float
        Variance that it shares with all other levels, because one named gauge read them all; it
        is no part of a difference between levels [mm2].
    other_mm, other_variance_mm2 : float
        What other work took since the first reading, and its variance [mm, mm2].
    members : tuple of SeriesReading
        The readings, in order of time.
    """

    services: int
    level_mm: float
    variance_mm2: float
    shared_mm2: float
    other_mm: float
    other_variance_mm2: float
    members: Series


@dataclass(frozen=True, slots=True)
class PlaceWork:
    """The work on one ski as one place sees it.

    Attributes
    ----------
    key : SeriesKey
        What and where.
    served : tuple of int
        Places in time of the visits that were a service there, in order.
    other : tuple of Timed of Step
        The steps of all other visits, in order.
    practice : Practice
        Stands in for what other work took and doesn't state.
    """

    key: SeriesKey
    served: tuple[int, ...]
    other: tuple[Timed[Step], ...]
    practice: Practice

    def services_before(self, one: SeriesReading) -> int:
        """Services before a reading."""
        number, phase, _ = one.when
        return bisect_left(self.served, number + (phase > WORK))

    def other_between(self, first: SeriesReading, last: SeriesReading | None) -> TakenSince:
        """What other work took between two readings, or since one."""
        until = None if last is None else last.when
        return taken_between(self.other, self.key, self.practice, after=first.when, until=until)


def levels_of(series: Series, work: PlaceWork) -> tuple[WearLevel, ...]:
    """The levels of a series: readings between two services are one level, weighted by 1 / u**2.

    Notes
    -----
    Source: JCGM 100:2008, 5.2.2: what one gauge adds to all readings drops out of differences.
    """
    one_gauge = series[0].gauge.is_named and len({one.gauge for one in series}) == 1
    read = [
        _Read(
            one,
            work.other_between(series[0], one),
            one.shared_uncertainty_mm**2 if one_gauge else 0.0,
        )
        for one in series
    ]
    return tuple(
        _pooled(services, tuple(members))
        for services, members in groupby(read, key=lambda one: work.services_before(one.reading))
    )


def intervals_of(levels: Sequence[WearLevel], ordered: Sequence[Visit]) -> Iterator[WearInterval]:
    """What was removed from each level to the next (JCGM 100:2008, 5.1.2 for its variance)."""
    for first, last in pairwise(levels):
        other = last.other_variance_mm2 - first.other_variance_mm2
        yield WearInterval(
            last.services - first.services,
            first.level_mm - last.level_mm,
            first.variance_mm2 + last.variance_mm2 + other,
            days_between(ordered, first.members[-1].visit, last.members[0].visit),
            in_turn(one.visit.record for one in (*first.members, *last.members)),
        )


def taken_mm(taken: TakenSince) -> float:
    """The usual amount taken [mm]."""
    return taken.stated_mm + taken.usual_mm


def taken_variance_mm2(taken: TakenSince) -> float:
    """Its variance [mm2]: the limits of practice are taken as two standard deviations apart."""
    of_practice = (taken.high_mm - taken.low_mm) / 4.0
    return float(of_practice**2 + (taken.stated_uncertainty_mm / 2.0) ** 2)


@dataclass(frozen=True, slots=True)
class _Read:
    """A reading, what other work took before it, and the variance its gauge adds to all."""

    reading: SeriesReading
    taken: TakenSince
    shared_mm2: float

    @property
    def level_mm(self) -> float:
        return self.reading.reading.value_mm + taken_mm(self.taken)

    @property
    def weight(self) -> float:
        return 1.0 / (self.reading.standard_uncertainty_mm**2 - self.shared_mm2)


def _pooled(services: int, members: tuple[_Read, ...]) -> WearLevel:
    total, last = sum(one.weight for one in members), members[-1]
    return WearLevel(
        services,
        sum(one.weight * one.level_mm for one in members) / total,
        1.0 / total,
        last.shared_mm2,
        taken_mm(last.taken),
        taken_variance_mm2(last.taken),
        tuple(one.reading for one in members),
    )

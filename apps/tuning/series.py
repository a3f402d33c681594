"""Readings of one quantity at one place in order of time, and what work took in between."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from apps.tuning.correlated import difference_standard
from apps.tuning.effects import effect_of
from apps.tuning.figures import in_turn
from apps.tuning.gauges import Gauge, GaugeReading, shared_uncertainties
from apps.tuning.history import Edge, MaterialQuantity, Place, Reading, Step, Visit
from apps.tuning.practice import NOTHING, Amount, Practice
from apps.tuning.timeline import (
    NEVER,
    Timed,
    When,
    stated_removal_mm,
    timed_readings,
    whereabouts,
    works_edge,
)
from apps.tuning.told import Figure
from apps.tuning.uncertainty import (
    USUAL_COVERAGE_FACTOR,
    combine_standard,
    rectangular_standard,
    standard_from_expanded,
)

READING_STEP_MM = 0.001
"""Step of every length of material in a record; no reading and no stated removal is surer."""


@dataclass(frozen=True, slots=True)
class SeriesKey:
    """What a series is of: readings without a place are a series of their own."""

    quantity: MaterialQuantity
    edge: Edge | None
    station: str | None = None
    position_mm: int | None = None

    @property
    def place(self) -> Place:
        """Where the readings were taken."""
        return Place(edge=self.edge, station=self.station, position_mm=self.position_mm)

    @property
    def words(self) -> str:
        """How a person calls it."""
        name = self.quantity.replace("_", " ")
        edge = f" of the {self.edge} edge" if self.edge else ""
        if self.position_mm is not None:
            return f"{name}{edge} at {self.position_mm} mm"
        return f"{name}{edge} at the {self.station}" if self.station else f"{name}{edge}"

    @property
    def figures(self) -> dict[str, Figure]:
        """The same for whoever tells it in another language."""
        return {
            "material": self.quantity,
            "edge": self.edge,
            "station": self.station,
            "position_mm": self.position_mm,
        }


@dataclass(frozen=True, slots=True)
class SeriesReading:
    """One reading of a series.

    Attributes
    ----------
    when : tuple of int
        Its place in time.
    visit : Visit
        The record that holds it.
    reading : Reading
        As recorded.
    expanded_uncertainty_mm : float
        As recorded or by practice, k = 2 [mm].
    uncertainty_assumed : bool
        True where practice stands in.
    shared_uncertainty_mm : float
        The part (k = 1) that all readings of its gauge in this series have in common, practice
        [mm].
    """

    when: When
    visit: Visit
    reading: Reading
    expanded_uncertainty_mm: float
    uncertainty_assumed: bool
    shared_uncertainty_mm: float = 0.0

    @property
    def gauge(self) -> Gauge:
        """Whose gauge it was read with, and which."""
        return Gauge(self.visit.author, self.reading.instrument)

    @property
    def of_gauge(self) -> GaugeReading:
        """The reading as the pooling takes it."""
        return GaugeReading(
            self.reading.value_mm,
            self.standard_uncertainty_mm,
            self.gauge,
            self.shared_uncertainty_mm,
        )

    @property
    def standard_uncertainty_mm(self) -> float:
        """Standard uncertainty [mm], not below that of the step a record can hold."""
        stated = standard_from_expanded(self.expanded_uncertainty_mm)
        return max(stated, rectangular_standard(READING_STEP_MM))


Series = tuple[SeriesReading, ...]


@dataclass(frozen=True, slots=True)
class Epoch:
    """Readings of one and the same edge, and the step that replaced it, None for the edge now."""

    readings: Series
    ended_by: Timed[Step] | None


@dataclass(frozen=True, slots=True)
class TakenSince:
    """What work between two moments took, the stated and the unstated apart.

    Attributes
    ----------
    stated_mm : float
        Sum of the removals that records state for this place [mm].
    low_mm, usual_mm, high_mm : float
        By the shop's practice for work that states no removal, and from nothing up to what is
        stated for work that can't be told to have reached this place [mm].
    steps : int
        How many steps took anything.
    unstated_steps : int
        How many of them are only known between limits.
    rests_on : tuple of str
        Records of that work.
    """

    stated_mm: float
    low_mm: float
    usual_mm: float
    high_mm: float
    steps: int
    unstated_steps: int
    rests_on: tuple[str, ...]

    @property
    def least_mm(self) -> float:
        """The least that all of it took [mm]."""
        return self.stated_mm + self.low_mm

    @property
    def most_mm(self) -> float:
        """The most that all of it took [mm]."""
        return self.stated_mm + self.high_mm

    @property
    def stated_uncertainty_mm(self) -> float:
        """Expanded uncertainty of the stated sum [mm]: each is known to its step."""
        stated_steps = self.steps - self.unstated_steps
        return 2.0 * rectangular_standard(READING_STEP_MM) * math.sqrt(stated_steps)


@dataclass(frozen=True, slots=True)
class Rise:
    """A later reading above an earlier one by more than both uncertainties explain."""

    earlier: SeriesReading
    later: SeriesReading
    rise_mm: float
    limit_mm: float


def series_of(ordered: Sequence[Visit], practice: Practice) -> dict[SeriesKey, Series]:
    """All readings of a history, sorted by what and where, each series in order of time."""
    found: dict[SeriesKey, list[SeriesReading]] = {}
    for one in timed_readings(ordered):
        place = one.item.place
        key = SeriesKey(one.item.quantity, place.edge, place.station, place.position_mm)
        found.setdefault(key, []).append(_series_reading(one, practice))
    return {key: _with_shared(found[key], practice) for key in sorted(found, key=_sort_key)}


def replacements(steps: Iterable[Timed[Step]], key: SeriesKey) -> tuple[Timed[Step], ...]:
    """The steps that put a new edge where a series is read; a base is never replaced.

    A piece of new edge at a place that can't be compared with the series doesn't count.
    """
    if key.quantity == "base_thickness":
        return ()
    return tuple(
        one
        for one in steps
        if effect_of(one.item.operation).new_edge
        and works_edge(one.item, key.edge)
        and whereabouts(one.item.place, key.place) == "here"
    )


def epochs(series: Series, steps: Sequence[Timed[Step]], key: SeriesKey) -> tuple[Epoch, ...]:
    """A series parted where its edge was replaced; the last epoch is that of the edge now.

    Every epoch is there, also one without a reading.
    """
    ends = replacements(steps, key)
    borders: list[Timed[Step] | None] = [None, *ends, None]
    return tuple(
        Epoch(
            tuple(
                one
                for one in series
                if (born is None or one.when > born.when)
                and (ended is None or one.when < ended.when)
            ),
            ended,
        )
        for born, ended in pairwise(borders)
    )


def worked_before(
    series: Series, steps: Sequence[Timed[Step]], key: SeriesKey, practice: Practice
) -> tuple[bool, ...]:
    """For each reading whether anything was taken, or may have been, since the one before it."""
    between = (
        taken_between(steps, key, practice, earlier.when, later.when).most_mm > 0.0
        for earlier, later in pairwise(series)
    )
    return (False, *between)


def taken_between(
    steps: Sequence[Timed[Step]],
    key: SeriesKey,
    practice: Practice,
    after: When = NEVER,
    until: When | None = None,
) -> TakenSince:
    """What the steps after one moment, and before another, took where a series was read.

    Parameters
    ----------
    steps : sequence of Timed of Step
        In order of time.
    key : SeriesKey
        What and where.
    practice : Practice
        Stands in for steps that state nothing. A step is one run of its operation, whatever its
        passes: a stroke of a file and a pass of a stone can't be compared.
    after, until : tuple of int
        Moments; until the end of the history if the second is left out.

    Returns
    -------
    TakenSince
        The stated and the unstated apart.
    """
    stated_mm, amounts, records = 0.0, [], []
    steps_found = 0
    for one in _between(steps, after, until):
        certain_mm, amount = _taken_by(one.item, key, practice)
        if certain_mm == 0.0 and amount.high_mm == 0.0:
            continue
        steps_found += 1
        records.append(one.visit.record)
        stated_mm += certain_mm
        if amount.high_mm > 0.0:
            amounts.append(amount)
    return TakenSince(
        stated_mm,
        sum(amount.low_mm for amount in amounts),
        sum(amount.usual_mm for amount in amounts),
        sum(amount.high_mm for amount in amounts),
        steps_found,
        len(amounts),
        in_turn(records),
    )


def rises_of(series: Series) -> tuple[Rise | None, ...]:
    """For each reading of a series the rise to it that its uncertainty explains least, if any.

    Notes
    -----
    Source: JCGM 100:2008, 5.2.2, with k = 2: a rise is explained up to
    ``2 sqrt(u1**2 + u2**2 - 2 s**2)``, where s is what two readings of one named gauge share.

    A reading that lies above another of the same gauge and is no surer never gives the greater
    rise, so only the others are kept to compare with: a long series is gone through once, not
    once a reading.
    """
    found: list[Rise | None] = []
    fronts: dict[Gauge | None, list[SeriesReading]] = {}
    for later in series:
        rises = (_rise(earlier, later) for front in fronts.values() for earlier in front)
        unexplained = (rise for rise in rises if rise.rise_mm > rise.limit_mm)
        found.append(max(unexplained, key=lambda rise: rise.rise_mm / rise.limit_mm, default=None))
        gauge = later.gauge if later.gauge.is_named else None
        fronts[gauge] = _front_with(fronts.get(gauge, []), later)
    return tuple(found)


def _front_with(front: Sequence[SeriesReading], new: SeriesReading) -> list[SeriesReading]:
    if any(_outdoes(one, new) for one in front):
        return list(front)
    return [*(one for one in front if not _outdoes(new, one)), new]


def _outdoes(one: SeriesReading, other: SeriesReading) -> bool:
    lower = one.reading.value_mm <= other.reading.value_mm
    return lower and one.standard_uncertainty_mm <= other.standard_uncertainty_mm


def difference_limit_mm(first: SeriesReading, second: SeriesReading) -> float:
    """The largest difference that the uncertainties of two readings explain [mm], k = 2.

    Two readings of one gauge are off by the same amount in part, which their difference doesn't
    feel; where a gauge isn't named nobody knows that it was the same, so nothing is spared.
    """
    same = first.gauge == second.gauge and first.gauge.is_named
    shared = min(first.shared_uncertainty_mm, second.shared_uncertainty_mm) if same else 0.0
    return USUAL_COVERAGE_FACTOR * difference_standard(
        first.standard_uncertainty_mm, second.standard_uncertainty_mm, shared
    )


def combined_expanded_mm(*expanded_mm: float) -> float:
    """Independent expanded uncertainties of one k combined by root sum of squares [mm]."""
    return combine_standard(*expanded_mm)


def _rise(earlier: SeriesReading, later: SeriesReading) -> Rise:
    rise_mm = later.reading.value_mm - earlier.reading.value_mm
    return Rise(earlier, later, rise_mm, difference_limit_mm(earlier, later))


def _between(
    steps: Sequence[Timed[Step]], after: When, until: When | None
) -> Sequence[Timed[Step]]:
    first = bisect_right(steps, after, key=lambda one: one.when)
    last = len(steps) if until is None else bisect_right(steps, until, key=lambda one: one.when)
    return steps[first:last]


def _series_reading(one: Timed[Reading], practice: Practice) -> SeriesReading:
    stated = one.item.uncertainty_mm
    expanded = practice.reading_uncertainty_mm if stated is None else stated
    return SeriesReading(one.when, one.visit, one.item, expanded, stated is None)


def _with_shared(series: Sequence[SeriesReading], practice: Practice) -> Series:
    shared = shared_uncertainties(
        [one.standard_uncertainty_mm for one in series],
        [one.gauge for one in series],
        practice.gauge_shared_share,
    )
    return tuple(
        replace(one, shared_uncertainty_mm=part) for one, part in zip(series, shared, strict=True)
    )


def _sort_key(key: SeriesKey) -> tuple[str, str, str, int]:
    position = -1 if key.position_mm is None else key.position_mm
    return (key.quantity, key.edge or "", key.station or "", position)


def _taken_by(step: Step, key: SeriesKey, practice: Practice) -> tuple[float, Amount]:
    """What a step surely took as stated [mm], and what it took between limits."""
    reach = whereabouts(step.place, key.place)
    of_edge = key.quantity != "base_thickness"
    if reach == "elsewhere" or (of_edge and not works_edge(step, key.edge)):
        return 0.0, NOTHING
    stated = stated_removal_mm(step, key.quantity)
    if stated is not None and reach == "here":
        return stated, NOTHING
    if stated is not None:
        return 0.0, Amount(0.0, 0.0, stated)
    amount = practice.removal(step.operation).of(key.quantity)
    return 0.0, amount if reach == "here" else Amount(0.0, 0.0, amount.high_mm)

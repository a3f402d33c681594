"""How fast one ski wears: what its readings fell from service to service, place by place.

A service of a quantity is a visit in which one of the shop's service operations, or any other
operation on the whole base plane, took that quantity at that place. Whatever else the same visit
took counts with it; what a visit without a service took is reckoned apart.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from apps.tuning.effects import effect_of
from apps.tuning.figures import in_turn
from apps.tuning.history import EDGES, Edge, MaterialQuantity, Step, Visit
from apps.tuning.practice import Practice
from apps.tuning.series import Series, SeriesKey, epochs, series_of, taken_between
from apps.tuning.services import service_rate
from apps.tuning.straight_line import Line, fit_line
from apps.tuning.timeline import Timed, timed_steps
from apps.tuning.wear_intervals import (
    PlaceWork,
    WearInterval,
    WearLevel,
    intervals_of,
    levels_of,
    taken_mm,
    taken_variance_mm2,
)
from apps.tuning.wear_statistics import LEAST_READINGS, UM_A_MM, WearStatistics
from apps.tuning.wear_use import Use, use_of

QUANTITIES: tuple[MaterialQuantity, ...] = ("edge_height", "edge_width", "base_thickness")


@dataclass(frozen=True, slots=True)
class SeriesWear:
    """What the readings of one place say of its wear.

    Attributes
    ----------
    key : SeriesKey
        What and where.
    readings : int
        Readings since the edge was last replaced.
    intervals : tuple of WearInterval
        In order of time; readings without a service between them are one level.
    level_mm, level_variance_mm2 : float
        Last level read, less other work since, and its variance [mm, mm2].
    reading_variance_mm2 : float
        Variance of what all intervals removed [mm2]: of the first and the last level, and of
        other work between them.
    last_variance_mm2 : float
        The part that the last level and the intervals share [mm2].
    services_since : int
        Services after that level.
    line : Line or None
        Straight line through the levels over the services, by the readings alone: its slope is
        what a service took, with a minus. None for fewer than three levels.
    rests_on : tuple of str
        Records of the readings.
    """

    key: SeriesKey
    readings: int
    intervals: tuple[WearInterval, ...]
    level_mm: float
    level_variance_mm2: float
    reading_variance_mm2: float
    last_variance_mm2: float
    services_since: int
    line: Line | None
    rests_on: tuple[str, ...]

    @property
    def services(self) -> int:
        """Services in all intervals."""
        return sum(one.services for one in self.intervals)

    @property
    def removed_mm(self) -> float:
        """Removed in all intervals [mm]."""
        return sum(one.removed_mm for one in self.intervals)

    @property
    def scatter_mm2(self) -> float:
        """How unlike the services were [mm2], ``sum(d**2 / n) - D**2 / N``."""
        if not self.intervals:
            return 0.0
        within = sum(one.removed_mm**2 / one.services for one in self.intervals)
        return within - self.removed_mm**2 / self.services

    @property
    def scatter_of_readings_mm2(self) -> float:
        """What the readings' uncertainty alone is expected to add to that [mm2]."""
        if not self.intervals:
            return 0.0
        within = sum(one.reading_variance_mm2 / one.services for one in self.intervals)
        return within - self.reading_variance_mm2 / self.services


@dataclass(frozen=True, slots=True)
class WearSummary:
    """What the readings and the use of one ski say of its wear.

    Attributes
    ----------
    series : tuple of SeriesWear
        One for each place read since its edge was last replaced.
    use : mapping of SeriesKey to Use
        Use for each place in `series`, and for each quantity as a whole and of one edge.
    practice : Practice
        The shop's, for what a service takes where places are compared.
    """

    series: tuple[SeriesWear, ...]
    use: Mapping[SeriesKey, Use]
    practice: Practice

    def scarcest(self, quantity: MaterialQuantity, edge: Edge | None = None) -> SeriesWear | None:
        """The place with the least left, by practice for services since; None if none was read."""
        usual = service_rate(quantity, self.practice).usual_mm
        return min(
            self._of(quantity, edge),
            key=lambda one: one.level_mm - one.services_since * usual,
            default=None,
        )

    def teacher(self, quantity: MaterialQuantity, edge: Edge | None = None) -> SeriesWear | None:
        """The place its rate is learned from: the scarcest, or else the one with most services."""
        scarcest = self.scarcest(quantity, edge)
        if scarcest is None or scarcest.intervals:
            return scarcest
        return max(self._of(quantity, edge), key=lambda one: one.services)

    def statistics(self, quantity: MaterialQuantity, edge: Edge | None = None) -> WearStatistics:
        """What a database keeps of one quantity, of one edge or of the worse of both.

        Returns
        -------
        WearStatistics
            The level of the scarcest place and the intervals of the place that teaches its rate.
        """
        scarcest, teacher = self.scarcest(quantity, edge), self.teacher(quantity, edge)
        if scarcest is None or teacher is None:
            return _statistics(self.use[SeriesKey(quantity, edge)])
        read = _taught(teacher) | _levelled(scarcest, shared=scarcest is teacher)
        return _statistics(self.use[scarcest.key], **read)

    def _of(self, quantity: MaterialQuantity, edge: Edge | None) -> list[SeriesWear]:
        return [
            one
            for one in self.series
            if one.key.quantity == quantity and (edge is None or one.key.edge == edge)
        ]


def wear_summary(ordered: Sequence[Visit], practice: Practice) -> WearSummary:
    """What the readings and the use of one ski say of its wear.

    Parameters
    ----------
    ordered : sequence of Visit
        As `apps.tuning.history.in_order` gives them.
    practice : Practice
        Names the operations of a service, and stands in for unstated uncertainties and for
        what other work took.

    Returns
    -------
    WearSummary
        Without a series where nothing was read.

    Notes
    -----
    Source: the fall between two readings and its variance by JCGM 100:2008, 5.1.2.
    """
    steps = timed_steps(ordered)
    found = []
    for key, series in series_of(ordered, practice).items():
        now = epochs(series, steps, key)[-1].readings
        if now:
            found.append(_series_wear(now, _work_at(key, steps, practice), ordered))
    wholes = [SeriesKey(quantity, edge) for quantity in QUANTITIES for edge in (None, *EDGES)]
    use = {
        key: use_of(ordered, service_visits(steps, key, practice), practice)
        for key in [*wholes, *(one.key for one in found)]
    }
    return WearSummary(tuple(found), use, practice)


def service_visits(
    steps: Iterable[Timed[Step]], key: SeriesKey, practice: Practice
) -> tuple[int, ...]:
    """Places in time of the visits that were a service of one quantity at one place, in order."""
    served = (one.when[0] for one in steps if _is_service(one, key, practice))
    return tuple(dict.fromkeys(served))


def _is_service(one: Timed[Step], key: SeriesKey, practice: Practice) -> bool:
    operation = one.item.operation
    usual = operation in practice.service_operations or effect_of(operation).base_plane
    return usual and taken_between([one], key, practice).steps > 0


def _work_at(key: SeriesKey, steps: Sequence[Timed[Step]], practice: Practice) -> PlaceWork:
    served = service_visits(steps, key, practice)
    other = tuple(one for one in steps if one.when[0] not in served)
    return PlaceWork(key, served, other, practice)


def _series_wear(series: Series, work: PlaceWork, ordered: Sequence[Visit]) -> SeriesWear:
    levels = levels_of(series, work)
    first, last, since = levels[0], levels[-1], work.other_between(series[-1], None)
    other = last.other_variance_mm2 - first.other_variance_mm2
    return SeriesWear(
        work.key,
        len(series),
        tuple(intervals_of(levels, ordered)),
        last.level_mm - last.other_mm - taken_mm(since),
        last.variance_mm2 + last.shared_mm2 + taken_variance_mm2(since),
        first.variance_mm2 + last.variance_mm2 + other,
        last.variance_mm2,
        len(work.served) - last.services,
        _line(levels),
        in_turn(one.visit.record for one in series),
    )


def _line(levels: Sequence[WearLevel]) -> Line | None:
    if len(levels) < LEAST_READINGS:
        return None
    weights = [1.0 / level.variance_mm2 for level in levels]
    return fit_line([one.services for one in levels], [one.level_mm for one in levels], weights)


def _taught(teacher: SeriesWear) -> dict[str, int]:
    taught = {"readings": teacher.readings, "intervals": len(teacher.intervals)}
    if not teacher.intervals:
        return taught
    return taught | {
        "services": teacher.services,
        "removed_um": round(teacher.removed_mm * UM_A_MM),
        "scatter_um2": round(teacher.scatter_mm2 * UM_A_MM**2),
        "scatter_of_readings_um2": round(teacher.scatter_of_readings_mm2 * UM_A_MM**2),
        "readings_variance_um2": round(teacher.reading_variance_mm2 * UM_A_MM**2),
    }


def _levelled(scarcest: SeriesWear, *, shared: bool) -> dict[str, int]:
    one_place = shared and scarcest.intervals
    return {
        "level_um": round(scarcest.level_mm * UM_A_MM),
        "level_variance_um2": round(scarcest.level_variance_mm2 * UM_A_MM**2),
        "shared_variance_um2": round(scarcest.last_variance_mm2 * UM_A_MM**2) if one_place else 0,
        "services_since": scarcest.services_since,
    }


def _statistics(use: Use, **read: int) -> WearStatistics:
    return WearStatistics(
        spans=use.spans.count,
        span_days=use.spans.total,
        span_squares=use.spans.squares,
        days_since=use.days_since,
        seasons=use.seasons.count,
        season_days=use.seasons.total,
        season_squares=use.seasons.squares,
        **read,
    )

"""Steel and base left now: readings fitted so that nothing grows, less what later work took."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from apps.tuning.figures import FigureBasis, Length
from apps.tuning.gauges import SharedPart
from apps.tuning.history import Edge, MaterialQuantity, Moment, Step, Visit
from apps.tuning.levels import last_level
from apps.tuning.material_figures import FIT, FIT_LESS_WORK, above_least, at_last_reading, less_work
from apps.tuning.practice import Practice
from apps.tuning.rates import LearnedRate
from apps.tuning.series import (
    Series,
    SeriesKey,
    TakenSince,
    epochs,
    replacements,
    rises_of,
    series_of,
    taken_between,
    worked_before,
)
from apps.tuning.services import ServicesLeft, service_rate, services_left
from apps.tuning.timeline import NEVER, Timed, timed_steps
from apps.tuning.uncertainty import USUAL_COVERAGE_FACTOR

__all__ = [
    "FIT",
    "FIT_LESS_WORK",
    "WANTED",
    "Material",
    "MaterialLeft",
    "MaterialReading",
    "ReplacedReadings",
    "TakenOnRecord",
    "Unmeasured",
    "material_of",
]

WANTED: tuple[SeriesKey, ...] = (
    SeriesKey("edge_height", "left"),
    SeriesKey("edge_height", "right"),
    SeriesKey("edge_width", "left"),
    SeriesKey("edge_width", "right"),
    SeriesKey("base_thickness", None),
)


@dataclass(frozen=True, slots=True)
class MaterialReading:
    """One reading as it was recorded, beside what the fit makes of it.

    Attributes
    ----------
    value_mm, expanded_uncertainty_mm : float
        As recorded [mm], k = 2.
    uncertainty_assumed : bool
        True where the record states none and the shop's practice stands in.
    record : str
        Id of the record that holds it.
    day : date
        Day of that record.
    moment : {"before", "after"} or None
        Before or after the work of that visit.
    instrument : str or None
        As recorded.
    fitted_mm : float or None
        The closest falling fit at this reading [mm]; None for a reading of an edge that is gone.
    rises : bool
        True where it lies above an earlier reading by more than both uncertainties explain.
    shared_uncertainty_mm : float
        The part of the uncertainty that all readings of its gauge in this series have in common,
        by practice [mm], k = 2; averaging leaves it.
    """

    value_mm: float
    expanded_uncertainty_mm: float
    uncertainty_assumed: bool
    record: str
    day: date
    moment: Moment | None
    instrument: str | None
    fitted_mm: float | None
    rises: bool
    shared_uncertainty_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class MaterialLeft:
    """Material left now at one place, from the readings taken at that place.

    Attributes
    ----------
    quantity : {"edge_height", "edge_width", "base_thickness"}
        What was measured.
    edge : {"left", "right"} or None
        Whose edge; None for a base reading without one.
    station, position_mm : str or None, int or None
        Where along the ski; both None for readings that say no place, a series of their own.
    left : Length
        Left now; its basis is "readings less practice" as soon as unstated work went in.
    at_last_reading : Length
        The reading part alone: the fit at the last reading, before any later work.
    taken_since : TakenSince
        What later work took.
    reserve : Length
        Left now above the shop's least; negative when below it.
    least_mm : float
        The shop's least [mm], practice.
    services : ServicesLeft
        How many usual services the reserve is good for.
    readings : tuple of MaterialReading
        All readings of the series since the edge was last replaced, in order of time.
    shared : tuple of SharedPart
        What the common error of each gauge contributes to the uncertainty of `left` [mm], by
        practice: two figures that share a gauge differ more surely than each is known.
    """

    quantity: MaterialQuantity
    edge: Edge | None
    station: str | None
    position_mm: int | None
    left: Length
    at_last_reading: Length
    taken_since: TakenSince
    reserve: Length
    least_mm: float
    services: ServicesLeft
    readings: tuple[MaterialReading, ...]
    shared: tuple[SharedPart, ...] = ()


@dataclass(frozen=True, slots=True)
class Unmeasured:
    """Material that nobody measured, or not since the edge was replaced: no value stands in.

    Attributes
    ----------
    quantity : {"edge_height", "edge_width", "base_thickness"}
        What is unknown.
    edge : {"left", "right"} or None
        Whose edge; None for the base.
    sentence : str
        Why, and what to measure.
    since : str or None
        Record of the edge replacement that ended the earlier readings, if one did.
    """

    quantity: MaterialQuantity
    edge: Edge | None
    sentence: str
    since: str | None = None


@dataclass(frozen=True, slots=True)
class ReplacedReadings:
    """Readings of an edge that was replaced since: shown, and used for nothing.

    Attributes
    ----------
    quantity, edge, station, position_mm
        As of `MaterialLeft`.
    replaced_by : str
        Record of the replacement.
    readings : tuple of MaterialReading
        In order of time.
    """

    quantity: MaterialQuantity
    edge: Edge | None
    station: str | None
    position_mm: int | None
    replaced_by: str
    readings: tuple[MaterialReading, ...]


@dataclass(frozen=True, slots=True)
class TakenOnRecord:
    """What all work on record took off, measured ski or not; never mixed with readings.

    Attributes
    ----------
    quantity : {"edge_height", "edge_width", "base_thickness"}
        What was taken.
    edge : {"left", "right"} or None
        Whose edge; None for the base.
    steps : int
        Steps that took or may have taken any, since the edge was last replaced.
    stated_mm : float
        Sum of the removals that records state [mm].
    unstated_steps : int
        Steps that state none.
    low_mm, usual_mm, high_mm : float
        What those took by the shop's practice [mm].
    basis : {"practice"}
        Basis of the three limits.
    rests_on : tuple of str
        Records of the work.
    """

    quantity: MaterialQuantity
    edge: Edge | None
    steps: int
    stated_mm: float
    unstated_steps: int
    low_mm: float
    usual_mm: float
    high_mm: float
    basis: FigureBasis
    rests_on: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Material:
    """Steel and base of one ski.

    Attributes
    ----------
    known : tuple of MaterialLeft
        One for each place that has readings.
    unknown : tuple of Unmeasured
        Every quantity and edge without any.
    taken : tuple of TakenOnRecord
        What the work on record took, for each quantity and edge.
    replaced : tuple of ReplacedReadings
        Readings of edges that are gone.
    """

    known: tuple[MaterialLeft, ...]
    unknown: tuple[Unmeasured, ...]
    taken: tuple[TakenOnRecord, ...]
    replaced: tuple[ReplacedReadings, ...] = ()

    def least(self, quantity: MaterialQuantity, edge: Edge | None = None) -> MaterialLeft | None:
        """The scarcest place of one quantity and edge, None where nothing was measured."""
        found = [
            one
            for one in self.known
            if one.quantity == quantity and (edge is None or one.edge == edge)
        ]
        return min(found, key=lambda one: one.left.value_mm, default=None)


def material_of(
    ordered: Sequence[Visit], *, practice: Practice, learned: Iterable[LearnedRate] = ()
) -> Material:
    """Steel and base of a ski from its visits in order of time.

    Parameters
    ----------
    ordered : sequence of Visit
        As `apps.tuning.history.in_order` gives them.
    practice : Practice
        The shop's least, and what stands in for unstated removals and uncertainties.
    learned : iterable of LearnedRate
        Rates from the shop's own readings, for the services left.

    Returns
    -------
    Material
        Nothing in it grows by a reading beyond that reading and its uncertainty.

    Notes
    -----
    Source: `apps.tuning.levels.last_level` for the readings; removals are taken off after the
    last reading, their limits combined as JCGM 100:2008, 5.1.2 for each side by itself.
    """
    steps, rates = timed_steps(ordered), tuple(learned)
    known: list[MaterialLeft] = []
    replaced: list[ReplacedReadings] = []
    for key, series in series_of(ordered, practice).items():
        for epoch in epochs(series, steps, key):
            if epoch.readings and epoch.ended_by is not None:
                replaced.append(_replaced(key, epoch.readings, epoch.ended_by))
            elif epoch.readings:
                known.append(_left(key, epoch.readings, steps, practice, rates))
    return Material(
        tuple(known),
        tuple(_unmeasured(key, steps) for key in WANTED if not _has(known, key)),
        tuple(_on_record(key, steps, practice) for key in WANTED),
        tuple(replaced),
    )


def _has(known: Sequence[MaterialLeft], key: SeriesKey) -> bool:
    base = key.quantity == "base_thickness"
    return any(one.quantity == key.quantity and (base or one.edge == key.edge) for one in known)


def _left(
    key: SeriesKey,
    series: Series,
    steps: Sequence[Timed[Step]],
    practice: Practice,
    learned: tuple[LearnedRate, ...],
) -> MaterialLeft:
    worked = worked_before(series, steps, key, practice)
    level = last_level([one.of_gauge for one in series], worked)
    taken = taken_between(steps, key, practice, after=series[-1].when)
    at_last = at_last_reading(series, level)
    left = less_work(at_last, taken)
    least = practice.least_mm(key.quantity)
    reserve = above_least(left, least)
    rate = service_rate(key.quantity, practice, learned)
    return MaterialLeft(
        key.quantity,
        key.edge,
        key.station,
        key.position_mm,
        left,
        at_last,
        taken,
        reserve,
        least,
        services_left(reserve.value_mm, reserve.low_mm, reserve.high_mm, rate),
        _shown(series, level.fitted),
        level.shared,
    )


def _shown(series: Series, fitted_mm: Iterable[float | None]) -> tuple[MaterialReading, ...]:
    return tuple(
        MaterialReading(
            one.reading.value_mm,
            one.expanded_uncertainty_mm,
            one.uncertainty_assumed,
            one.visit.record,
            one.visit.day,
            one.reading.moment,
            one.reading.instrument,
            fitted,
            rise is not None,
            USUAL_COVERAGE_FACTOR * one.shared_uncertainty_mm,
        )
        for one, fitted, rise in zip(series, fitted_mm, rises_of(series), strict=True)
    )


def _replaced(key: SeriesKey, gone: Series, by: Timed[Step]) -> ReplacedReadings:
    shown = _shown(gone, [None] * len(gone))
    return ReplacedReadings(
        key.quantity, key.edge, key.station, key.position_mm, by.visit.record, shown
    )


def _unmeasured(key: SeriesKey, steps: Sequence[Timed[Step]]) -> Unmeasured:
    new = replacements(steps, key)
    record = new[-1].visit.record if new else None
    since = f" since the edge was replaced on {new[-1].visit.day.isoformat()}" if new else ""
    sentence = (
        f"Nobody measured the {key.words}{since}. Measure it at a place that can be found again, "
        "and state the uncertainty."
    )
    return Unmeasured(key.quantity, key.edge, sentence, record)


def _on_record(key: SeriesKey, steps: Sequence[Timed[Step]], practice: Practice) -> TakenOnRecord:
    new = replacements(steps, key)
    taken = taken_between(steps, key, practice, after=new[-1].when if new else NEVER)
    return TakenOnRecord(
        key.quantity,
        key.edge,
        taken.steps,
        taken.stated_mm,
        taken.unstated_steps,
        taken.low_mm,
        taken.usual_mm,
        taken.high_mm,
        "practice",
        taken.rests_on,
    )

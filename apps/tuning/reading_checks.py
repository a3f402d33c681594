"""Readings of material that contradict each other or the work on record."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from apps.tuning.figures import Sureness, in_turn
from apps.tuning.history import Step, Visit
from apps.tuning.history_warning import HistoryWarning, PlausibilityCode, sureness_of
from apps.tuning.practice import Practice
from apps.tuning.series import (
    Rise,
    Series,
    SeriesKey,
    SeriesReading,
    TakenSince,
    combined_expanded_mm,
    difference_limit_mm,
    epochs,
    rises_of,
    series_of,
    taken_between,
)
from apps.tuning.timeline import Timed, timed_steps
from apps.tuning.told import told


def reading_warnings(ordered: Sequence[Visit], practice: Practice) -> Iterator[HistoryWarning]:
    """Readings that grew, gauges that disagree, and more taken than was there.

    Parameters
    ----------
    ordered : sequence of Visit
        In order of time.
    practice : Practice
        Stands in for unstated uncertainties and removals.

    Yields
    ------
    HistoryWarning
        Within one series of one edge: nothing is compared across a replacement.
    """
    steps = timed_steps(ordered)
    for key, series in series_of(ordered, practice).items():
        for epoch in epochs(series, steps, key):
            yield from _growth(key, epoch.readings)
            for earlier, later in pairwise(epoch.readings):
                taken = taken_between(steps, key, practice, earlier.when, later.when)
                yield from _gauges(key, earlier, later, taken)
                yield from _work_against_readings(key, earlier, later, taken)
            if epoch.readings:
                yield from _more_than_there(
                    key, epoch.readings[-1], steps, practice, epoch.ended_by
                )


def _growth(key: SeriesKey, readings: Series) -> Iterator[HistoryWarning]:
    code: PlausibilityCode = "base-grew" if key.quantity == "base_thickness" else "steel-grew"
    for rise in rises_of(readings):
        if rise is not None:
            yield _grown(code, key, rise)


def _grown(code: PlausibilityCode, key: SeriesKey, rise: Rise) -> HistoryWarning:
    sentence = told(
        code,
        f"The {key.words} reads {rise.later.reading.value_mm:.3f} mm on "
        f"{rise.later.visit.day.isoformat()} and {rise.earlier.reading.value_mm:.3f} mm on "
        f"{rise.earlier.visit.day.isoformat()}: a rise of {rise.rise_mm:.3f} mm, where the "
        f"uncertainties explain {rise.limit_mm:.3f} mm.",
        **key.figures,
        later_mm=rise.later.reading.value_mm,
        later_day=rise.later.visit.day,
        earlier_mm=rise.earlier.reading.value_mm,
        earlier_day=rise.earlier.visit.day,
        rise_mm=rise.rise_mm,
        limit_mm=rise.limit_mm,
    )
    sure = sureness_of(rise.rise_mm / rise.limit_mm, assumed=_assumed(rise.earlier, rise.later))
    return HistoryWarning(code, sure, sentence, _records(rise.earlier, rise.later))


def _gauges(
    key: SeriesKey, earlier: SeriesReading, later: SeriesReading, taken: TakenSince
) -> Iterator[HistoryWarning]:
    first, second = earlier.reading.instrument, later.reading.instrument
    same_day = earlier.visit.day == later.visit.day
    if not first or not second or first == second or (taken.steps and not same_day):
        return
    limit = difference_limit_mm(earlier, later)
    drop = earlier.reading.value_mm - later.reading.value_mm
    excess = max(drop - taken.most_mm, taken.least_mm - drop)
    if excess <= limit:
        return
    sentence = told(
        "gauges-disagree",
        f"Two instruments disagree on the {key.words}: {first} reads "
        f"{earlier.reading.value_mm:.3f} mm and {second} {later.reading.value_mm:.3f} mm, which "
        f"their uncertainties and the work between them don't explain.",
        **key.figures,
        first=first,
        first_mm=earlier.reading.value_mm,
        second=second,
        second_mm=later.reading.value_mm,
    )
    sure = sureness_of(excess / limit, assumed=_assumed(earlier, later) or not same_day)
    yield HistoryWarning("gauges-disagree", sure, sentence, _records(earlier, later))


def _work_against_readings(
    key: SeriesKey, earlier: SeriesReading, later: SeriesReading, taken: TakenSince
) -> Iterator[HistoryWarning]:
    limit = difference_limit_mm(earlier, later)
    drop = earlier.reading.value_mm - later.reading.value_mm
    margin = combined_expanded_mm(limit, taken.stated_uncertainty_mm)
    # A rise beyond its limit has its own code.
    if -drop > limit or taken.stated_mm - drop <= margin:
        return
    sentence = told(
        "stated-more-than-readings-fell",
        f"Work between two readings states {taken.stated_mm:.3f} mm off the {key.words}, and the "
        f"readings fell by {drop:.3f} mm.",
        **key.figures,
        stated_mm=taken.stated_mm,
        drop_mm=drop,
    )
    excess = (taken.stated_mm - drop) / margin
    sure = sureness_of(excess, assumed=_assumed(earlier, later))
    records = in_turn([earlier.visit.record], taken.rests_on, [later.visit.record])
    yield HistoryWarning("removed-more-than-measured", sure, sentence, records)


def _more_than_there(
    key: SeriesKey,
    last: SeriesReading,
    steps: Sequence[Timed[Step]],
    practice: Practice,
    ended_by: Timed[Step] | None,
) -> Iterator[HistoryWarning]:
    until = None if ended_by is None else ended_by.when
    taken = taken_between(steps, key, practice, last.when, until)
    most = last.reading.value_mm + last.expanded_uncertainty_mm
    if taken.least_mm <= most:
        return
    sentence = told(
        "more-than-was-there",
        f"Work since the last reading took {taken.least_mm:.3f} mm or more off the {key.words}, "
        f"which read {last.reading.value_mm:.3f} mm.",
        **key.figures,
        taken_mm=taken.least_mm,
        read_mm=last.reading.value_mm,
    )
    records = in_turn([last.visit.record], taken.rests_on)
    sure: Sureness = "possible" if taken.unstated_steps else "likely"
    yield HistoryWarning("removed-more-than-measured", sure, sentence, records)


def _assumed(*readings: SeriesReading) -> bool:
    return any(one.uncertainty_assumed for one in readings)


def _records(*readings: SeriesReading) -> tuple[str, ...]:
    return in_turn(one.visit.record for one in readings)

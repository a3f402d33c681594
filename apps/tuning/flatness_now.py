"""The latest true-bar profile of each place, and whether it still speaks of the base."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from apps.tuning.bevel_track import touch_of
from apps.tuning.errors import TuningError
from apps.tuning.figures import Length
from apps.tuning.flatness import BaseShape, Shape, base_shape, profile_from_bar_gaps
from apps.tuning.history import BaseProfile, Place, Step, Visit
from apps.tuning.practice import Practice
from apps.tuning.timeline import Timed, timed_profiles, timed_steps, whereabouts

UM_A_MM = 1000.0
ZONE = "minimum-zone straightness"
HOLLOW = "depth below a string drawn tight over the base"
CROWN = "height above a string drawn tight along its underside"


@dataclass(frozen=True, slots=True)
class FlatnessNow:
    """The latest true-bar profile at one place, and whether it still speaks of the base.

    Attributes
    ----------
    place : Place
        Where it was taken.
    shape : {"flat", "concave", "convex", "uneven"} or None
        None where the profile can't be read; the sentence says why.
    straightness, hollow, crown : Length or None
        Minimum-zone straightness, and how far the base lies below and above the line.
    tolerance_mm : float
        The shop's tolerance [mm], practice.
    record : str
        Id of the record with the profile.
    day : date
        Day of that record.
    stale_since : str or None
        First later record that worked the base plane; None where the profile still holds.
    sentence : str
        For a person.
    """

    place: Place
    shape: Shape | None
    straightness: Length | None
    hollow: Length | None
    crown: Length | None
    tolerance_mm: float
    record: str
    day: date
    stale_since: str | None
    sentence: str


def flatness_of(ordered: Sequence[Visit], *, practice: Practice) -> tuple[FlatnessNow, ...]:
    """The latest profile of each place, the newest first.

    Parameters
    ----------
    ordered : sequence of Visit
        In order of time.
    practice : Practice
        The shop's tolerance and how far one gap may be off.

    Returns
    -------
    tuple of FlatnessNow
        Empty where nobody took a profile.

    Notes
    -----
    Source: JCGM 100:2008, 5.1.2. A zone rests on two points against a third, so at most
    ``sqrt(2)`` times the uncertainty of one gap goes into it.
    """
    latest: dict[Place, Timed[BaseProfile]] = {}
    for one in timed_profiles(ordered):
        latest[one.item.place] = one
    steps = timed_steps(ordered)
    newest_first = sorted(latest.values(), key=lambda one: one.when, reverse=True)
    return tuple(_now(one, steps, practice) for one in newest_first)


def _now(one: Timed[BaseProfile], steps: Sequence[Timed[Step]], practice: Practice) -> FlatnessNow:
    stale_since = _stale_since(one, steps)
    try:
        profile = profile_from_bar_gaps(one.item.x_mm, one.item.gap_um)
        shape = base_shape(profile, practice.flatness_tolerance_mm * UM_A_MM)
    except TuningError as refused:
        return _unreadable(one, stale_since, str(refused), practice)
    return _readable(one, stale_since, shape, practice)


def _readable(
    one: Timed[BaseProfile], stale_since: str | None, shape: BaseShape, practice: Practice
) -> FlatnessNow:
    record, zone_um = one.visit.record, shape.straightness.zone_um
    off_mm = math.sqrt(2.0) * practice.profile_uncertainty_mm
    told = f"{shape.shape.capitalize()} within {zone_um / UM_A_MM:.3f} mm on {one.visit.day}"
    return FlatnessNow(
        one.item.place,
        shape.shape,
        _length(zone_um, off_mm, ZONE, record),
        _length(shape.hollow_um, off_mm, HOLLOW, record),
        _length(shape.crown_um, off_mm, CROWN, record),
        practice.flatness_tolerance_mm,
        record,
        one.visit.day,
        stale_since,
        f"{told}; the base was worked since." if stale_since else f"{told}.",
    )


def _unreadable(
    one: Timed[BaseProfile], stale_since: str | None, why: str, practice: Practice
) -> FlatnessNow:
    return FlatnessNow(
        one.item.place,
        None,
        None,
        None,
        None,
        practice.flatness_tolerance_mm,
        one.visit.record,
        one.visit.day,
        stale_since,
        f"The profile of {one.visit.day} can't be read. {why}",
    )


def _length(value_um: float, off_mm: float, method: str, record: str) -> Length:
    value = value_um / UM_A_MM
    return Length(value, max(0.0, value - off_mm), value + off_mm, method, "readings", (record,))


def _stale_since(one: Timed[BaseProfile], steps: Sequence[Timed[Step]]) -> str | None:
    """The first later step that worked the base plane there, or may have."""
    for step in steps:
        ground = touch_of(step.item, "base") == "ground"
        reach = whereabouts(step.item.place, one.item.place)
        if step.when > one.when and ground and reach != "elsewhere":
            return step.visit.record
    return None

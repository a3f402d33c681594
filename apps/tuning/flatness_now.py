"""The latest true-bar profile of each place, and whether it still speaks of the base."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from apps.tuning.centre_groove import (
    CentreGroove,
    beside_groove,
    centre_groove_of,
    groove_like_depth_um,
)
from apps.tuning.effects import effect_of
from apps.tuning.errors import TuningError
from apps.tuning.figures import Length, in_turn
from apps.tuning.flatness import BaseShape, Shape, base_shape, profile_from_bar_gaps
from apps.tuning.flatness_grinds import Cut, CutAt, edges_only_cut, grind_cut
from apps.tuning.history import BaseProfile, Place, Step, Visit
from apps.tuning.practice import Practice
from apps.tuning.profile import Profile
from apps.tuning.timeline import Timed, When, timed_profiles, timed_steps, whereabouts

UM_A_MM = 1000.0
ZONE = "minimum-zone straightness"
HOLLOW = "depth below a string drawn tight over the base"
CROWN = "height above a string drawn tight along its underside"
LEAST_GRIND = "least grind along the lower line of the narrowest zone"
EDGES_ONLY = "edges, 2 mm by practice, filed to a bar laid on the base between them"


@dataclass(frozen=True, slots=True)
class CutNow:
    """What one way to a flatter base takes, and the shape it leaves.

    Attributes
    ----------
    left_edge, right_edge, greatest : Length
        Taken at either edge, and where it takes most.
    straightness_after : Length
        Minimum-zone straightness that is left.
    shape_after : {"flat", "concave", "convex", "uneven"}
        The shape that is left, by the shop's tolerance.
    """

    left_edge: Length
    right_edge: Length
    greatest: Length
    straightness_after: Length
    shape_after: Shape


@dataclass(frozen=True, slots=True)
class WaysToFlat:
    """Three ways to a flatter base, for one profile.

    Attributes
    ----------
    to_flat : CutNow
        Least grind of the whole base that touches it everywhere.
    to_tolerance : CutNow
        Least grind that reaches the shop's tolerance.
    edges_only : CutNow or None
        Only the edges filed down to the base; None where too few points lie between them.
    """

    to_flat: CutNow
    to_tolerance: CutNow
    edges_only: CutNow | None


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
    points, left_out : int
        Readings of the profile, and how many of them lie over the centre groove.
    ways : WaysToFlat or None
        What each way to a flatter base would take off; None where the profile can't be read.
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
    points: int = 0
    left_out: int = 0
    ways: WaysToFlat | None = None


@dataclass(frozen=True, slots=True)
class ReadProfile:
    """A profile of the base alone, with how far one reading may be off and what it rests on.

    Attributes
    ----------
    profile : Profile
        Without the centre groove.
    off_mm : float
        Expanded uncertainty of one gap (k = 2) [mm].
    left_out : int
        Readings over the groove.
    rests_on : tuple of str
        The record of the profile, and that of the groove where readings were left out.
    """

    profile: Profile
    off_mm: float
    left_out: int
    rests_on: tuple[str, ...]


def flatness_of(ordered: Sequence[Visit], *, practice: Practice) -> tuple[FlatnessNow, ...]:
    """The latest profile of each place, the newest first.

    Parameters
    ----------
    ordered : sequence of Visit
        In order of time.
    practice : Practice
        The shop's tolerance, and how far one gap may be off where the record states nothing.

    Returns
    -------
    tuple of FlatnessNow
        Empty where nobody took a profile.

    Notes
    -----
    Source: JCGM 100:2008, 5.1.2. A zone rests on two points against a third, so at most
    ``sqrt(2)`` times the uncertainty of one gap goes into it.
    """
    steps, groove = timed_steps(ordered), centre_groove_of(ordered)
    return tuple(
        flatness_at(one, worked_since(one.when, one.item.place, steps), groove, practice)
        for one in latest_profiles(ordered)
    )


def latest_profiles(ordered: Sequence[Visit]) -> list[Timed[BaseProfile]]:
    """Give the latest profile of each place, the newest first."""
    latest: dict[Place, Timed[BaseProfile]] = {}
    for one in timed_profiles(ordered):
        latest[one.item.place] = one
    return sorted(latest.values(), key=lambda one: one.when, reverse=True)


def read_profile(
    one: Timed[BaseProfile], groove: CentreGroove | None, practice: Practice
) -> ReadProfile:
    """Read a profile as one of the base alone.

    Raises
    ------
    TuningError
        If the profile says nothing of the base, or too little of it lies beside the groove.
    """
    width = 0.0 if groove is None else groove.width_mm
    x_mm, gap_um = beside_groove(one.item.x_mm, one.item.gap_um, width)
    left_out = len(one.item.x_mm) - len(x_mm)
    stated_um = one.item.uncertainty_um
    off_mm = practice.profile_uncertainty_mm if stated_um is None else stated_um / UM_A_MM
    by_groove = (groove.record,) if groove is not None and left_out else ()
    rests_on = in_turn(by_groove, (one.visit.record,))
    return ReadProfile(profile_from_bar_gaps(x_mm, gap_um), off_mm, left_out, rests_on)


def worked_since(when: When, place: Place, steps: Sequence[Timed[Step]]) -> str | None:
    """Give the first later record whose work changed the base there, or may have."""
    for step in steps:
        effect = effect_of(step.item.operation)
        reached = effect.base_plane or effect.base_shape
        if step.when > when and reached and whereabouts(step.item.place, place) != "elsewhere":
            return step.visit.record
    return None


def flatness_at(
    one: Timed[BaseProfile], stale: str | None, groove: CentreGroove | None, practice: Practice
) -> FlatnessNow:
    """Tell the shape of the base from one profile, or why it tells none."""
    try:
        read = read_profile(one, groove, practice)
    except TuningError as refused:
        why = f"The profile of {one.visit.day} can't be read. {refused}"
        return _unreadable(one, stale, why, practice)
    depth_um = groove_like_depth_um(read.profile) if groove is None else 0.0
    if depth_um > 0:
        return _unreadable(one, stale, _grooved(one, depth_um), practice)
    return _readable(one, stale, read, practice)


def _grooved(one: Timed[BaseProfile], depth_um: float) -> str:
    return (
        f"The middle of the profile of {one.visit.day} lies {depth_um / UM_A_MM:.2f} mm deeper "
        "than the base beside it, as a centre groove does. State centre_groove_width_mm, 0.0 for "
        "a base without one."
    )


def _readable(
    one: Timed[BaseProfile], stale: str | None, read: ReadProfile, practice: Practice
) -> FlatnessNow:
    shape = base_shape(read.profile, practice.flatness_tolerance_mm * UM_A_MM)
    zone_um, off_mm = shape.straightness.zone_um, math.sqrt(2.0) * read.off_mm
    told = f"{shape.shape.capitalize()} within {zone_um / UM_A_MM:.3f} mm on {one.visit.day}"
    return FlatnessNow(
        one.item.place,
        shape.shape,
        _length(zone_um, off_mm, ZONE, read.rests_on),
        _length(shape.hollow_um, off_mm, HOLLOW, read.rests_on),
        _length(shape.crown_um, off_mm, CROWN, read.rests_on),
        practice.flatness_tolerance_mm,
        one.visit.record,
        one.visit.day,
        stale,
        f"{told}; the base was worked since." if stale else f"{told}.",
        len(one.item.x_mm),
        read.left_out,
        _ways(read, shape.tolerance_um),
    )


def _unreadable(
    one: Timed[BaseProfile], stale: str | None, why: str, practice: Practice
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
        stale,
        why,
        len(one.item.x_mm),
    )


def _ways(read: ReadProfile, tolerance_um: float) -> WaysToFlat:
    to_flat = grind_cut(read.profile, tolerance_um)
    to_tolerance = grind_cut(read.profile, tolerance_um, remaining_um=tolerance_um)
    try:
        edges = edges_only_cut(read.profile, tolerance_um)
    except TuningError:
        edges = None
    return WaysToFlat(
        _cut(to_flat, LEAST_GRIND, read),
        _cut(to_tolerance, LEAST_GRIND, read),
        None if edges is None else _cut(edges, EDGES_ONLY, read),
    )


def _cut(cut: Cut, method: str, read: ReadProfile) -> CutNow:
    return CutNow(
        _taken(cut.left_edge, method, read),
        _taken(cut.right_edge, method, read),
        _taken(cut.greatest, method, read),
        _after(cut.after, read),
        cut.after.shape,
    )


def _taken(cut: CutAt, method: str, read: ReadProfile) -> Length:
    value, off = cut.height_um / UM_A_MM, cut.sensitivity * read.off_mm
    low, high = max(0.0, value - off), max(0.0, value + off)
    return Length(max(0.0, value), low, high, method, "readings", read.rests_on)


def _after(shape: BaseShape, read: ReadProfile) -> Length:
    return _length(shape.straightness.zone_um, math.sqrt(2.0) * read.off_mm, ZONE, read.rests_on)


def _length(value_um: float, off_mm: float, method: str, rests_on: tuple[str, ...]) -> Length:
    value = value_um / UM_A_MM
    return Length(value, max(0.0, value - off_mm), value + off_mm, method, "readings", rests_on)

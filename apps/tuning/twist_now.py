"""Twist along the ski from the true-bar profiles that still hold."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from apps.tuning.centre_groove import CentreGroove, centre_groove_of, groove_like_depth_um
from apps.tuning.cross_slope import Station, Twist, cross_slope_deg, twist_along
from apps.tuning.errors import TuningError
from apps.tuning.figures import in_turn
from apps.tuning.flatness_now import (
    UM_A_MM,
    ReadProfile,
    latest_profiles,
    read_profile,
    worked_since,
)
from apps.tuning.history import Visit
from apps.tuning.practice import Practice
from apps.tuning.timeline import timed_steps
from apps.tuning.uncertainty import USUAL_COVERAGE_FACTOR

TWIST = "change of the least-squares cross slope"
IF_HELD = "That is twist only if the bar was held to one plane at every station."


@dataclass(frozen=True, slots=True)
class TwistNow:
    """How the base turns between two stations.

    Attributes
    ----------
    from_mm, to_mm : int
        The stations [mm from the tail].
    deg_per_m, low_deg_per_m, high_deg_per_m : float
        Turn for each metre towards the tip, and its limits (k = 2) [deg/m]; positive where the
        right side rises.
    method : str
        Name of the rule that gave it.
    sentence : str
        For a person, with what it takes for granted.
    rests_on : tuple of str
        Ids of the records behind it.
    """

    from_mm: int
    to_mm: int
    deg_per_m: float
    low_deg_per_m: float
    high_deg_per_m: float
    method: str
    sentence: str
    rests_on: tuple[str, ...]


def twists_of(ordered: Sequence[Visit], *, practice: Practice) -> tuple[TwistNow, ...]:
    """Twist between neighbouring stations, and over all of them where there are more than two.

    Parameters
    ----------
    ordered : sequence of Visit
        In order of time.
    practice : Practice
        How far one gap may be off where the record states nothing.

    Returns
    -------
    tuple of TwistNow
        From the tail to the tip; empty where fewer than two profiles hold that name their
        position.
    """
    at = _profiles_by_position(ordered, practice)
    if len(at) < 2:
        return ()
    stations = [
        Station(position, cross_slope_deg(at[position].profile, _standard_um(at[position])))
        for position in sorted(at)
    ]
    return tuple(_now(twist, at) for twist in twist_along(stations))


def _profiles_by_position(ordered: Sequence[Visit], practice: Practice) -> dict[float, ReadProfile]:
    steps, groove = timed_steps(ordered), centre_groove_of(ordered)
    found: dict[float, ReadProfile] = {}
    for one in latest_profiles(ordered):
        position = one.item.place.position_mm
        if position is None or worked_since(one.when, one.item.place, steps):
            continue
        try:
            read = read_profile(one, groove, practice)
        except TuningError:
            continue
        if not _suspect(read, groove):
            found.setdefault(position, read)
    return found


def _suspect(read: ReadProfile, groove: CentreGroove | None) -> bool:
    return groove is None and groove_like_depth_um(read.profile) > 0


def _standard_um(read: ReadProfile) -> float:
    return read.off_mm * UM_A_MM / USUAL_COVERAGE_FACTOR


def _now(twist: Twist, at: dict[float, ReadProfile]) -> TwistNow:
    value, off = twist.deg_per_m.value, twist.deg_per_m.expanded()
    stretch = f"Between {twist.from_mm:g} mm and {twist.to_mm:g} mm from the tail the base turns"
    told = f"by {value:.2f} deg for each metre" if abs(value) > off else "by no more than is unsure"
    return TwistNow(
        int(twist.from_mm),
        int(twist.to_mm),
        value,
        value - off,
        value + off,
        TWIST,
        f"{stretch} {told}. {IF_HELD}",
        in_turn(at[twist.from_mm].rests_on, at[twist.to_mm].rests_on),
    )

"""A history taken apart into single statements and steps, each with its place in time.

Inside a visit what was taken before the work comes first, then the steps in their order, then
everything else: a reading or setting without a moment holds at the end of its visit, whatever
its place in the record.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, Literal, TypeVar

from apps.tuning.effects import effect_of
from apps.tuning.history import (
    BaseProfile,
    BevelStatement,
    Edge,
    MaterialQuantity,
    Moment,
    Place,
    Reading,
    Step,
    Visit,
)

T = TypeVar("T")

When = tuple[int, int, int]
"""Place of the visit in order of time, phase within it (before, work, after), place in its list."""

BEFORE, WORK, AFTER = 0, 1, 2
NEVER: When = (-1, 0, 0)

Whereabouts = Literal["here", "perhaps", "elsewhere"]


@dataclass(frozen=True, slots=True)
class Timed(Generic[T]):
    """One thing out of a visit, with its place in time."""

    when: When
    visit: Visit
    item: T


def _phase(moment: Moment | None) -> int:
    return BEFORE if moment == "before" else AFTER


def timed_readings(ordered: Sequence[Visit]) -> tuple[Timed[Reading], ...]:
    """All readings of visits in order of time."""
    found = [
        Timed((number, _phase(reading.moment), index), visit, reading)
        for number, visit in enumerate(ordered)
        for index, reading in enumerate(visit.readings)
    ]
    return tuple(sorted(found, key=lambda one: one.when))


def timed_profiles(ordered: Sequence[Visit]) -> tuple[Timed[BaseProfile], ...]:
    """All base profiles of visits in order of time."""
    found = [
        Timed((number, _phase(profile.moment), index), visit, profile)
        for number, visit in enumerate(ordered)
        for index, profile in enumerate(visit.profiles)
    ]
    return tuple(sorted(found, key=lambda one: one.when))


def timed_steps(ordered: Sequence[Visit]) -> tuple[Timed[Step], ...]:
    """All steps of visits in order of time."""
    return tuple(
        Timed((number, WORK, index), visit, step)
        for number, visit in enumerate(ordered)
        for index, step in enumerate(visit.steps)
    )


def timed_bevels(ordered: Sequence[Visit]) -> tuple[Timed[BevelStatement], ...]:
    """All bevel statements in order of time; of one visit's end the measured ones come last."""
    found = [
        Timed((number, _phase(bevel.moment), index), visit, bevel)
        for number, visit in enumerate(ordered)
        for index, bevel in enumerate(visit.bevels)
    ]
    return tuple(
        sorted(found, key=lambda one: (*one.when[:2], one.item.basis == "measured", one.when[2]))
    )


def is_narrowed(place: Place) -> bool:
    """Whether a place is only a part of the ski's length."""
    return place.station is not None or place.position_mm is not None


def whereabouts(worked: Place, at: Place) -> Whereabouts:
    """Whether work at one place reached another.

    Parameters
    ----------
    worked : Place
        Where the work was. A position is the end nearer the tail of `length_mm`.
    at : Place
        Where something was measured.

    Returns
    -------
    {"here", "perhaps", "elsewhere"}
        "perhaps" where the two are told in ways that can't be compared.
    """
    if not is_narrowed(worked):
        return "here"
    if worked.position_mm is not None and at.position_mm is not None:
        return _along(worked.position_mm, worked.length_mm, at.position_mm)
    if worked.station is not None and at.station is not None:
        return "here" if worked.station == at.station else "elsewhere"
    return "perhaps"


def _along(start_mm: int, length_mm: int | None, at_mm: int) -> Whereabouts:
    if start_mm == at_mm:
        return "here"
    if length_mm is None:
        return "perhaps"
    return "here" if start_mm <= at_mm <= start_mm + length_mm else "elsewhere"


def worked_edges(step: Step) -> tuple[Edge, ...]:
    """The edges a step worked; a place that names an edge narrows it down."""
    return step.edges if step.place.edge is None else (step.place.edge,)


def works_edge(step: Step, edge: Edge | None) -> bool:
    """Whether a step worked an edge; any edge will do where none is named."""
    return edge is None or edge in worked_edges(step)


def stated_removal_mm(step: Step, quantity: MaterialQuantity) -> float | None:
    """What a step says it took [mm], None where it says nothing of this quantity.

    A step that works the whole base plane takes steel and base alike, so one number serves for
    both where only one is stated.
    """
    stated: dict[MaterialQuantity, float | None] = {
        "edge_height": step.edge_height_removed_mm,
        "edge_width": step.edge_width_removed_mm,
        "base_thickness": step.base_removed_mm,
    }
    own = stated[quantity]
    if own is not None or quantity == "edge_width" or not effect_of(step.operation).base_plane:
        return own
    other: MaterialQuantity = "base_thickness" if quantity == "edge_height" else "edge_height"
    return stated[other]

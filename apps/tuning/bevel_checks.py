"""Statements of bevels that contradict each other or the work on record."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from apps.tuning.bevel_track import bevel_of, covers, stated_bevel, touch_of
from apps.tuning.figures import in_turn
from apps.tuning.history import EDGES, Edge, Step, Visit
from apps.tuning.history_warning import HistoryWarning, sureness_of
from apps.tuning.practice import Practice
from apps.tuning.standing import Face, StatedBevel
from apps.tuning.timeline import Timed, When, timed_bevels, timed_steps, worked_edges
from apps.tuning.told import told
from apps.tuning.uncertainty import rectangular_standard, rise_limit, standard_from_expanded

FACES: tuple[Face, Face] = ("base", "side")

BEVEL_STEP_DEG = 0.01
"""Step of every bevel in a record; none is surer."""


@dataclass(frozen=True, slots=True)
class _Told:
    """A bevel that was set or measured, with its place in time."""

    when: When
    bevel: StatedBevel

    @property
    def span(self) -> tuple[int, int] | None:
        first, last = self.bevel.station_from_mm, self.bevel.station_to_mm
        return None if first is None or last is None else (first, last)


def bevel_warnings(ordered: Sequence[Visit], practice: Practice) -> Iterator[HistoryWarning]:
    """Bevels measured other than set, and base bevels that closed without a grind.

    Parameters
    ----------
    ordered : sequence of Visit
        In order of time.
    practice : Practice
        Stands in for unstated uncertainties.

    Yields
    ------
    HistoryWarning
        A statement about a range is compared with what was last said of all of that range.
    """
    steps = timed_steps(ordered)
    for edge in EDGES:
        for face in FACES:
            told = _told(ordered, edge, face, practice)
            for number, later in enumerate(told):
                yield from _disagreeing(told[:number], later, steps, edge, face)
                if face == "base":
                    yield from _closed(told[:number], later, steps, edge)


def _told(
    ordered: Sequence[Visit], edge: Edge, face: Face, practice: Practice
) -> tuple[_Told, ...]:
    found = []
    for one in timed_bevels(ordered):
        bevel_deg = bevel_of(one.item, face)
        if one.item.edge == edge and one.item.basis != "specified" and bevel_deg is not None:
            found.append(_Told(one.when, stated_bevel(one.visit, one.item, bevel_deg, practice)))
    return tuple(found)


def _disagreeing(
    earlier: Sequence[_Told],
    later: _Told,
    steps: Iterable[Timed[Step]],
    edge: Edge,
    face: Face,
) -> Iterator[HistoryWarning]:
    """A measured bevel against the last one set, where nothing worked that face in between."""
    if later.bevel.basis != "measured":
        return
    was_set = _last(one for one in earlier if one.bevel.basis == "set" and _speaks_of(one, later))
    if was_set is None or any(
        touch_of(one.item, face) for one in _between(steps, was_set, later, edge)
    ):
        return
    difference = abs(was_set.bevel.bevel_deg - later.bevel.bevel_deg)
    limit = _limit_deg(was_set, later)
    if difference <= limit:
        return
    sentence = told(
        "set-and-measured-disagree",
        f"The {face} bevel of the {edge} edge was set to {was_set.bevel.bevel_deg:g} deg on "
        f"{was_set.bevel.day.isoformat()} and measured as {later.bevel.bevel_deg:g} on "
        f"{later.bevel.day.isoformat()}, with no work on it in between.",
        face=face,
        edge=edge,
        set_deg=was_set.bevel.bevel_deg,
        set_day=was_set.bevel.day,
        measured_deg=later.bevel.bevel_deg,
        measured_day=later.bevel.day,
    )
    sure = sureness_of(difference / limit, assumed=_assumed(was_set, later))
    yield HistoryWarning("set-and-measured-disagree", sure, sentence, _records(was_set, later))


def _closed(
    earlier: Sequence[_Told], later: _Told, steps: Iterable[Timed[Step]], edge: Edge
) -> Iterator[HistoryWarning]:
    """A smaller base bevel than before, where nothing took base or steel off in between."""
    before = _last(one for one in earlier if _speaks_of(one, later))
    if before is None or before.when[:2] == later.when[:2]:
        return
    closed_by, limit = before.bevel.bevel_deg - later.bevel.bevel_deg, _limit_deg(before, later)
    ground = any(_may_close(one.item) for one in _between(steps, before, later, edge))
    if ground or closed_by <= limit:
        return
    sentence = told(
        "base-bevel-closed-without-grind",
        f"The base bevel of the {edge} edge went from {before.bevel.bevel_deg:g} deg on "
        f"{before.bevel.day.isoformat()} to {later.bevel.bevel_deg:g} on "
        f"{later.bevel.day.isoformat()}, and no grind of the base is on record in between.",
        edge=edge,
        before_deg=before.bevel.bevel_deg,
        before_day=before.bevel.day,
        after_deg=later.bevel.bevel_deg,
        after_day=later.bevel.day,
    )
    # What was set is an intention, so only two measured bevels can make it certain.
    only_measured = before.bevel.basis == later.bevel.basis == "measured"
    assumed = _assumed(before, later) or not only_measured
    sure = sureness_of(closed_by / limit, assumed=assumed)
    records = _records(before, later)
    yield HistoryWarning("base-bevel-closed-without-grind", sure, sentence, records)


def _last(told: Iterable[_Told]) -> _Told | None:
    """The latest; statements come in order of time, of one visit's end the measured ones last."""
    found = list(told)
    return found[-1] if found else None


def _speaks_of(one: _Told, other: _Told) -> bool:
    return covers(one.span, other.span)


def _between(
    steps: Iterable[Timed[Step]], first: _Told, second: _Told, edge: Edge
) -> Iterator[Timed[Step]]:
    for one in steps:
        if first.when < one.when < second.when and edge in worked_edges(one.item):
            yield one


def _may_close(step: Step) -> bool:
    """Whether a step may have lowered the base plane, the benefit of the doubt included."""
    taken = (step.base_removed_mm or 0.0) + (step.edge_height_removed_mm or 0.0)
    return taken > 0.0 or touch_of(step, "base") in ("ground", "replaced")


def _limit_deg(first: _Told, second: _Told) -> float:
    return rise_limit(_standard_deg(first), _standard_deg(second))


def _standard_deg(one: _Told) -> float:
    stated = standard_from_expanded(one.bevel.expanded_uncertainty_deg)
    return max(stated, rectangular_standard(BEVEL_STEP_DEG))


def _assumed(*told: _Told) -> bool:
    return any(one.bevel.uncertainty_assumed for one in told)


def _records(*told: _Told) -> tuple[str, ...]:
    return in_turn(one.bevel.record for one in told)

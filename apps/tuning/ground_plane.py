"""The one ground plane that serves flatness, the closing of base bevels and ground-out gouges.

A grind makes a single plane, so what each purpose asks for is never added up: the plane goes as
deep as the most demanding one and the others come with it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from apps.tuning.edge_change import Demand, closing_demand
from apps.tuning.history import EDGES, Edge, FindingKey
from apps.tuning.plan_amounts import (
    NOTHING_TAKEN,
    PerEdge,
    Rates,
    Taken,
    largest,
)
from apps.tuning.plan_request import TuneRequest, findings_named
from apps.tuning.plan_state import BenchState, CrossShape

Need = Literal["yes", "perhaps", "no"]
Governor = Literal["flatness", "closing", "grind_out", "nothing"]

_NO_DEMAND = Demand(NOTHING_TAKEN)


@dataclass(frozen=True, slots=True)
class GroundPlane:
    """How deep the plane has to go, and on whose account.

    Attributes
    ----------
    need : {"yes", "perhaps", "no"}
        "perhaps": only something that nobody measured could ask for it.
    steel : Taken
        Off the edge height of both edges [mm]; the least that serves every purpose.
    base : Taken
        Off the base where it loses most [mm].
    closing : PerEdge of Demand
        What the base bevel wanted on each edge asks for.
    flatness : Taken or None
        What flatness asks of the steel [mm], None where it wasn't asked for.
    grind_out : Taken
        What the gouges to be ground out ask of the steel [mm].
    governed_by : str
        The purpose that asks for most.
    shape_known : bool
        False when no true bar was laid on.
    depth_missing : tuple of FindingKey
        Findings to be ground out whose depth nobody measured.
    """

    need: Need
    steel: Taken
    base: Taken
    closing: PerEdge[Demand]
    flatness: Taken | None
    grind_out: Taken
    governed_by: Governor
    shape_known: bool
    depth_missing: tuple[FindingKey, ...]

    @property
    def unsure_edges(self) -> tuple[Edge, ...]:
        """Edges whose closing hangs on a bevel that nobody knows."""
        return tuple(edge for edge in EDGES if not self.closing.of(edge).certain)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What each purpose asks of the steel."""

    closing: PerEdge[Demand]
    flatness: Taken | None
    grind_out: Taken

    @property
    def steel(self) -> Taken:
        closings = (self.closing.left.taken, self.closing.right.taken)
        return largest((self.flatness or NOTHING_TAKEN, *closings, self.grind_out))

    @property
    def governed_by(self) -> Governor:
        asked: dict[Governor, Taken] = {
            "flatness": self.flatness or NOTHING_TAKEN,
            "closing": largest(self.closing.of(edge).taken for edge in EDGES),
            "grind_out": self.grind_out,
        }
        return max(asked, key=lambda purpose: (asked[purpose].usual_mm, asked[purpose].high_mm))


def ground_plane(state: BenchState, request: TuneRequest, rates: Rates) -> GroundPlane:
    """The least plane that serves a request.

    Parameters
    ----------
    state : BenchState
        The ski now.
    request : TuneRequest
        Flatness, base bevels and findings to grind out are read.
    rates : Rates
        What a usual grind takes; stands in for an unmeasured shape, marked as practice.

    Returns
    -------
    GroundPlane
        On a concave base the steel loses the largest of the hollow beyond the tolerance, the
        closing depth and what gouges ask for. On a convex one the crown goes off the base
        besides, and no steel is lost to it.

    Notes
    -----
    Source: geometry. Edge height is counted where it loses most: at the inner end of the facet
    a plane takes its whole depth, at the corner as much once the same bevel is set again.
    """
    usual = _usual_grind(request, rates)
    asked = _Asked(
        _closings(state, request, rates),
        _flatness(state.shape, request.flatness_tolerance_mm, usual),
        _grind_out(state, request, usual),
    )
    base = _base(state, request, asked.steel, usual)
    need = _need(asked, base, state.shape)
    nothing = need == "no"
    return GroundPlane(
        need=need,
        steel=NOTHING_TAKEN if nothing else asked.steel,
        base=NOTHING_TAKEN if nothing else base,
        closing=asked.closing,
        flatness=asked.flatness,
        grind_out=asked.grind_out,
        governed_by="nothing" if nothing else asked.governed_by,
        shape_known=state.shape is not None,
        depth_missing=tuple(
            finding.key
            for finding in findings_named(state, request.grind_out)
            if finding.depth_mm is None
        ),
    )


def _need(asked: _Asked, base: Taken, shape: CrossShape | None) -> Need:
    measured = [asked.closing.of(edge).taken.usual_mm for edge in EDGES]
    measured.append(asked.grind_out.usual_mm)
    if shape is not None:
        measured += [asked.steel.usual_mm, base.usual_mm]
    if any(measured):
        return "yes"
    unsure = any(not asked.closing.of(edge).certain for edge in EDGES)
    unmeasured = shape is None and asked.flatness is not None
    return "perhaps" if unsure or unmeasured else "no"


def _usual_grind(request: TuneRequest, rates: Rates) -> Taken:
    """What stands in for a shape nobody measured: at least nothing, at most a heavy pass."""
    usual = rates.taken(request.plane_operation, "base_thickness")
    return Taken(0.0, usual.usual_mm, usual.high_mm, usual.basis)


def _closings(state: BenchState, request: TuneRequest, rates: Rates) -> PerEdge[Demand]:
    def of(edge: Edge) -> Demand:
        wanted = request.targets.of(edge).base_bevel_deg
        if wanted is None:
            return _NO_DEMAND
        return closing_demand(state.edge(edge), wanted, rates.practice)

    return PerEdge(of("left"), of("right"))


def _flatness(shape: CrossShape | None, tolerance_mm: float | None, usual: Taken) -> Taken | None:
    if tolerance_mm is None:
        return None
    if shape is None:
        return usual
    hollow = shape.hollow_mm
    return Taken(
        max(0.0, hollow.low - tolerance_mm),
        max(0.0, hollow.value - tolerance_mm),
        max(0.0, hollow.high - tolerance_mm),
        "geometry",
    )


def _deepest_gouge_mm(state: BenchState, request: TuneRequest) -> float:
    named = findings_named(state, request.grind_out)
    return max((finding.depth_mm or 0.0 for finding in named), default=0.0)


def _grind_out(state: BenchState, request: TuneRequest, usual: Taken) -> Taken:
    # Where across the base a gouge lies isn't recorded: at worst at the bottom of the hollow,
    # at best on top of the crown, which goes without touching steel.
    depth, shape = _deepest_gouge_mm(state, request), state.shape
    if depth == 0.0:
        return NOTHING_TAKEN
    if shape is None:
        return Taken(0.0, depth, depth + usual.high_mm, usual.basis)
    hollow = shape.hollow_mm
    least = max(0.0, depth - shape.crown_mm.high)
    return Taken(least, depth + hollow.value, depth + hollow.high, "geometry")


def _base(state: BenchState, request: TuneRequest, steel: Taken, usual: Taken) -> Taken:
    shape = state.shape
    if shape is None:
        besides = Taken(0.0, 0.0, usual.high_mm, usual.basis)
        return steel.plus(besides) if steel.possible else steel
    tolerance, depth = request.flatness_tolerance_mm, _deepest_gouge_mm(state, request)

    def at(hollow_mm: float, crown_mm: float, steel_mm: float) -> float:
        if steel_mm > 0.0:
            return crown_mm + steel_mm
        # The plane stays clear of the edges, so a crown may be left as high as the tolerance.
        beyond = 0.0 if tolerance is None else min(crown_mm, hollow_mm + crown_mm - tolerance)
        return max(0.0, beyond, depth)

    hollow, crown = shape.hollow_mm, shape.crown_mm
    return Taken(
        at(hollow.low, crown.low, steel.low_mm),
        at(hollow.value, crown.value, steel.usual_mm),
        at(hollow.high, crown.high, steel.high_mm),
        steel.basis,
    )

"""The state that a plan leaves, told step by step."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import reduce

from apps.tuning.bevel import MAX_BASE_BEVEL_DEG
from apps.tuning.edge_change import facet_now
from apps.tuning.edge_steel import LEAST_BASE_BEVEL_DEG, facet_after_grind_mm
from apps.tuning.effects import effect_of
from apps.tuning.history import EDGES, Edge
from apps.tuning.plan_amounts import Bounded, Spent, Taken
from apps.tuning.plan_repairs import still_open
from apps.tuning.plan_state import NEW_EDGE, BenchState, BevelState, CrossShape, EdgeState
from apps.tuning.plan_steps import Bench, PlanStep, total_spent
from apps.tuning.practice import Practice
from apps.tuning.standing import Standing

_NOTHING_LEFT = Bounded(0.0, 0.0, 0.0)


def state_after(bench: Bench, steps: tuple[PlanStep, ...]) -> BenchState:
    """The ski as the steps would leave it.

    Parameters
    ----------
    bench : Bench
        State and request the steps were made from.
    steps : tuple of PlanStep
        The plan.

    Returns
    -------
    BenchState
        Bevels with their standing, facets, material and shape; what was not known stays so.

    Notes
    -----
    Source: geometry; limits as in `Bounded.less`.
    """
    spent = total_spent(steps)
    left, right = (_edge_after(bench, edge, steps, spent) for edge in EDGES)
    thickness = bench.state.base_thickness_mm
    return replace(
        bench.state,
        left=left,
        right=right,
        base_thickness_mm=_less(thickness, spent.base_mm),
        shape=_shape_after(bench),
        findings=still_open(bench.state, bench.request),
    )


def _less(left: Bounded | None, taken: Taken) -> Bounded | None:
    return None if left is None else left.less(taken)


def _edge_after(bench: Bench, edge: Edge, steps: tuple[PlanStep, ...], spent: Spent) -> EdgeState:
    edge_steps = _EdgeSteps(bench, edge)
    after = reduce(edge_steps.after, steps, bench.state.edge(edge))
    return replace(
        after,
        edge_height_mm=_less(after.edge_height_mm, spent.edge_height_mm.of(edge)),
        edge_width_mm=_less(after.edge_width_mm, spent.edge_width_mm.of(edge)),
    )


@dataclass(frozen=True, slots=True)
class _EdgeSteps:
    bench: Bench
    edge: Edge

    def after(self, now: EdgeState, step: PlanStep) -> EdgeState:
        effect = effect_of(step.operation)
        if self.edge not in step.edges:
            return now
        if effect.new_edge:
            return NEW_EDGE
        if effect.base_plane:
            return after_plane(now, step.taken.edge_height_mm.of(self.edge), self.practice)
        target = self.bench.request.targets.of(self.edge)
        if effect.base_facet and target.base_bevel_deg is not None:
            return self._base_set(now, target.base_bevel_deg)
        if effect.side and target.side_bevel_deg is not None:
            return replace(now, side_bevel=self._set(target.side_bevel_deg))
        return now

    @property
    def practice(self) -> Practice:
        return self.bench.rates.practice

    def _set(self, bevel_deg: float) -> BevelState:
        return BevelState("stands", Bounded.reading(bevel_deg, self.practice.bevel_uncertainty_deg))

    def _base_set(self, now: EdgeState, bevel_deg: float) -> EdgeState:
        # Set anew, a facet gets the width that it had before the plane took some of it.
        facet = facet_now(self.bench.state.edge(self.edge), self.practice)
        return replace(
            now,
            base_bevel=self._set(bevel_deg),
            facet_width_mm=facet.width_mm,
            facet_measured=not facet.assumed,
        )


def after_plane(edge: EdgeState, ground: Taken, practice: Practice) -> EdgeState:
    """An edge after `ground` [mm] went off the whole running surface.

    Notes
    -----
    Source: geometry, ``w - g / tan(b)`` at the limits of all three. A facet left in the worst
    case stands, none left in the best case is gone, and between the two it is uncertain.
    """
    bevel = edge.base_bevel.known_deg
    if bevel is None or not ground.possible or bevel.value < LEAST_BASE_BEVEL_DEG:
        return edge
    facet = facet_now(edge, practice)
    width, most_deg = facet.width_mm, min(bevel.high, MAX_BASE_BEVEL_DEG)
    left = Bounded.around(
        facet_after_grind_mm(width.low, bevel.low, ground.high_mm),
        facet_after_grind_mm(width.value, bevel.value, ground.usual_mm),
        facet_after_grind_mm(width.high, most_deg, ground.low_mm),
    )
    return replace(
        edge,
        base_bevel=replace(edge.base_bevel, standing=_standing(left)),
        facet_width_mm=left,
        facet_measured=not facet.assumed,
    )


def _standing(facet: Bounded) -> Standing:
    if facet.high == 0.0:
        return "ground_away"
    return "partly_ground_away" if facet.low > 0.0 else "uncertain"


def _shape_after(bench: Bench) -> CrossShape | None:
    shape, plane = bench.state.shape, bench.plane
    if shape is None or plane.need == "no":
        return shape
    hollow, crown = shape.hollow_mm, shape.crown_mm
    hollow = Bounded.around(
        max(0.0, hollow.low - plane.steel.low_mm),
        max(0.0, hollow.value - plane.steel.usual_mm),
        max(0.0, hollow.high - plane.steel.high_mm),
    )
    tolerance = bench.request.flatness_tolerance_mm
    if plane.steel.usual_mm > 0.0:
        return CrossShape(hollow, _NOTHING_LEFT)
    if tolerance is None:
        return CrossShape(hollow, crown)
    left = min(crown.value, tolerance)
    return CrossShape(hollow, Bounded(left, min(crown.low, left), min(crown.high, tolerance)))

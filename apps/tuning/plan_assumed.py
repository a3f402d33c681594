"""What the bench measured just now, laid over what the history says."""

from __future__ import annotations

from dataclasses import dataclass, replace

from apps.tuning.history import Edge
from apps.tuning.plan_amounts import Bounded
from apps.tuning.plan_request import Assumed, TuneRequest
from apps.tuning.plan_state import BenchState, BevelState, CrossShape, EdgeState
from apps.tuning.practice import Practice


@dataclass(frozen=True, slots=True)
class _Overlay:
    assumed: Assumed
    uncertainty_mm: float
    uncertainty_deg: float
    profile_uncertainty_mm: float

    def length(self, stated: float | None, known: Bounded | None) -> Bounded | None:
        return known if stated is None else Bounded.reading(stated, self.uncertainty_mm)

    def bevel(self, stated: float | None, known: BevelState) -> BevelState:
        if stated is None:
            return known
        return BevelState("stands", Bounded.reading(stated, self.uncertainty_deg))

    def edge(self, edge: Edge, known: EdgeState) -> EdgeState:
        stated = self.assumed.of(edge)
        return EdgeState(
            base_bevel=self.bevel(stated.base_bevel_deg, known.base_bevel),
            side_bevel=self.bevel(stated.side_bevel_deg, known.side_bevel),
            facet_width_mm=self.length(stated.facet_width_mm, known.facet_width_mm),
            facet_measured=known.facet_measured or stated.facet_width_mm is not None,
            edge_height_mm=self.length(stated.edge_height_mm, known.edge_height_mm),
            edge_width_mm=self.length(stated.edge_width_mm, known.edge_width_mm),
        )

    def shape(self, known: CrossShape | None) -> CrossShape | None:
        if self.assumed.concavity_mm is not None:
            return CrossShape.concave(self.assumed.concavity_mm, self.profile_uncertainty_mm)
        if self.assumed.convexity_mm is not None:
            return CrossShape.convex(self.assumed.convexity_mm, self.profile_uncertainty_mm)
        return known


def state_as_assumed(state: BenchState, request: TuneRequest, practice: Practice) -> BenchState:
    """The state with the request's own readings in place of the history's.

    Parameters
    ----------
    state : BenchState
        What the history says.
    request : TuneRequest
        Its `assumed` part is read.
    practice : Practice
        Stands in where the request states no uncertainty.

    Returns
    -------
    BenchState
        A bevel measured just now stands, whatever was ground since it was set.
    """
    assumed = request.assumed
    in_mm, in_deg = assumed.uncertainty_mm, assumed.uncertainty_deg
    overlay = _Overlay(
        assumed,
        practice.reading_uncertainty_mm if in_mm is None else in_mm,
        practice.bevel_uncertainty_deg if in_deg is None else in_deg,
        practice.profile_uncertainty_mm if in_mm is None else in_mm,
    )
    return replace(
        state,
        left=overlay.edge("left", state.left),
        right=overlay.edge("right", state.right),
        base_thickness_mm=overlay.length(assumed.base_thickness_mm, state.base_thickness_mm),
        shape=overlay.shape(state.shape),
    )

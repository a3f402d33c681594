"""From a ski's folded condition to the state that a plan starts from."""

from __future__ import annotations

from apps.tuning.condition import Condition
from apps.tuning.figures import Length
from apps.tuning.history import Edge, MaterialQuantity
from apps.tuning.plan_amounts import Bounded
from apps.tuning.plan_state import BenchState, BevelState, CrossShape, EdgeState
from apps.tuning.standing import BevelNow, EdgeBevels


def bench_state(condition: Condition, centre_groove_width_mm: float | None = None) -> BenchState:
    """What a plan needs of a ski's condition.

    Parameters
    ----------
    condition : Condition
        The history folded to now.
    centre_groove_width_mm : float or None
        Width of the centre groove as described [mm].

    Returns
    -------
    BenchState
        Of material read at several places the scarcest; of the profiles that still hold the
        deepest hollow and the highest crown, as one plane serves them all; of the bevels those
        of the whole edge.
    """
    left, right = (_edge_state(condition, bevels) for bevels in condition.bevels)
    return BenchState(
        left=left,
        right=right,
        base_thickness_mm=_scarcest(condition, "base_thickness", None),
        shape=_worst_shape(condition),
        findings=tuple(found.finding for found in condition.open_findings),
        centre_groove_width_mm=centre_groove_width_mm,
    )


def _edge_state(condition: Condition, bevels: EdgeBevels) -> EdgeState:
    base, side = bevels.base[0], bevels.side[0]
    return EdgeState(
        base_bevel=_bevel_state(base),
        side_bevel=_bevel_state(side),
        facet_width_mm=None if base.facet is None else _bounded(base.facet),
        facet_measured=base.facet is None or base.facet.basis != "practice",
        edge_height_mm=_scarcest(condition, "edge_height", bevels.edge),
        edge_width_mm=_scarcest(condition, "edge_width", bevels.edge),
    )


def _bevel_state(now: BevelNow) -> BevelState:
    stated = now.stated
    if stated is None:
        return BevelState(now.standing)
    bevel = Bounded.reading(stated.bevel_deg, stated.expanded_uncertainty_deg)
    return BevelState(now.standing, bevel)


def _bounded(length: Length) -> Bounded:
    return Bounded(length.value_mm, length.low_mm, length.high_mm)


def _scarcest(
    condition: Condition, quantity: MaterialQuantity, edge: Edge | None
) -> Bounded | None:
    found = [
        material.left
        for material in condition.material.known
        if material.quantity == quantity and (edge is None or material.edge == edge)
    ]
    if not found:
        return None
    return Bounded(
        min(left.value_mm for left in found),
        min(left.low_mm for left in found),
        min(left.high_mm for left in found),
    )


def _worst_shape(condition: Condition) -> CrossShape | None:
    holding = [now for now in condition.flatness if now.stale_since is None]
    hollows = [_depth(now.hollow) for now in holding if now.hollow is not None]
    crowns = [_depth(now.crown) for now in holding if now.crown is not None]
    if not hollows or not crowns:
        return None
    return CrossShape(_greatest(hollows), _greatest(crowns))


def _depth(length: Length) -> Bounded:
    # A depth has no side below nothing, though the limits of a reading may say so.
    return Bounded(max(0.0, length.value_mm), max(0.0, length.low_mm), max(0.0, length.high_mm))


def _greatest(depths: list[Bounded]) -> Bounded:
    # The deepest may be another one by its value than by either limit.
    return Bounded(
        max(depth.value for depth in depths),
        max(depth.low for depth in depths),
        max(depth.high for depth in depths),
    )

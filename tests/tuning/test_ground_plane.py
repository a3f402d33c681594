"""The one plane: flatness, closing and gouges share it, and a crown costs no steel.

Every expected number is worked by hand from the geometry of the right triangle under the facet,
``g = w (tan b1 - tan b2)``, on our own data; there is no published table for the whole.
"""

from dataclasses import replace
from math import radians, tan

import pytest

from apps.tuning.ground_plane import GroundPlane, ground_plane
from apps.tuning.history import FindingKey
from apps.tuning.plan_amounts import Bounded, Rates
from apps.tuning.plan_request import EdgeTarget, Targets, TuneRequest
from apps.tuning.plan_state import BenchState, BevelState, CrossShape
from apps.tuning.practice import Practice
from tests.tuning.plan_cases import EXACT_RATES, RECORD, edge, finding, ski

FLAT = TuneRequest(flatness_tolerance_mm=0.02)
CLOSE = TuneRequest(targets=Targets.both(base_bevel_deg=1.0))
FLAT_AND_CLOSE = TuneRequest(targets=Targets.both(base_bevel_deg=1.0), flatness_tolerance_mm=0.02)


def plane(state: BenchState, request: TuneRequest) -> GroundPlane:
    return ground_plane(state, request, EXACT_RATES)


def test_concave_base_costs_steel_beyond_the_tolerance() -> None:
    # Edges 0.10 high, 0.02 may stay: 0.08 off the steel, and off the base beside it.
    found = plane(ski(shape=CrossShape.concave(0.10)), FLAT)
    assert (found.need, found.governed_by) == ("yes", "flatness")
    assert found.steel.usual_mm == pytest.approx(0.08)
    assert found.base.usual_mm == pytest.approx(0.08)
    assert found.steel.basis == "geometry"


def test_convex_base_costs_base_and_no_steel() -> None:
    found = plane(ski(shape=CrossShape.convex(0.10)), FLAT)
    assert (found.need, found.governed_by) == ("yes", "flatness")
    assert found.steel.usual_mm == 0.0
    assert found.base.usual_mm == pytest.approx(0.08)


def test_flat_enough_asks_for_nothing() -> None:
    found = plane(ski(shape=CrossShape.concave(0.02)), FLAT)
    assert (found.need, found.governed_by) == ("no", "nothing")
    assert not found.steel.possible
    assert not found.base.possible


def test_closing_from_two_to_one_on_two_millimetres() -> None:
    # 2 (tan 2 - tan 1) = 0.034931 (derived, recomputed by hand).
    found = plane(ski(edge(2.0), edge(2.0)), CLOSE)
    assert found.steel.usual_mm == pytest.approx(0.034931, abs=1e-6)
    assert found.base.usual_mm == pytest.approx(0.034931, abs=1e-6)
    assert found.governed_by == "closing"


def test_the_edge_that_asks_for_more_rules_both() -> None:
    # Facet 6: 6 (tan 2 - tan 1) = 0.104794; the other edge needs 0.034931 of it.
    state = ski(edge(2.0), edge(2.0, facet_mm=6.0))
    found = plane(state, CLOSE)
    assert found.closing.left.taken.usual_mm == pytest.approx(0.034931, abs=1e-6)
    assert found.closing.right.taken.usual_mm == pytest.approx(0.104794, abs=1e-6)
    assert found.steel.usual_mm == pytest.approx(0.104794, abs=1e-6)


@pytest.mark.parametrize("concavity_mm", [0.03, 0.04, 0.15])
def test_concave_and_closing_share_the_larger(concavity_mm: float) -> None:
    state = ski(edge(2.0), edge(2.0), shape=CrossShape.concave(concavity_mm))
    closing = 2.0 * (tan(radians(2.0)) - tan(radians(1.0)))
    found = plane(state, FLAT_AND_CLOSE)
    assert found.steel.usual_mm == pytest.approx(max(concavity_mm - 0.02, closing))
    assert found.base.usual_mm == pytest.approx(found.steel.usual_mm)


def test_convex_and_closing_takes_the_crown_besides() -> None:
    # Steel 0.034931 by closing alone; the base loses the whole crown of 0.10 and that.
    state = ski(edge(2.0), edge(2.0), shape=CrossShape.convex(0.10))
    found = plane(state, FLAT_AND_CLOSE)
    assert found.steel.usual_mm == pytest.approx(0.034931, abs=1e-6)
    assert found.base.usual_mm == pytest.approx(0.134931, abs=1e-6)
    assert plane(state, CLOSE).base.usual_mm == pytest.approx(0.134931, abs=1e-6)


def test_opening_needs_no_plane() -> None:
    found = plane(ski(edge(0.5), edge(0.5)), CLOSE)
    assert found.need == "no"


def test_crown_beside_a_hollow_within_tolerance() -> None:
    # Hollow 0.01 and crown 0.05: the plane may leave 0.02 in all, so 0.04 goes off the crown.
    shape = CrossShape(Bounded.reading(0.01), Bounded.reading(0.05))
    found = plane(ski(shape=shape), FLAT)
    assert found.steel.usual_mm == 0.0
    assert found.base.usual_mm == pytest.approx(0.04)


def test_uncertain_hollow_gives_an_interval() -> None:
    found = plane(ski(shape=CrossShape.concave(0.10, 0.03)), FLAT)
    taken = found.steel
    assert (taken.low_mm, taken.usual_mm, taken.high_mm) == pytest.approx((0.05, 0.08, 0.11))


def test_within_tolerance_but_not_proved_takes_nothing() -> None:
    found = plane(ski(shape=CrossShape.concave(0.01, 0.03)), FLAT)
    assert found.need == "no"
    assert found.flatness is not None
    assert found.flatness.high_mm == pytest.approx(0.02)
    assert not found.steel.possible


def test_unknown_shape_stands_in_by_practice_only() -> None:
    state = replace(ski(edge(2.0), edge(2.0)), shape=None)
    found = ground_plane(state, FLAT_AND_CLOSE, Rates(Practice()))
    # The closing part is computed all the same: never less than 0.034931.
    assert not found.shape_known
    assert found.closing.left.taken.usual_mm == pytest.approx(0.034931, abs=1e-6)
    assert found.steel.low_mm == pytest.approx(0.034931, abs=1e-6)
    assert found.steel.basis == "practice"
    assert found.base.high_mm > found.steel.high_mm


def test_unknown_shape_alone_is_only_perhaps() -> None:
    found = ground_plane(replace(ski(), shape=None), FLAT, Rates(Practice()))
    assert found.need == "perhaps"
    assert found.steel.low_mm == 0.0


def test_unknown_shape_without_any_demand_takes_nothing() -> None:
    found = ground_plane(replace(ski(), shape=None), TuneRequest(), Rates(Practice()))
    assert found.need == "no"
    assert not found.base.possible


@pytest.mark.parametrize("standing", ["never_stated", "uncertain"])
def test_unknown_bevel_brackets_the_closing(standing: str) -> None:
    unknown = replace(edge(), base_bevel=BevelState(standing))  # type: ignore[arg-type]
    found = plane(ski(unknown, unknown), CLOSE)
    # Up to the steepest usual bevel, 1.5: 2 (tan 1.5 - tan 1) = 0.017462 on the facet of 2.
    taken = found.closing.left.taken
    assert (taken.low_mm, taken.usual_mm) == (0.0, 0.0)
    assert taken.high_mm == pytest.approx(2.0 * (tan(radians(1.5)) - tan(radians(1.0))))
    assert found.unsure_edges == ("left", "right")
    assert (found.need, found.governed_by) == ("perhaps", "closing")


def test_unknown_bevel_needs_no_closing_for_a_steep_target() -> None:
    unknown = replace(edge(), base_bevel=BevelState())
    found = plane(ski(unknown, unknown), TuneRequest(targets=Targets.both(base_bevel_deg=1.5)))
    assert found.need == "no"
    assert found.unsure_edges == ()


def test_uncertain_bevel_is_bracketed_by_what_was_stated() -> None:
    maybe = replace(edge(), base_bevel=BevelState("uncertain", Bounded.reading(2.0)))
    found = plane(ski(maybe, edge(1.0)), CLOSE)
    assert found.closing.left.taken.high_mm == pytest.approx(0.034931, abs=1e-6)
    assert found.unsure_edges == ("left",)


def test_ground_away_bevel_counts_as_flat() -> None:
    gone = replace(edge(), base_bevel=BevelState("ground_away", Bounded.reading(2.0)))
    found = plane(ski(gone, gone), TuneRequest(targets=Targets.both(base_bevel_deg=0.5)))
    assert found.need == "no"


def test_gouge_ground_out_of_a_concave_base() -> None:
    # At worst it lies at the bottom of the hollow: 0.10 + 0.05; at best beside the edge: 0.05.
    state = ski(shape=CrossShape.concave(0.10), findings=(finding("gouge", depth_mm=0.05),))
    found = plane(state, TuneRequest(grind_out=(FindingKey(RECORD, 0),)))
    assert found.governed_by == "grind_out"
    assert (found.steel.low_mm, found.steel.usual_mm) == pytest.approx((0.05, 0.15))


def test_gouge_ground_out_of_a_crown() -> None:
    # At best it lies on top of the crown and goes with it: no steel, 0.05 of base.
    state = ski(shape=CrossShape.convex(0.20), findings=(finding("gouge", depth_mm=0.05),))
    found = plane(state, TuneRequest(grind_out=(FindingKey(RECORD, 0),)))
    assert (found.steel.low_mm, found.steel.usual_mm) == pytest.approx((0.0, 0.05))
    assert (found.base.low_mm, found.base.usual_mm) == pytest.approx((0.05, 0.25))


def test_gouge_with_unknown_shape_and_unknown_depth() -> None:
    state = replace(
        ski(findings=(finding("gouge", 0, depth_mm=0.05), finding("scratch", 1))), shape=None
    )
    keys = (FindingKey(RECORD, 0), FindingKey(RECORD, 1))
    found = ground_plane(state, TuneRequest(grind_out=keys), Rates(Practice()))
    assert found.depth_missing == (FindingKey(RECORD, 1),)
    assert found.need == "yes"
    assert found.steel.low_mm == 0.0
    assert found.steel.usual_mm == pytest.approx(0.05)


def test_only_the_edge_with_a_target_closes() -> None:
    targets = Targets(left=EdgeTarget(base_bevel_deg=1.0))
    found = plane(ski(edge(2.0), edge(2.0)), TuneRequest(targets=targets))
    assert not found.closing.right.taken.possible
    assert found.steel.usual_mm == pytest.approx(0.034931, abs=1e-6)

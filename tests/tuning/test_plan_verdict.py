"""Feasible, not feasible, undecided: the three zones of ISO 14253-1:2017 on a shop's least.

Own numbers; the sums are worked by hand beside each check.
"""

from dataclasses import replace

import pytest

from apps.tuning.history import FindingKey
from apps.tuning.plan import plan_tune
from apps.tuning.plan_amounts import Bounded, Budget
from apps.tuning.plan_request import Assumed, AssumedEdge, EdgeTarget, Targets, TuneRequest
from apps.tuning.plan_state import BenchState, BevelState, CrossShape
from apps.tuning.plan_verdict import Verdict
from apps.tuning.practice import Amount, Practice, Removal
from tests.tuning.plan_cases import EXACT, RECORD, edge, finding, ski

FLATTEN = TuneRequest(flatness_tolerance_mm=0.0)


def verdict(state: BenchState, request: TuneRequest, practice: Practice = EXACT) -> Verdict:
    return plan_tune(state, request, practice).verdict


def high_edges(height_mm: float, uncertainty_mm: float, hollow_mm: float) -> BenchState:
    one = edge(height_mm=height_mm, uncertainty_mm=uncertainty_mm)
    return ski(one, one, shape=CrossShape.concave(hollow_mm))


# The least edge height is 0.8. 1.00 - 0.10 = 0.90 with 0.05 to either side lies above it; 0.85
# - 0.10 = 0.75 with 0.04 below; 0.92 - 0.10 = 0.82 with 0.05 reaches over it.
@pytest.mark.parametrize(
    ("height_mm", "uncertainty_mm", "outcome"),
    [
        (1.00, 0.05, "feasible"),
        (0.85, 0.04, "not_feasible"),
        (0.92, 0.05, "undecided"),
        (0.86, 0.05, "undecided"),
        (0.91, 0.00, "feasible"),
        (0.89, 0.00, "not_feasible"),
    ],
)
def test_least_of_edge_height(height_mm: float, uncertainty_mm: float, outcome: str) -> None:
    assert verdict(high_edges(height_mm, uncertainty_mm, 0.10), FLATTEN).outcome == outcome


def test_a_broken_least_is_named_with_its_edge() -> None:
    state = ski(edge(height_mm=0.85), edge(), shape=CrossShape.concave(0.10))
    found = verdict(state, FLATTEN)
    (reason,) = found.reasons
    assert reason.code == "below-least"
    assert reason.budget == Budget("edge_height", "left")
    assert reason.left_mm is not None
    assert reason.left_mm.value == pytest.approx(0.75)
    assert reason.least_mm == EXACT.least_edge_height_mm
    assert "left edge" in reason.message
    assert found.measure_first == ()


def test_edge_width_is_a_budget_of_its_own() -> None:
    # Less side bevel, 3 to 1 on 2 mm of height: 0.069905 of the width 1.05 leaves 0.980.
    state = ski(edge(side_deg=3.0, width_mm=1.05))
    found = verdict(state, TuneRequest(targets=Targets(EdgeTarget(None, 1.0))))
    assert found.outcome == "not_feasible"
    assert found.reasons[0].budget == Budget("edge_width", "left")


def test_the_base_is_a_budget_too() -> None:
    # A crown of 0.30 off a base of 0.85 leaves 0.55, and 0.6 is the least; no steel is lost.
    found = verdict(ski(base_mm=0.85, shape=CrossShape.convex(0.30)), FLATTEN)
    assert found.outcome == "not_feasible"
    assert [reason.budget for reason in found.reasons] == [Budget("base_thickness")]


def test_unknown_edge_height_is_never_filled_in() -> None:
    state = ski(replace(edge(), edge_height_mm=None), shape=CrossShape.concave(0.10))
    found = verdict(state, FLATTEN)
    assert found.outcome == "undecided"
    assert [(measure.what, measure.edge) for measure in found.measure_first] == [
        ("edge_height", "left")
    ]


def test_a_height_measured_just_now_decides() -> None:
    state = ski(replace(edge(), edge_height_mm=None), shape=CrossShape.concave(0.10))
    request = replace(FLATTEN, assumed=Assumed(left=AssumedEdge(edge_height_mm=1.5)))
    assert verdict(state, request).outcome == "feasible"


def test_unknown_height_that_is_not_touched_does_not_matter() -> None:
    unknown = replace(edge(), edge_height_mm=None)
    assert verdict(ski(unknown, unknown), TuneRequest(wax=True)).outcome == "feasible"


def test_unknown_height_leaves_the_side_undecided() -> None:
    unknown = replace(edge(side_deg=3.0), edge_height_mm=None)
    request = TuneRequest(targets=Targets(EdgeTarget(None, 1.0)))
    found = verdict(ski(unknown), request)
    assert found.outcome == "undecided"
    assert found.measure_first[0].what == "edge_height"


def test_unknown_shape_asks_for_a_true_bar_and_shows_the_rest() -> None:
    state = replace(ski(edge(2.0), edge(2.0)), shape=None)
    request = replace(FLATTEN, targets=Targets.both(base_bevel_deg=1.0))
    plan = plan_tune(state, request, Practice())
    assert plan.verdict.outcome == "undecided"
    assert [measure.what for measure in plan.verdict.measure_first] == ["base_gap_profile"]
    assert plan.spent.edge_height_mm.left.low_mm == pytest.approx(0.034931, abs=1e-6)
    assert "shape-not-known" in [warning.code for warning in plan.warnings]


def test_a_true_bar_laid_on_just_now_decides() -> None:
    request = replace(FLATTEN, assumed=Assumed(concavity_mm=0.10))
    found = plan_tune(replace(ski(), shape=None), request, EXACT)
    assert found.verdict.outcome == "feasible"
    assert found.spent.edge_height_mm.left.usual_mm == pytest.approx(0.10)
    convex = replace(FLATTEN, assumed=Assumed(convexity_mm=0.10, uncertainty_mm=0.02))
    found = plan_tune(replace(ski(), shape=None), convex, EXACT)
    assert not found.spent.edge_height_mm.left.possible
    assert found.spent.base_mm.high_mm == pytest.approx(0.12)


@pytest.mark.parametrize("standing", ["never_stated", "uncertain"])
def test_unknown_bevel_is_undecided_when_closing_may_be_needed(standing: str) -> None:
    unknown = replace(edge(), base_bevel=BevelState(standing))  # type: ignore[arg-type]
    plan = plan_tune(ski(unknown), TuneRequest(targets=Targets.both(base_bevel_deg=1.0)), EXACT)
    assert plan.verdict.outcome == "undecided"
    assert [(one.what, one.edge) for one in plan.verdict.measure_first] == [("base_bevel", "left")]
    assert "closing-not-known" in [warning.code for warning in plan.warnings]


def test_a_bevel_measured_just_now_decides() -> None:
    unknown = replace(edge(), base_bevel=BevelState())
    request = TuneRequest(
        targets=Targets.both(base_bevel_deg=1.0),
        assumed=Assumed(left=AssumedEdge(base_bevel_deg=0.5, facet_width_mm=2.0)),
    )
    assert verdict(ski(unknown), request).outcome == "feasible"


def test_a_ground_away_bevel_is_set_anew_without_doubt() -> None:
    gone = replace(edge(), base_bevel=BevelState("ground_away", Bounded.reading(1.0)))
    plan = plan_tune(ski(gone, gone), TuneRequest(targets=Targets.both(base_bevel_deg=1.0)), EXACT)
    assert plan.verdict.outcome == "feasible"
    assert plan.spent.edge_height_mm.left.usual_mm == pytest.approx(0.034910, abs=1e-6)


def test_unknown_depth_of_a_gouge_is_undecided() -> None:
    state = ski(findings=(finding("gouge"),))
    found = verdict(state, TuneRequest(grind_out=(FindingKey(RECORD, 0),)))
    assert [measure.what for measure in found.measure_first] == ["finding_depth"]


def test_unknown_base_is_said_and_does_not_hold_up() -> None:
    state = replace(ski(shape=CrossShape.concave(0.10)), base_thickness_mm=None)
    plan = plan_tune(state, FLATTEN, EXACT)
    assert plan.verdict.outcome == "feasible"
    assert plan.verdict.unchecked == (Budget("base_thickness"),)
    assert "material-unchecked" in [warning.code for warning in plan.warnings]


def already_below(state: BenchState, request: TuneRequest) -> list[str | None]:
    warnings = plan_tune(state, request, EXACT).warnings
    return [one.edge for one in warnings if one.code == "already-below-least"]


# 0.77 give or take 0.02 lies below the least of 0.8, and wax takes no steel.
def test_steel_already_below_the_least_does_not_stop_waxing_and_is_told_of() -> None:
    state = ski(edge(height_mm=0.77, uncertainty_mm=0.02))
    assert verdict(state, TuneRequest(wax=True)).outcome == "feasible"
    assert already_below(state, TuneRequest(wax=True)) == ["left"]
    assert verdict(state, TuneRequest(structure=True)).outcome == "not_feasible"
    assert already_below(state, TuneRequest(structure=True)) == []
    assert already_below(ski(), TuneRequest(wax=True)) == []


def test_steel_near_the_least_does_not_stop_waxing() -> None:
    state = ski(edge(height_mm=0.82, uncertainty_mm=0.05))
    assert verdict(state, TuneRequest(wax=True)).outcome == "feasible"


def test_what_to_sharpen_is_the_wider_of_reading_and_rate() -> None:
    wide = Amount(0.0, 0.02, 0.30)
    coarse = replace(EXACT, removals={"structure": Removal(edge_height=wide)})
    state = high_edges(1.0, 0.02, 0.0)
    found = verdict(state, TuneRequest(structure=True), coarse)
    assert found.outcome == "undecided"
    assert "after each pass" in found.measure_first[0].sentence
    reading = verdict(high_edges(0.84, 0.05, 0.0), TuneRequest(structure=True))
    assert "finer gauge" in reading.measure_first[0].sentence


def test_not_feasible_wins_over_what_is_unknown() -> None:
    state = replace(ski(edge(2.0, height_mm=0.82)), shape=None)
    request = replace(FLATTEN, targets=Targets(EdgeTarget(1.0)))
    # Closing alone, 0.034931 off 0.82, leaves less than 0.8 whatever the shape is.
    found = verdict(state, request)
    assert found.outcome == "not_feasible"


def test_the_cost_is_counted_in_usual_services() -> None:
    # A service of this shop takes 0.05 off the edge height; flattening takes 0.10 of it.
    practice = replace(
        EXACT, removals={"stone_grind": Removal(edge_height=Amount(0.04, 0.05, 0.06))}
    )
    plan = plan_tune(high_edges(2.0, 0.0, 0.10), FLATTEN, practice)
    costs = {cost.budget: cost for cost in plan.services}
    assert costs[Budget("edge_height", "left")].usual == pytest.approx(2.0)
    assert costs[Budget("edge_height", "left")].basis == "practice"
    assert Budget("edge_width", "left") not in costs

"""Cheaper tunes: which are offered, what each saves and what it gives up (own numbers)."""

from dataclasses import replace

import pytest

from apps.tuning.history import FindingKey
from apps.tuning.plan import Plan, plan_tune
from apps.tuning.plan_amounts import Bounded, Budget
from apps.tuning.plan_options import PlanOption
from apps.tuning.plan_request import EdgeTarget, Targets, TuneRequest
from apps.tuning.plan_state import BevelState, CrossShape
from apps.tuning.practice import Practice
from tests.tuning.plan_cases import EXACT, RECORD, edge, finding, ski

LEFT_HEIGHT = Budget("edge_height", "left")
GOUGE = FindingKey(RECORD, 0)


def option(plan: Plan, code: str) -> PlanOption:
    (found,) = [one for one in plan.options if one.code == code]
    return found


def codes(plan: Plan) -> list[str]:
    return [one.code for one in plan.options]


def saved(one: PlanOption, budget: Budget) -> float:
    return sum(saving.usual_mm for saving in one.saves if saving.budget == budget)


def operations(one: PlanOption) -> list[str]:
    return [step.operation for step in one.steps]


def test_keeping_the_base_bevel_saves_the_closing_grind() -> None:
    request = TuneRequest(targets=Targets.both(1.0, 3.0))
    plan = plan_tune(ski(edge(2.0), edge(2.0)), request, EXACT)
    kept = option(plan, "keep_base_bevel")
    assert saved(kept, LEFT_HEIGHT) == pytest.approx(0.034931, abs=1e-6)
    assert saved(kept, Budget("base_thickness")) == pytest.approx(0.034931, abs=1e-6)
    assert operations(kept) == ["clean", "side_bevel", "side_bevel", "deburr", "clean"]
    assert kept.gives_up == (
        "The base bevel of the left edge stays at 2 deg, not 1.",
        "The base bevel of the right edge stays at 2 deg, not 1.",
    )
    assert kept.after.left.base_bevel == plan.before.left.base_bevel


def test_keeping_the_bevel_under_a_grind_sets_it_again() -> None:
    request = TuneRequest(targets=Targets(EdgeTarget(1.0)), structure=True)
    plan = plan_tune(ski(edge(2.0)), request, EXACT)
    kept = option(plan, "keep_base_bevel")
    assert "set again" in kept.gives_up[0]
    assert "base_bevel" in operations(kept)


def test_keeping_an_unknown_bevel_says_that_it_is_unknown() -> None:
    unknown = replace(edge(), base_bevel=BevelState())
    plan = plan_tune(ski(unknown), TuneRequest(targets=Targets(EdgeTarget(1.0, 3.0))), EXACT)
    assert plan.verdict.outcome == "undecided"
    kept = option(plan, "keep_base_bevel")
    assert "unknown" in kept.gives_up[0]
    assert kept.verdict.outcome == "feasible"


def test_filling_a_gouge_saves_the_grind() -> None:
    state = ski(findings=(finding("gouge", depth_mm=0.20),), shape=CrossShape.concave(0.0))
    plan = plan_tune(state, TuneRequest(grind_out=(GOUGE,)), EXACT)
    filled = option(plan, "fill_gouges")
    assert saved(filled, LEFT_HEIGHT) == pytest.approx(0.20)
    assert "fill_gouge" in operations(filled)
    assert filled.after.findings == ()


def test_a_wider_tolerance_saves_the_difference() -> None:
    # 0.30 high edges: to 0.02 costs 0.28, to the shop's usual 0.10 costs 0.20.
    state = ski(shape=CrossShape.concave(0.30))
    plan = plan_tune(state, TuneRequest(flatness_tolerance_mm=0.02), EXACT)
    wider = option(plan, "wider_tolerance")
    assert saved(wider, LEFT_HEIGHT) == pytest.approx(0.08)
    assert wider.gives_up == ("The base is flat to 0.1 mm and not to 0.02.",)


def test_a_usual_tolerance_is_not_widened() -> None:
    state = ski(shape=CrossShape.concave(0.30))
    plan = plan_tune(state, TuneRequest(flatness_tolerance_mm=0.1), EXACT)
    assert "wider_tolerance" not in codes(plan)
    assert "spot_flatten" in codes(plan)


def test_leaving_the_structure_out() -> None:
    burnt = finding("base_burn")
    plan = plan_tune(ski(findings=(burnt,)), TuneRequest(repair=(burnt.key,)), EXACT)
    plain = option(plan, "no_structure")
    assert saved(plain, LEFT_HEIGHT) == pytest.approx(0.01)
    assert len(plain.gives_up) == 2
    assert plain.after.findings == (burnt,)


def test_only_the_bevels_gives_up_all_that_is_ground() -> None:
    railed, gouge = finding("railed"), finding("gouge", 1, depth_mm=0.05)
    state = ski(edge(2.0), edge(0.5), shape=CrossShape.concave(0.30), findings=(railed, gouge))
    request = TuneRequest(
        targets=Targets.both(1.0, 3.0),
        repair=(railed.key,),
        grind_out=(gouge.key,),
        structure=True,
    )
    only = option(plan_tune(state, request, EXACT), "bevels_only")
    assert operations(only) == [
        "clean",
        "side_bevel",
        "side_bevel",
        "base_bevel",
        "deburr",
        "clean",
    ]
    assert len(only.gives_up) == 4
    assert only.after.findings == (railed, gouge)


def test_only_the_bevels_of_a_spot_flattened_ski() -> None:
    request = TuneRequest(targets=Targets.both(1.0), spot_flatten=True)
    only = option(plan_tune(ski(), request, Practice()), "bevels_only")
    assert only.gives_up == ("The base stays out of flat as it is.",)


def test_nothing_is_offered_where_nothing_would_be_saved() -> None:
    # Flatness rules the plane: a kept bevel would save nothing.
    state = ski(edge(2.0), edge(2.0), shape=CrossShape.concave(0.30))
    request = TuneRequest(targets=Targets.both(1.0), flatness_tolerance_mm=0.1)
    plan = plan_tune(state, request, EXACT)
    assert "keep_base_bevel" not in codes(plan)


def test_one_and_the_same_tune_is_offered_once() -> None:
    request = TuneRequest(targets=Targets.both(None, 3.0), structure=True)
    plan = plan_tune(ski(), request, EXACT)
    assert codes(plan) == ["no_structure"]


def test_what_can_be_done_comes_before_what_can_not() -> None:
    # Closing breaks the least; without it the tune can be carried out.
    low = edge(2.0, height_mm=0.83)
    request = TuneRequest(targets=Targets.both(1.0, 3.0), structure=True)
    plan = plan_tune(ski(low, low), request, EXACT)
    assert plan.verdict.outcome == "not_feasible"
    outcomes = [one.verdict.outcome for one in plan.options]
    assert outcomes[0] == "feasible"
    assert outcomes == sorted(outcomes, key=["feasible", "undecided", "not_feasible"].index)


def test_among_equals_the_one_that_gives_up_less_comes_first() -> None:
    state = ski(shape=CrossShape.concave(0.30))
    request = TuneRequest(
        targets=Targets.both(None, 3.0), flatness_tolerance_mm=0.02, structure=True
    )
    plan = plan_tune(state, request, EXACT)
    # The spot saves 0.28, the wider tolerance 0.08 and the structure 0.01; only the bevels
    # saves most, and gives up two things.
    assert codes(plan) == ["spot_flatten", "wider_tolerance", "no_structure", "bevels_only"]


def test_an_option_that_saves_only_what_may_be_needed_says_so() -> None:
    maybe = replace(edge(), base_bevel=BevelState("uncertain", Bounded.reading(2.0)))
    plan = plan_tune(ski(maybe), TuneRequest(targets=Targets(EdgeTarget(1.0))), EXACT)
    kept = option(plan, "keep_base_bevel")
    (height,) = [saving for saving in kept.saves if saving.budget == LEFT_HEIGHT]
    assert height.usual_mm == 0.0
    assert height.high_mm > 0.03

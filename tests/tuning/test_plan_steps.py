"""The order of the trade, and what each step takes (own numbers, sums worked by hand)."""

from dataclasses import replace

import pytest

from apps.tuning.history import FindingKey, Place
from apps.tuning.plan import Plan, plan_tune
from apps.tuning.plan_request import EdgeTarget, Targets, TuneRequest
from apps.tuning.plan_state import BenchState, CrossShape
from apps.tuning.practice import Practice
from tests.tuning.plan_cases import EXACT, RECORD, edge, finding, ski


def operations(plan: Plan) -> list[str]:
    return [step.operation for step in plan.steps]


def repairing(*kinds: str, groove_mm: float | None = None) -> tuple[BenchState, TuneRequest]:
    findings = tuple(finding(kind, index) for index, kind in enumerate(kinds))
    state = ski(findings=findings, groove_mm=groove_mm)
    return state, TuneRequest(repair=tuple(found.key for found in findings))


def test_everything_at_once_comes_in_the_order_of_the_trade() -> None:
    state, request = repairing(
        "groove_filled",
        "gouge",
        "core_shot",
        "oxidised_base",
        "burr",
        "rust",
        "hardened_spot",
        "delamination",
        "missing_edge",
        "edge_pulled",
        "sidewall_damage",
        "railed",
        "base_burn",
    )
    state = replace(state, shape=CrossShape.concave(0.2))
    plan = plan_tune(state, replace(request, targets=Targets.both(1.0, 3.0)), Practice())
    assert operations(plan) == [
        "clean",
        "remove_rust",
        "repair_delamination",
        "refix_edge",
        "replace_edge",
        "remove_hardened_spot",
        "stone_grind",
        "open_gouge",
        "fill_gouge",
        "patch_base",
        "remove_excess",
        "recut_groove",
        "plane_sidewall",
        "side_bevel",
        "side_bevel",
        "base_bevel",
        "base_bevel",
        "deburr",
        "structure",
        "clean",
        "prepare_base",
        "wax",
        "scrape_wax",
        "brush",
    ]
    assert plan.after.findings == ()


def test_nothing_asked_is_nothing_done() -> None:
    plan = plan_tune(ski(), TuneRequest())
    assert plan.steps == ()
    assert plan.verdict.outcome == "feasible"
    assert plan.after == plan.before
    assert plan.options == ()


def test_waxing_alone_washes_only_once() -> None:
    plan = plan_tune(ski(), TuneRequest(wax=True))
    assert operations(plan) == ["clean", "prepare_base", "wax", "scrape_wax", "brush"]


def test_a_filled_gouge_on_a_grooved_base_recuts_the_groove() -> None:
    assert "recut_groove" in operations(plan_tune(*repairing("gouge", groove_mm=8.0)))
    assert "recut_groove" not in operations(plan_tune(*repairing("gouge")))


def test_a_core_shot_is_patched_and_not_filled() -> None:
    assert operations(plan_tune(*repairing("core_shot"))) == [
        "clean",
        "open_gouge",
        "patch_base",
        "remove_excess",
    ]


def test_what_no_step_mends_is_said_and_stays_open() -> None:
    plan = plan_tune(*repairing("topsheet_damage", "edge_compressed"))
    assert plan.steps == ()
    assert [warning.code for warning in plan.warnings] == ["finding-not-planned"] * 2
    assert len(plan.after.findings) == 2


def test_a_repair_works_the_edge_that_the_finding_names() -> None:
    spot = finding("hardened_spot", place=Place(edge="right"))
    plan = plan_tune(ski(findings=(spot,)), TuneRequest(repair=(spot.key,)), Practice())
    (step,) = [step for step in plan.steps if step.operation == "remove_hardened_spot"]
    assert step.edges == ("right",)
    assert not step.taken.edge_width_mm.left.possible
    assert step.taken.edge_width_mm.right.usual_mm == pytest.approx(0.005)
    assert step.taken.edge_width_mm.right.basis == "practice"


def test_a_shape_to_mend_is_flattened_to_the_tolerance_of_the_shop() -> None:
    state, request = repairing("railed")
    plan = plan_tune(replace(state, shape=CrossShape.concave(0.25)), request, EXACT)
    # 0.25 high edges, 0.10 may stay by the practice of the shop.
    assert plan.spent.edge_height_mm.left.usual_mm == pytest.approx(0.15)


def test_a_shape_to_mend_by_spot_flattening_needs_no_plane() -> None:
    state, request = repairing("base_high")
    state = replace(state, shape=CrossShape.convex(0.25))
    plan = plan_tune(state, replace(request, spot_flatten=True))
    assert operations(plan) == ["clean", "spot_flatten", "clean"]


def test_only_the_edges_with_targets_are_worked() -> None:
    targets = Targets(right=EdgeTarget(side_bevel_deg=3.0))
    plan = plan_tune(ski(), TuneRequest(targets=targets))
    assert operations(plan) == ["clean", "side_bevel", "deburr", "clean"]
    assert all(step.edges == ("right",) for step in plan.steps[1:3])


def test_opening_takes_the_corner_and_no_base() -> None:
    # 2 (tan 1 - tan 0.5) = 0.017456 off the corner.
    request = TuneRequest(targets=Targets.both(base_bevel_deg=1.0))
    plan = plan_tune(ski(edge(0.5), edge(0.5)), request, EXACT)
    assert plan.spent.edge_height_mm.left.usual_mm == pytest.approx(0.017456, abs=1e-6)
    assert plan.spent.edge_height_mm.left.basis == "geometry"
    assert not plan.spent.base_mm.possible


def test_closing_and_structure_add_up() -> None:
    # 0.034931 by the plane and 0.01 by the structure pass, off steel and base alike.
    request = TuneRequest(targets=Targets.both(base_bevel_deg=1.0), structure=True)
    plan = plan_tune(ski(edge(2.0), edge(2.0)), request, EXACT)
    assert plan.spent.edge_height_mm.right.usual_mm == pytest.approx(0.044931, abs=1e-6)
    assert plan.spent.base_mm.usual_mm == pytest.approx(0.044931, abs=1e-6)


def test_less_side_bevel_costs_edge_width_and_more_costs_none() -> None:
    less = plan_tune(
        ski(edge(side_deg=3.0), edge(side_deg=1.0)),
        TuneRequest(targets=Targets(EdgeTarget(None, 1.0), EdgeTarget(None, 3.0))),
        EXACT,
    )
    assert less.spent.edge_width_mm.left.usual_mm == pytest.approx(0.069905, abs=1e-6)
    assert not less.spent.edge_width_mm.right.possible
    tops = {
        step.edges: step.top_of_side_mm for step in less.steps if step.operation == "side_bevel"
    }
    assert tops[("right",)].right.usual_mm == pytest.approx(0.069905, abs=1e-6)
    assert not tops[("left",)].left.possible


def test_a_dressing_takes_what_the_stroke_takes() -> None:
    plan = plan_tune(ski(), TuneRequest(targets=Targets.both(1.0, 2.0)), Practice())
    assert plan.spent.edge_height_mm.left.usual_mm == pytest.approx(0.01)
    assert plan.spent.edge_width_mm.left.usual_mm == pytest.approx(0.03)
    assert plan.spent.edge_width_mm.left.basis == "practice"


def test_a_grind_that_may_not_be_needed_is_marked() -> None:
    request = TuneRequest(flatness_tolerance_mm=0.05)
    plan = plan_tune(replace(ski(), shape=None), request, Practice())
    (grind,) = [step for step in plan.steps if step.operation == "stone_grind"]
    assert grind.only_if_needed
    assert "measuring" in grind.why


def test_the_plane_is_made_with_what_the_request_names() -> None:
    request = TuneRequest(flatness_tolerance_mm=0.02, plane_operation="file_flat")
    plan = plan_tune(ski(shape=CrossShape.concave(0.1)), request, EXACT)
    assert "file_flat" in operations(plan)
    assert "stone_grind" not in operations(plan)


def test_cautions_are_named_once_and_the_iron_is_looked_at() -> None:
    request = TuneRequest(wax=True, structure=True, iron_temperature_c=160.0)
    found = [caution.code for caution in plan_tune(ski(), request).cautions]
    assert len(found) == len(set(found))
    assert {"no-gloves-at-wheel", "wax-fume", "iron-too-hot"} <= set(found)


def test_a_ground_out_gouge_is_closed_by_the_plan() -> None:
    gouge = finding("gouge", depth_mm=0.05)
    other = finding("rust", 1)
    plan = plan_tune(
        ski(findings=(gouge, other)), TuneRequest(grind_out=(FindingKey(RECORD, 0),)), EXACT
    )
    assert plan.after.findings == (other,)
    assert plan.spent.base_mm.usual_mm == pytest.approx(0.05)

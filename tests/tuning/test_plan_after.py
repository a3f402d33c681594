"""What a plan leaves: bevels, facets, shape and material (own numbers, worked by hand)."""

from dataclasses import replace

import pytest

from apps.tuning.history import Place
from apps.tuning.plan import plan_tune
from apps.tuning.plan_after import after_plane
from apps.tuning.plan_amounts import NOTHING_TAKEN, Bounded, Taken
from apps.tuning.plan_request import EdgeTarget, Targets, TuneRequest
from apps.tuning.plan_state import BevelState, CrossShape
from apps.tuning.practice import Practice
from tests.tuning.plan_cases import EXACT, edge, finding, ski, stands


def ground(low: float, usual: float, high: float) -> Taken:
    return Taken(low, usual, high, "geometry")


def test_a_grind_shortens_the_facet() -> None:
    # 2 - 0.02 / tan 1 = 0.854201 (derived).
    after = after_plane(edge(1.0), ground(0.02, 0.02, 0.02), EXACT)
    assert after.facet_width_mm is not None
    assert after.facet_width_mm.value == pytest.approx(0.854201, abs=1e-6)
    assert after.base_bevel.standing == "partly_ground_away"


def test_a_grind_as_deep_as_the_drop_takes_the_bevel_away() -> None:
    # The corner of 2 mm at 1 degree stands back by 0.034910.
    assert after_plane(edge(1.0), ground(0.035, 0.04, 0.05), EXACT).base_bevel.standing == (
        "ground_away"
    )


@pytest.mark.parametrize("usual_mm", [0.03, 0.04])
def test_a_grind_that_may_or_may_not_go_through_leaves_doubt(usual_mm: float) -> None:
    after = after_plane(edge(1.0), ground(0.03, usual_mm, 0.04), EXACT)
    assert after.base_bevel.standing == "uncertain"


def test_what_the_plane_does_not_touch_stays() -> None:
    flat, unknown = edge(0.0), replace(edge(), base_bevel=BevelState())
    assert after_plane(edge(), NOTHING_TAKEN, EXACT) == edge()
    assert after_plane(flat, ground(0.1, 0.1, 0.1), EXACT) == flat
    assert after_plane(unknown, ground(0.1, 0.1, 0.1), EXACT) == unknown


def test_a_facet_nobody_measured_stays_assumed() -> None:
    bare = replace(edge(1.0), facet_width_mm=None)
    after = after_plane(bare, ground(0.001, 0.001, 0.001), Practice())
    assert not after.facet_measured
    assert after.base_bevel.standing == "partly_ground_away"


def test_targets_stand_after_the_plan() -> None:
    request = TuneRequest(targets=Targets.both(0.5, 3.0))
    after = plan_tune(ski(), request, EXACT).after
    assert after.left.base_bevel == stands(0.5)
    assert after.right.side_bevel == stands(3.0)
    assert after.left.facet_width_mm == Bounded.reading(2.0)


def test_one_target_leaves_the_other_face_alone() -> None:
    targets = Targets(EdgeTarget(side_bevel_deg=3.0), EdgeTarget(base_bevel_deg=1.5))
    after = plan_tune(ski(), TuneRequest(targets=targets), EXACT).after
    assert (after.left.base_bevel, after.left.side_bevel) == (stands(1.0), stands(3.0))
    assert (after.right.base_bevel, after.right.side_bevel) == (stands(1.5), stands(2.0))


def test_a_bevel_set_is_as_sure_as_the_practice_of_the_shop() -> None:
    after = plan_tune(ski(), TuneRequest(targets=Targets.both(1.0)), Practice()).after
    assert after.left.base_bevel.bevel_deg == Bounded.reading(1.0, 0.25)


def test_flattening_without_a_target_warns_of_the_bevel() -> None:
    state = ski(shape=CrossShape.concave(0.10))
    plan = plan_tune(state, TuneRequest(flatness_tolerance_mm=0.0), EXACT)
    assert plan.after.left.base_bevel.standing == "ground_away"
    warned = [w.edge for w in plan.warnings if w.code == "base-bevel-to-set-anew"]
    assert warned == ["left", "right"]


def test_structure_after_the_bevel_takes_some_of_the_facet() -> None:
    # 0.01 at 1 degree: 0.01 / tan 1 = 0.572900 of the 2 mm.
    request = TuneRequest(targets=Targets.both(1.0), structure=True)
    plan = plan_tune(ski(), request, EXACT)
    width = plan.after.left.facet_width_mm
    assert width is not None
    assert width.value == pytest.approx(2.0 - 0.572900, abs=1e-6)
    assert [w.edge for w in plan.warnings if w.code == "structure-shortens-facet"] == [
        "left",
        "right",
    ]


def test_new_steel_has_bevels_nobody_knows() -> None:
    cracked = finding("edge_cracked", place=Place(edge="left"))
    after = plan_tune(ski(findings=(cracked,)), TuneRequest(repair=(cracked.key,)), EXACT).after
    assert after.left.base_bevel.standing == after.left.side_bevel.standing == "uncertain"
    assert (
        after.left.edge_height_mm is after.left.edge_width_mm is after.left.facet_width_mm is None
    )
    assert after.right == ski().right


def test_shape_after_flattening_is_within_the_tolerance() -> None:
    concave = ski(shape=CrossShape.concave(0.10, 0.02))
    after = plan_tune(concave, TuneRequest(flatness_tolerance_mm=0.03), EXACT).after
    assert after.shape is not None
    assert after.shape.hollow_mm.value == pytest.approx(0.03)
    convex = ski(shape=CrossShape.convex(0.10, 0.02))
    after = plan_tune(convex, TuneRequest(flatness_tolerance_mm=0.03), EXACT).after
    assert after.shape is not None
    assert after.shape.crown_mm.high == pytest.approx(0.03)


def test_closing_flattens_a_crown_and_lessens_a_hollow() -> None:
    request = TuneRequest(targets=Targets.both(base_bevel_deg=1.0))
    crowned = ski(edge(2.0), edge(2.0), shape=CrossShape.convex(0.10))
    after = plan_tune(crowned, request, EXACT).after
    assert after.shape == CrossShape.concave(0.0)
    hollow = ski(edge(2.0), edge(2.0), shape=CrossShape.concave(0.10))
    after = plan_tune(hollow, request, EXACT).after
    assert after.shape is not None
    assert after.shape.hollow_mm.value == pytest.approx(0.10 - 0.034931, abs=1e-6)


def test_a_plane_that_only_may_be_needed_leaves_the_crown() -> None:
    unknown = replace(edge(), base_bevel=BevelState())
    state = ski(unknown, unknown, shape=CrossShape.concave(0.0))
    plan = plan_tune(state, TuneRequest(targets=Targets.both(base_bevel_deg=1.0)), EXACT)
    assert plan.plane.need == "perhaps"
    assert plan.after.shape == CrossShape.concave(0.0)


def test_material_after_is_material_before_less_what_was_taken() -> None:
    state = ski(shape=CrossShape.concave(0.10))
    plan = plan_tune(state, TuneRequest(flatness_tolerance_mm=0.0, structure=True), EXACT)
    left = plan.after.left
    assert left.edge_height_mm is not None
    assert left.edge_height_mm.value == pytest.approx(2.0 - 0.10 - 0.01)
    assert left.edge_width_mm == edge().edge_width_mm
    assert plan.after.base_thickness_mm is not None
    assert plan.after.base_thickness_mm.value == pytest.approx(1.4 - 0.10 - 0.01)
    bare = replace(state, base_thickness_mm=None)
    assert plan_tune(bare, TuneRequest(structure=True), EXACT).after.base_thickness_mm is None


def test_flat_enough_but_not_proved_is_said() -> None:
    state = ski(shape=CrossShape.concave(0.04, 0.03))
    plan = plan_tune(state, TuneRequest(flatness_tolerance_mm=0.05), EXACT)
    assert "flatness-not-proved" in [warning.code for warning in plan.warnings]
    assert plan.steps == ()


def test_a_ground_base_is_to_be_waxed() -> None:
    request = TuneRequest(structure=True)
    codes = [warning.code for warning in plan_tune(ski(), request, EXACT).warnings]
    assert "ground-base-unwaxed" in codes
    codes = [w.code for w in plan_tune(ski(), replace(request, wax=True), EXACT).warnings]
    assert "ground-base-unwaxed" not in codes

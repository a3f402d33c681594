"""Laws that every plan holds, whatever the ski and the request."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from apps.tuning.history import EDGES, Finding
from apps.tuning.plan import Plan, plan_tune
from apps.tuning.plan_amounts import BUDGETS, Bounded
from apps.tuning.plan_options import PlanOption
from apps.tuning.plan_request import EdgeTarget, Targets, TuneRequest
from apps.tuning.plan_state import BenchState, BevelState, CrossShape, EdgeState
from apps.tuning.practice import Practice
from apps.tuning.standing import Standing
from tests.tuning.plan_cases import finding

PRACTICE = Practice()
KINDS = ("gouge", "core_shot", "scratch", "rust", "railed", "hardened_spot", "burr", "base_burn")

# The trade's order, written down here on its own so that the plan is held to it.
STAGES = (
    ("remove_rust",),
    ("stone_grind", "belt_grind", "file_flat", "spot_flatten"),
    ("open_gouge", "fill_gouge", "patch_base"),
    ("remove_excess",),
    ("recut_groove",),
    ("side_bevel",),
    ("base_bevel",),
    ("deburr",),
    ("structure",),
    ("prepare_base",),
    ("wax",),
    ("scrape_wax",),
    ("brush",),
)
STAGE_OF = {operation: rank for rank, stage in enumerate(STAGES) for operation in stage}


def bounded(most: float) -> st.SearchStrategy[Bounded]:
    return st.builds(
        Bounded.reading, st.floats(0.0, most).map(lambda x: round(x, 3)), st.floats(0.0, 0.1)
    )


standings: st.SearchStrategy[Standing] = st.sampled_from(
    ["stands", "partly_ground_away", "ground_away", "uncertain", "never_stated"]
)
edges = st.builds(
    EdgeState,
    base_bevel=st.builds(BevelState, standings, st.none() | bounded(3.0)),
    side_bevel=st.builds(BevelState, standings, st.none() | bounded(5.0)),
    facet_width_mm=st.none() | bounded(6.0),
    facet_measured=st.booleans(),
    edge_height_mm=st.none() | bounded(2.2),
    edge_width_mm=st.none() | bounded(2.2),
)
shapes = st.builds(CrossShape.concave, st.floats(0.0, 0.4), st.floats(0.0, 0.05)) | st.builds(
    CrossShape.convex, st.floats(0.0, 0.4), st.floats(0.0, 0.05)
)
depths = st.none() | st.floats(0.0, 0.5)


@st.composite
def findings(draw: st.DrawFn) -> tuple[Finding, ...]:
    kinds = draw(st.lists(st.sampled_from(KINDS), max_size=3))
    return tuple(finding(kind, i, depth_mm=draw(depths)) for i, kind in enumerate(kinds))


states = st.builds(
    BenchState,
    left=edges,
    right=edges,
    base_thickness_mm=st.none() | bounded(1.8),
    shape=st.none() | shapes,
    findings=findings(),
    centre_groove_width_mm=st.sampled_from([None, 8.0]),
)
targets = st.builds(
    EdgeTarget, st.sampled_from([None, 0.0, 0.5, 1.0, 2.0]), st.sampled_from([None, 1.0, 2.0, 3.0])
)


@st.composite
def asked(draw: st.DrawFn) -> tuple[BenchState, TuneRequest]:
    state = draw(states)
    out = [
        one for one in state.findings if one.what in ("gouge", "scratch") and draw(st.booleans())
    ]
    request = TuneRequest(
        targets=draw(st.builds(Targets, targets, targets)),
        flatness_tolerance_mm=draw(st.sampled_from([None, 0.0, 0.03, 0.1])),
        structure=draw(st.booleans()),
        repair=tuple(one.key for one in state.findings if one not in out),
        grind_out=tuple(one.key for one in out),
        wax=draw(st.booleans()),
        plane_operation=draw(st.sampled_from(["stone_grind", "belt_grind", "file_flat"])),
    )
    return state, request


LAW = settings(max_examples=60, deadline=None)


@LAW
@given(asked())
def test_an_option_never_costs_more(case: tuple[BenchState, TuneRequest]) -> None:
    plan = plan_tune(*case)
    for option in plan.options:
        for budget in BUDGETS:
            assert option.spent.of(budget).usual_mm <= plan.spent.of(budget).usual_mm + 1e-6
            assert option.spent.of(budget).high_mm <= plan.spent.of(budget).high_mm + 1e-6
        assert any(
            option.spent.of(budget).high_mm < plan.spent.of(budget).high_mm for budget in BUDGETS
        )


@LAW
@given(asked())
def test_the_order_of_the_trade_always_holds(case: tuple[BenchState, TuneRequest]) -> None:
    plan = plan_tune(*case)
    for steps in (plan.steps, *(option.steps for option in plan.options)):
        ranks = [STAGE_OF[step.operation] for step in steps if step.operation in STAGE_OF]
        assert ranks == sorted(ranks)
        assert not steps or steps[0].operation == "clean"


@LAW
@given(asked())
def test_an_accepted_plan_leaves_the_least(case: tuple[BenchState, TuneRequest]) -> None:
    plan = plan_tune(*case)
    tunes: list[Plan | PlanOption] = [plan, *plan.options]
    for one in tunes:
        if one.verdict.outcome != "feasible":
            continue
        for budget in BUDGETS:
            left, least = one.after.left_mm(budget), PRACTICE.least_mm(budget.quantity)
            if not one.spent.of(budget).possible:
                # What was too scarce before is told of, and this plan doesn't make it scarcer.
                before = plan.before.left_mm(budget)
                assert (left is None) == (before is None)
                assert left is None or before is None or left.value == before.value
            elif left is None:
                assert budget in one.verdict.unchecked
            else:
                assert left.low >= least


@LAW
@given(asked(), st.floats(0.0, 1.0))
def test_more_reserve_never_forbids(case: tuple[BenchState, TuneRequest], more_mm: float) -> None:
    state, request = case

    def richer(edge: EdgeState) -> EdgeState:
        width = edge.edge_width_mm
        if width is None:
            return edge
        return replace(
            edge,
            edge_width_mm=Bounded(width.value + more_mm, width.low + more_mm, width.high + more_mm),
        )

    before = plan_tune(state, request).verdict.outcome
    with_more = replace(state, left=richer(state.left), right=richer(state.right))
    after = plan_tune(with_more, request).verdict.outcome
    ranks = {"not_feasible": 0, "undecided": 1, "feasible": 2}
    assert ranks[after] >= ranks[before]


@LAW
@given(asked(), st.floats(0.0, 1.0))
def test_more_height_never_forbids(case: tuple[BenchState, TuneRequest], more_mm: float) -> None:
    # A taller side face costs more width where its bevel is lessened, so no side is touched here.
    state, request = case
    bases = [EdgeTarget(request.targets.of(edge).base_bevel_deg) for edge in EDGES]
    request = replace(request, targets=Targets(*bases))

    def taller(edge: EdgeState) -> EdgeState:
        height = edge.edge_height_mm
        if height is None:
            return edge
        more = Bounded(height.value + more_mm, height.low + more_mm, height.high + more_mm)
        return replace(edge, edge_height_mm=more)

    before = plan_tune(state, request).verdict.outcome
    with_more = replace(state, left=taller(state.left), right=taller(state.right))
    after = plan_tune(with_more, request).verdict.outcome
    ranks = {"not_feasible": 0, "undecided": 1, "feasible": 2}
    assert ranks[after] >= ranks[before]


@LAW
@given(asked(), st.floats(0.0, 0.4), st.floats(0.0, 0.4), st.floats(0.0, 0.05))
def test_a_deeper_hollow_never_takes_less(
    case: tuple[BenchState, TuneRequest], first_mm: float, second_mm: float, uncertainty_mm: float
) -> None:
    state, request = case
    lesser, greater = (
        plan_tune(replace(state, shape=CrossShape.concave(hollow, uncertainty_mm)), request).spent
        for hollow in sorted((first_mm, second_mm))
    )
    for budget in BUDGETS:
        assert lesser.of(budget).usual_mm <= greater.of(budget).usual_mm + 1e-12
        assert lesser.of(budget).high_mm <= greater.of(budget).high_mm + 1e-12


@LAW
@given(asked())
def test_the_same_request_gets_the_same_answer(case: tuple[BenchState, TuneRequest]) -> None:
    assert plan_tune(*case) == plan_tune(*case)


@LAW
@given(asked())
def test_material_never_grows(case: tuple[BenchState, TuneRequest]) -> None:
    plan = plan_tune(*case)
    for budget in BUDGETS:
        before, after = plan.before.left_mm(budget), plan.after.left_mm(budget)
        if before is None or after is None:
            assert before is after
        else:
            assert after.value <= before.value


@LAW
@given(asked())
def test_purposes_of_one_plane_are_never_added_up(case: tuple[BenchState, TuneRequest]) -> None:
    plane = plan_tune(*case).plane
    parts = [plane.closing.of(edge).taken for edge in EDGES]
    parts += [plane.grind_out] if plane.flatness is None else [plane.grind_out, plane.flatness]
    if plane.need != "no":
        assert plane.steel.usual_mm == max(part.usual_mm for part in parts)
        assert plane.steel.high_mm == max(part.high_mm for part in parts)

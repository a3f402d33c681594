"""The tune that brings two skis together for the least steel, held against trying everything."""

from dataclasses import replace
from itertools import product

import pytest

from apps.tuning.history import EDGES, Edge
from apps.tuning.pairs import pair_now
from apps.tuning.pairs_compare import PairedSki, compare_pair
from apps.tuning.pairs_tune import PairTune, tune_pair
from apps.tuning.plan import plan_tune
from apps.tuning.plan_amounts import BUDGETS
from apps.tuning.plan_from_condition import bench_state
from apps.tuning.plan_request import NO_TARGETS, EdgeTarget, Targets, TuneRequest
from apps.tuning.practice import Practice
from tests.tuning.pair_cases import PRACTICE, bevels, both, ski, steel
from tests.tuning.visits import side

MISSING = EdgeTarget()


def tuned(first: PairedSki, second: PairedSki, practice: Practice = PRACTICE) -> PairTune:
    found = tune_pair(first, second, compare_pair(first, second, practice), practice)
    assert found is not None
    return found


# Geometry: opening takes a wedge off one corner, closing the whole base; so the wider bevel wins.
def test_a_base_bevel_is_opened_rather_than_closed() -> None:
    first = ski("A", bevels=both(0.5, 2.0), readings=steel())
    second = ski("B", bevels=both(1.5, 2.0), readings=steel())
    found = tuned(first, second)
    assert found.targets == Targets.both(base_bevel_deg=1.5)
    assert found.first.targets == Targets.both(base_bevel_deg=1.5)
    assert (found.second.targets, found.second.operations) == (NO_TARGETS, ())
    assert "base_bevel" in found.first.operations
    assert "stone_grind" not in found.first.operations
    assert found.cost.base_usual_mm == 0.0
    # Derived: w (tan 1.5 - tan 0.5) = 0.0349 mm off either edge of the one ski.
    assert found.cost.steel_usual_mm == pytest.approx(2 * 0.034919, abs=1e-5)
    assert found.sentence.startswith("A base bevel of 1.5 deg on the left edges with")
    assert found.sentence.endswith("Both skis have enough left for it.")


# The usual bevel of the shop is tried too, and lies between: closing one and opening the other.
def test_all_that_was_tried_is_told_best_first() -> None:
    first = ski("A", bevels=both(0.5, 2.0), readings=steel())
    found = tuned(first, ski("B", bevels=both(1.5, 2.0), readings=steel()))
    assert len(found.considered) == 9
    costs = [one.cost.steel_usual_mm for one in found.considered]
    assert costs == sorted(costs)
    tried = {one.targets.left.base_bevel_deg for one in found.considered}
    assert tried == {0.5, 1.5, PRACTICE.usual_base_bevel_deg}


def test_a_side_is_changed_on_its_edge_alone() -> None:
    first = ski("A", bevels=both(1.0, 2.0), readings=steel())
    second = ski(
        "B", bevels=(*bevels(1.0, 4.0, "left"), *bevels(1.0, 2.0, "right")), readings=steel()
    )
    found = tuned(first, second)
    # Derived: 4 to 2 deg moves the corner in by 1.7 (tan 4 - tan 2) = 0.0595 mm, 2 to 4 by nothing.
    assert found.targets == Targets(EdgeTarget(side_bevel_deg=4.0), MISSING)
    assert [one.targets.right for one in found.considered] == [MISSING] * 2
    assert "a side bevel of 2 deg on the left edges is next" in found.sentence


def test_only_what_is_apart_is_touched() -> None:
    known = ski("A", bevels=(side(2.0), side(2.0, edge="right")), readings=steel())
    unknown = ski("B", bevels=(side(3.5),), readings=steel())
    found = tuned(known, unknown)
    assert found.targets.right == MISSING
    assert found.targets.left.base_bevel_deg is None
    assert pair_now(known, known, PRACTICE).tune is None


def cost_of(one: PairedSki, targets: Targets) -> float:
    """The plain way: everything that isn't there already is asked for, in one plan."""
    state = bench_state(one.condition)

    def needed(edge: Edge) -> EdgeTarget:
        now, wanted = state.edge(edge), targets.of(edge)
        base, side = now.base_bevel.known_deg, now.side_bevel.known_deg
        assert base is not None
        assert side is not None
        return EdgeTarget(
            None if base.value == wanted.base_bevel_deg else wanted.base_bevel_deg,
            None if side.value == wanted.side_bevel_deg else wanted.side_bevel_deg,
        )

    def spent(asked: Targets) -> float:
        plan = plan_tune(state, TuneRequest(targets=asked), PRACTICE)
        lost = [
            edge
            for edge in EDGES
            if asked.of(edge).base_bevel_deg is None
            and plan.after.edge(edge).base_bevel.standing == "ground_away"
        ]
        if lost:
            again = {
                edge: replace(asked.of(edge), base_bevel_deg=targets.of(edge).base_bevel_deg)
                for edge in lost
            }
            return spent(replace(asked, **again))
        return sum(plan.spent.of(budget).usual_mm for budget in BUDGETS if budget.edge)

    return spent(Targets(needed("left"), needed("right")))


# Reference: all 81 combinations of the bevels of both skis and the usual ones, by plain plans.
@pytest.mark.parametrize(
    ("first", "second"),
    [
        (((0.5, 1.0), (0.5, 1.0)), ((1.5, 3.0), (2.0, 3.0))),
        (((1.5, 1.0), (0.5, 3.0)), ((0.5, 3.0), (1.5, 1.0))),
        (((0.3, 1.0), (1.2, 2.0)), ((1.0, 2.0), (0.3, 3.5))),
        (((2.0, 3.0), (2.0, 1.0)), ((1.0, 1.0), (1.0, 3.0))),
    ],
)
def test_no_other_combination_takes_less(
    first: tuple[tuple[float, float], ...], second: tuple[tuple[float, float], ...]
) -> None:
    skis = [
        ski(
            name,
            bevels=tuple(
                one for edge, deg in zip(EDGES, degs, strict=True) for one in bevels(*deg, edge)
            ),
            readings=steel(1.7, 2.0),
        )
        for name, degs in (("A", first), ("B", second))
    ]
    found = tuned(skis[0], skis[1])
    usual = (PRACTICE.usual_base_bevel_deg, PRACTICE.usual_side_bevel_deg)
    choices = [
        {pair[side] for pair in (first[edge], second[edge], usual)}
        for edge in (0, 1)
        for side in (0, 1)
    ]
    least = min(
        sum(cost_of(one, Targets(EdgeTarget(*four[:2]), EdgeTarget(*four[2:]))) for one in skis)
        for four in product(*choices)
    )
    assert found.cost.steel_usual_mm == pytest.approx(least)


# Own data: the left bases are apart and only closing by the grind that the shop's usual needs
# would do; the right ones are together, and what the grind takes off them is set anew.
def test_a_grind_for_one_edge_sets_the_other_anew() -> None:
    degs = (*bevels(2.0, 2.0, "left"), *bevels(0.5, 2.0, "right"))
    other = (*bevels(0.5, 2.0, "left"), *bevels(0.5, 2.0, "right"))
    found = tuned(ski("A", bevels=degs, readings=steel()), ski("B", bevels=other, readings=steel()))
    closing = next(one for one in found.considered if one.targets.left.base_bevel_deg == 0.5)
    opening = found.considered[0]
    assert opening.targets.left.base_bevel_deg == 2.0
    # Derived: a plane of w (tan 2 - tan 0.5) = 0.0524 off both edges, then both facets anew.
    assert closing.cost.steel_usual_mm > 2 * 0.0523
    practice = Practice(least_edge_height_mm=1.69)
    forced = tuned(
        ski("A", bevels=degs, readings=steel(1.9), practice=practice),
        ski("B", bevels=other, readings=steel(1.69), practice=practice),
        practice,
    )
    assert forced.targets.left.base_bevel_deg == 0.5
    assert forced.first.targets == Targets(EdgeTarget(0.5), EdgeTarget(0.5))
    assert "stone_grind" in forced.first.operations
    assert forced.second.operations == ()


def test_what_can_not_be_done_says_so() -> None:
    worn = ski("A", bevels=both(1.0, 2.0), readings=steel(0.7, 0.9))
    other = ski("B", bevels=both(1.0, 4.0), readings=steel(0.7, 0.9))
    found = tuned(worn, other)
    assert {one.outcome for one in found.considered} == {"not_feasible"}
    assert "It can't be carried out: B would fall below the shop's least." in found.sentence


def test_what_nobody_measured_is_to_be_measured_first() -> None:
    found = tuned(ski("A", bevels=both(1.0, 2.0)), ski("B", bevels=both(1.0, 3.5)))
    assert {one.outcome for one in found.considered} == {"undecided"}
    assert "Whether enough is left on B has to be measured first." in found.sentence


def test_a_ski_whose_steel_nobody_knows_is_left_alone_if_the_other_can_come_to_it() -> None:
    known = ski("B", bevels=both(1.0, 3.5), readings=steel())
    found = tuned(ski("A", bevels=both(1.0, 2.0)), known)
    assert (found.first.operations, found.second.verdict.outcome) == ((), "feasible")


def test_the_usual_bevel_is_tried_once() -> None:
    usual = both(PRACTICE.usual_base_bevel_deg, PRACTICE.usual_side_bevel_deg)
    found = tuned(
        ski("A", bevels=usual, readings=steel()), ski("B", bevels=both(1.0, 3.0), readings=steel())
    )
    assert len(found.considered) == 4
    assert found.method

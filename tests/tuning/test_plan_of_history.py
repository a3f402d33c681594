"""From records to a plan: a history folded, then a tune asked for (own numbers)."""

from datetime import date
from math import radians, tan

import pytest

from apps.tuning.condition import fold
from apps.tuning.history import (
    EDGES,
    BaseProfile,
    BevelStatement,
    Finding,
    FindingKey,
    Place,
    Reading,
    Step,
    Visit,
)
from apps.tuning.plan import Plan, plan_tune
from apps.tuning.plan_from_condition import bench_state
from apps.tuning.plan_request import Targets, TuneRequest
from apps.tuning.practice import Practice
from tests.tuning.plan_cases import finding

PRACTICE = Practice()
TODAY = date(2025, 3, 1)

SET = Visit(
    record="1" * 64,
    kind="job",
    author="bench@example.invalid",
    day=date(2024, 12, 1),
    bevels=tuple(
        BevelStatement(edge, "set", base_bevel_deg=1.0, side_bevel_deg=2.0, facet_width_mm=2.0)
        for edge in EDGES
    ),
)
GROUND = Visit(
    record="2" * 64,
    kind="job",
    author="bench@example.invalid",
    day=date(2025, 1, 1),
    steps=(Step("stone_grind", base_removed_mm=0.1, edge_height_removed_mm=0.1),),
)
# Edges 0.20 high over a base 60 mm wide.
RAILED = BaseProfile(x_mm=(0.0, 15.0, 30.0, 45.0, 60.0), gap_um=(0.0, 150.0, 200.0, 150.0, 0.0))
GOUGE: Finding = finding("gouge", 0, depth_mm=0.4)
MEASURED = Visit(
    record=GOUGE.key.record,
    kind="job",
    author="bench@example.invalid",
    day=date(2025, 2, 1),
    findings=(GOUGE,),
    profiles=(RAILED,),
    readings=tuple(
        Reading("edge_height", 1.6, place=Place(edge=edge), uncertainty_mm=0.05) for edge in EDGES
    ),
)


def plan_for(history: tuple[Visit, ...], request: TuneRequest) -> Plan:
    condition = fold(history, practice=PRACTICE, today=TODAY)
    return plan_tune(bench_state(condition), request, PRACTICE)


def test_a_bevel_ground_away_is_set_anew_without_a_closing_grind() -> None:
    # 0.1 mm went off and the corner of 2 mm at 1 degree stood back by 0.035 only.
    plan = plan_for((SET, GROUND, MEASURED), TuneRequest(targets=Targets.both(base_bevel_deg=0.5)))
    assert plan.before.left.base_bevel.standing == "ground_away"
    assert plan.plane.need == "no"
    assert plan.verdict.outcome == "feasible"


def test_a_bevel_that_stands_is_closed_by_a_grind() -> None:
    plan = plan_for((SET, MEASURED), TuneRequest(targets=Targets.both(base_bevel_deg=0.5)))
    # 2 (tan 1 - tan 0.5).
    closing = 2.0 * (tan(radians(1.0)) - tan(radians(0.5)))
    assert plan.plane.steel.usual_mm == pytest.approx(closing)
    assert plan.options[0].code == "keep_base_bevel"


def test_a_railed_base_and_a_gouge() -> None:
    request = TuneRequest(
        targets=Targets.both(1.0, 2.0),
        flatness_tolerance_mm=0.05,
        grind_out=(FindingKey(GOUGE.key.record, 0),),
    )
    plan = plan_for((SET, MEASURED), request)
    # At worst the gouge of 0.40 lies at the bottom of the hollow of 0.20.
    assert plan.plane.steel.usual_mm == pytest.approx(0.60)
    assert plan.options[0].code == "fill_gouges"
    # Filled, only flatness is left to serve: 0.20 less the tolerance.
    filled = plan.options[0].spent.edge_height_mm.left.usual_mm
    assert filled == pytest.approx(0.15 + 0.01)


def test_a_ski_without_a_past_says_what_to_measure() -> None:
    plan = plan_for((), TuneRequest(targets=Targets.both(1.0, 2.0), flatness_tolerance_mm=0.05))
    assert plan.verdict.outcome == "undecided"
    assert {measure.what for measure in plan.verdict.measure_first} == {
        "edge_height",
        "edge_width",
        "base_bevel",
        "base_gap_profile",
    }

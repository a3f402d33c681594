"""Examples of computed answers, computed: of one visit, and of a tune of one edge."""

from __future__ import annotations

import json
from dataclasses import fields
from datetime import date
from typing import Any

from apps.api.answers.base import AnswerModel
from apps.api.answers.condition import ConditionAnswer
from apps.api.answers.plan import PlanAnswer
from apps.api.joined import alone
from apps.api.radii import COMPARABLE
from apps.records.examples import RECORD, SKI
from apps.records.place import SkiTag
from apps.tuning.condition import Condition, fold
from apps.tuning.history import (
    BaseProfile,
    BevelStatement,
    Finding,
    FindingKey,
    Place,
    Reading,
    Step,
    Target,
    TextureTrace,
    Visit,
)
from apps.tuning.plan import plan_tune
from apps.tuning.plan_from_condition import bench_state
from apps.tuning.plan_request import EdgeTarget, Targets, TuneRequest
from apps.tuning.practice import Practice

DAY = date(2025, 1, 31)
TODAY = date(2025, 2, 14)
VISIT = Visit(
    record=RECORD,
    kind="job",
    author=SKI["shop"],
    day=DAY,
    findings=(Finding(FindingKey(RECORD, 0), "gouge", "moderate", open=True, depth_mm=0.3),),
    steps=(Step("side_bevel"),),
    readings=(
        Reading("edge_height", 1.785, Place(edge="left"), 0.02, moment="after"),
        Reading("edge_width", 2.0, Place(edge="left"), 0.05, moment="after"),
    ),
    profiles=(
        BaseProfile(
            (0.0, 12.0, 28.0, 40.0, 56.0, 68.0), (0.0, 20.0, 40.0, 40.0, 20.0, 0.0), moment="after"
        ),
    ),
    traces=(TextureTrace(10.0, (0.0, 4.0, 6.0, 4.0, 0.0, -4.0, -6.0, -4.0) * 10, moment="after"),),
    bevels=(
        BevelStatement("left", "set", base_bevel_deg=0.5, side_bevel_deg=2.0),
        BevelStatement("left", "measured", base_bevel_deg=0.6, uncertainty_deg=0.2, moment="after"),
    ),
    target=Target(base_bevel_deg=0.5),
)
SHAPE = {
    "waist": {
        "value_mm": "68.0",
        "expanded_uncertainty_mm": "0.6",
        "source": "described",
        "record": RECORD,
    },
    "radii": [
        {
            "radius_m": "14.5",
            "low_m": "14.5",
            "high_m": "14.6",
            "method": "declared",
            "rests_on": [RECORD],
        }
    ],
    "unknown": [
        {
            "method": "chord",
            "sentence": "Nobody stated or measured chord; the chord formula needs shovel, waist, "
            "tail, chord.",
        }
    ],
    "declared": {
        "declared_m": "14.5",
        "half_step_m": "0.05",
        "comparisons": [],
        "comparable_with": COMPARABLE,
        "sentence": "The declared 14.5 m can't be checked: no widths give a radius.",
        "rests_on": [RECORD],
    },
}
ASKED = TuneRequest(targets=Targets(left=EdgeTarget(side_bevel_deg=3.0)))


def _condition() -> Condition:
    return fold([VISIT], practice=Practice(), today=TODAY)


def condition_example() -> Any:
    """Give the example of a condition."""
    return _shown(ConditionAnswer, _condition(), shape=SHAPE)


def plan_example() -> Any:
    """Give the example of a plan."""
    return _shown(PlanAnswer, plan_tune(bench_state(_condition()), ASKED, Practice()), as_of=TODAY)


def _shown(model: type[AnswerModel], computed: Any, **more: object) -> Any:
    members = {field.name: getattr(computed, field.name) for field in fields(computed)}
    joined = alone(SkiTag.model_validate(SKI))
    answer = model.model_validate({**members, "ski": SKI, "joined": joined, **more})
    return json.loads(answer.model_dump_json(exclude_none=True))

"""What a plan brings into the form of the job; what it reckons is left out, since it isn't read."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from apps.pages.bench.job_form import EARLIER, USUAL_READINGS, JobStart, Values, fresh_start
from apps.pages.bench.plan_form import PlanForm
from apps.pages.bench.row_form import BOTH
from apps.tuning.history import EDGES
from apps.tuning.plan import Plan
from apps.tuning.plan_request import EdgeTarget, TuneRequest
from apps.tuning.plan_steps import PlanStep

ASKED_SKI = "0"
# What is done to both skis of a pair alike; the rest mends damage on the one that was planned for.
ON_BOTH_SKIS = frozenset(
    {
        "clean",
        "stone_grind",
        "belt_grind",
        "file_flat",
        "side_bevel",
        "base_bevel",
        "deburr",
        "structure",
        "prepare_base",
        "wax",
        "scrape_wax",
        "brush",
    }
)
READINGS = {"height": "edge_height_mm", "width": "edge_width_mm"}


def planned_start(plan: Plan, form: PlanForm, alias: str) -> JobStart:
    """Give what stands in the form of a job that was planned; the plan's form is valid."""
    request, fresh = form.asked(), fresh_start(alias)
    rows = {
        **fresh.rows,
        "steps": [*_steps(plan.steps, request), {}],
        "bevels": list(_bevels(request)) or [{}],
        "measurements": _readings(form),
    }
    return JobStart({**fresh.head, **_target(request, form)}, rows, _mended(form))


def _steps(steps: Sequence[PlanStep], request: TuneRequest) -> Iterator[Values]:
    for step in steps:
        on = BOTH if step.operation in ON_BOTH_SKIS else ASKED_SKI
        row: dict[str, Any] = {"on": on, "operation": step.operation}
        if len(step.edges) == 1:
            row["edge"] = step.edges[0]
        if step.operation == "wax" and request.iron_temperature_c is not None:
            row["iron_temperature_c"] = request.iron_temperature_c
        yield row


def _bevels(request: TuneRequest) -> Iterator[Values]:
    left, right = (request.targets.of(edge) for edge in EDGES)
    edges = {BOTH: left} if left == right else {"left": left, "right": right}
    for edge, target in edges.items():
        if target != EdgeTarget():
            yield {"edge": edge, "basis": "set", **_target_texts(target)}


def _target_texts(target: EdgeTarget) -> dict[str, str]:
    values = {"base_bevel_deg": target.base_bevel_deg, "side_bevel_deg": target.side_bevel_deg}
    return {name: f"{value:g}" for name, value in values.items() if value is not None}


def _target(request: TuneRequest, form: PlanForm) -> Mapping[str, Any]:
    """The record has one target for both edges; where they differ the bevel rows say it."""
    left, right = (request.targets.of(edge) for edge in EDGES)
    bevels = _target_texts(left) if left == right else {}
    flat = form["flat"].data
    return {**bevels, **({"flatness_tolerance_mm": flat} if flat else {})}


def _readings(form: PlanForm) -> Sequence[Values]:
    """Put what was measured before the plan into the rows of readings."""
    rows: list[dict[str, Any]] = [dict(row) for row in USUAL_READINGS]
    for row in rows:
        name = _asked_as(row)
        if form[name].data:
            row["before_0"] = form[name].data
    return rows


def _asked_as(row: Values) -> str:
    for name, quantity in READINGS.items():
        if row["quantity"] == quantity:
            return f"now_{row['edge']}_{name}"
    return "thickness"


def _mended(form: PlanForm) -> dict[str, str]:
    given = form.cleaned_data
    return {f"{EARLIER}-{key}-done": "repaired" for key in (*given["repair"], *given["grind"])}

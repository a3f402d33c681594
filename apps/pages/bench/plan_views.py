"""Planning a tune: the form's address carries the whole of what is asked."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpResponse, QueryDict
from django.shortcuts import render
from django.utils.html import format_html
from django.views.decorators.http import require_GET

from apps.pages.addresses import ski_path
from apps.pages.bench.job_shown import angle_said_back
from apps.pages.bench.on_bench import OnBench, lay_on_bench, tag_of
from apps.pages.bench.plan_form import PlanForm
from apps.pages.bench.plan_instead import instead
from apps.pages.bench.plan_shown import OptionShown, PlanShown, plan_shown
from apps.pages.bench.views import about
from apps.pages.numbers import plain
from apps.pages.ski.unknown import unknown_ski
from apps.pages.visitor import PageRequest, Visitor, reader
from apps.registry.errors import UnknownTag
from apps.registry.sight import Sight
from apps.tuning.errors import TuningError
from apps.tuning.plan import Plan, plan_tune
from apps.tuning.plan_from_condition import bench_state
from apps.tuning.practice import Practice

PART = "part"
ANSWER = "answer"


@dataclass(frozen=True, slots=True)
class Planned:
    """A form of a plan and what came of it.

    Parameters
    ----------
    form : PlanForm
    plan : Plan or None
        None while nothing is asked, and for a form that must be mended first.
    asked : str
        What was asked, as an address carries it.
    """

    form: PlanForm
    plan: Plan | None
    asked: str


@require_GET
@reader
def plan(request: PageRequest, shop: str, tag: str) -> HttpResponse:
    """Answer what a tune would take off; the answer alone where a script asks for that part."""
    try:
        lying = lay_on_bench(shop, tag, request.visitor)
    except UnknownTag:
        return unknown_ski(request, shop, tag)
    planned = planned_tune(lying.ski, request.GET, request.visitor)
    shown = {**about(lying), **_shown(planned, lying, request.visitor)}
    is_part = request.GET.get(PART) == ANSWER
    if is_part:
        # A number that is half typed is no fault yet.
        return render(request, "pages/bench/plan_answer.html", shown)
    status = 400 if planned.form.errors else 200
    return render(request, "pages/bench/plan.html", shown, status=status)


def planned_tune(sight: Sight, query: QueryDict, visitor: Visitor) -> Planned:
    """Read what is asked and work it out."""
    given = query.copy()
    given.pop(PART, None)
    findings = sight.condition.open_findings
    form = PlanForm(given or None, findings=findings, unit=visitor.unit)
    return Planned(form, _worked_out(form, sight), given.urlencode())


def _worked_out(form: PlanForm, sight: Sight) -> Plan | None:
    if not form.is_bound or not form.is_valid():
        return None
    groove = sight.condition.centre_groove
    state = bench_state(sight.condition, groove.width_mm if groove else None)
    try:
        return plan_tune(state, form.asked(), sight.practice, sight.learned)
    except TuningError as error:
        form.add_error(None, format_html('<span lang="en">{}</span>', str(error)))
        return None


def _shown(planned: Planned, lying: OnBench, visitor: Visitor) -> dict[str, object]:
    form, plan = planned.form, planned.plan
    answer: PlanShown | None = plan_shown(plan, visitor.unit) if plan else None
    return {
        "form": form,
        "answer": answer,
        "angles": _angles(form) if plan else (),
        "usual": usual_tune(lying.ski.practice),
        "options": _options(answer, planned, lying.ski) if answer else (),
        "job": f"{_path(lying.ski, 'job')}?{planned.asked}",
        "same_for_other": f"{_path(lying.other, 'plan')}?{planned.asked}" if lying.other else "",
    }


def _options(
    answer: PlanShown, planned: Planned, sight: Sight
) -> tuple[tuple[OptionShown, str], ...]:
    """Give the cheaper ways, each with what its address asks for."""
    practice = sight.practice
    return tuple((one, instead(one.code, planned.asked, practice)) for one in answer.options)


def _angles(form: PlanForm) -> tuple[str, ...]:
    """Say each side that was asked for back as bevel and as angle."""
    given = (form.cleaned_data[name] for name in ("side", "side_left", "side_right"))
    return tuple(dict.fromkeys(angle_said_back(one) for one in given if one is not None))


def _path(sight: Sight, page: str) -> str:
    ski = tag_of(sight)
    return ski_path(ski.shop, ski.tag, page)


def usual_tune(practice: Practice) -> dict[str, str]:
    """Give the tune that the shop usually sets: the address that asks for it, and its bevels."""
    query = QueryDict(mutable=True)
    query["base"] = f"{practice.usual_base_bevel_deg:g}"
    query["side"] = f"{practice.usual_side_bevel_deg:g}"
    query["wax"] = "on"
    return {
        "query": query.urlencode(),
        "base": f"{plain(practice.usual_base_bevel_deg, 1)}°",
        "side": f"{plain(practice.usual_side_bevel_deg, 1)}°",
    }

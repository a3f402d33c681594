"""A plan as the page tells it: what each step takes off, what is left, what to know before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from apps.pages.numbers import Unit, between, degrees, length, plain
from apps.pages.sentences import (
    caution_sentence,
    given_up_sentences,
    measure_sentence,
    option_sentence,
    plan_step_sentence,
    plan_warning_sentence,
    verdict_sentences,
)
from apps.pages.words import word
from apps.tuning.history import EDGES
from apps.tuning.plan import Plan
from apps.tuning.plan_amounts import BUDGETS, Bounded, Budget, Spent, Taken
from apps.tuning.plan_core import ReserveCost
from apps.tuning.plan_options import PlanOption
from apps.tuning.plan_state import BenchState, BevelState
from apps.tuning.plan_steps import PlanStep

SERVICES_PLACES = 1
FINE_PLACES = 3


@dataclass(frozen=True, slots=True)
class Part:
    """Material that goes off or stays.

    Parameters
    ----------
    label : str
        Of what.
    usual : str
        How much as a rule.
    between : str
        Between which limits; "" where there are none.
    is_practice : bool
        Whether the shop's practice stands in for readings.
    """

    label: str
    usual: str
    between: str
    is_practice: bool = False


@dataclass(frozen=True, slots=True)
class StepShown:
    """One step, with what it takes off."""

    operation: str
    sentence: str
    parts: tuple[Part, ...]
    only_if_needed: bool


@dataclass(frozen=True, slots=True)
class StateRow:
    """One figure before and after; "" where it isn't known."""

    label: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class OptionShown:
    """A cheaper way: what is done otherwise, what that gives up, what it saves."""

    code: str
    sentence: str
    gives_up: tuple[str, ...]
    saves: tuple[Part, ...]
    outcome: str


@dataclass(frozen=True, slots=True)
class PlanShown:
    """The answer, ready to be printed."""

    outcome: str
    verdict: tuple[str, ...]
    measure_first: tuple[str, ...]
    steps: tuple[StepShown, ...]
    spent: tuple[Part, ...]
    services: tuple[Part, ...]
    state: tuple[StateRow, ...]
    warnings: tuple[str, ...]
    options: tuple[OptionShown, ...]
    cautions: tuple[str, ...]


def plan_shown(plan: Plan, unit: Unit) -> PlanShown:
    """Word a plan for the visitor."""
    return PlanShown(
        outcome=word("verdict", plan.verdict.outcome),
        verdict=tuple(verdict_sentences(plan.verdict, unit)),
        measure_first=tuple(measure_sentence(one, unit) for one in plan.verdict.measure_first),
        steps=tuple(_step(one, unit) for one in plan.steps),
        spent=tuple(_parts(plan.spent, unit)),
        services=tuple(_services(plan.services)),
        state=tuple(_state(plan.before, plan.after, unit)),
        warnings=tuple(plan_warning_sentence(one, unit) for one in plan.warnings),
        options=tuple(_option(one, unit) for one in plan.options),
        cautions=tuple(caution_sentence(one.code) for one in plan.cautions),
    )


def _step(step: PlanStep, unit: Unit) -> StepShown:
    parts = tuple(_parts(step.taken, unit))
    operation = word("operation", step.operation)
    return StepShown(operation, plan_step_sentence(step, unit), parts, step.only_if_needed)


def _parts(spent: Spent, unit: Unit) -> Iterator[Part]:
    taken = {budget: spent.of(budget) for budget in BUDGETS}
    return _by_edge({one: _part(part, unit) for one, part in taken.items() if part.possible})


def _part(taken: Taken, unit: Unit) -> Part:
    limits = between(taken.low_mm, taken.high_mm, unit, FINE_PLACES)
    usual = length(taken.usual_mm, unit, FINE_PLACES)
    spread = limits if taken.low_mm < taken.high_mm else ""
    return Part("", usual, spread, is_practice=taken.basis == "practice")


def _services(costs: Iterable[ReserveCost]) -> Iterator[Part]:
    return _by_edge({one.budget: _cost(one) for one in costs if one.high > 0.0})


def _cost(cost: ReserveCost) -> Part:
    low, usual, high = (plain(one, SERVICES_PLACES) for one in (cost.low, cost.usual, cost.high))
    limits = _("%(low)s to %(high)s") % {"low": low, "high": high}
    return Part("", usual, limits, is_practice=cost.basis == "practice")


def _by_edge(parts: Mapping[Budget, Part]) -> Iterator[Part]:
    """Name the parts; both edges at once where they are alike."""
    for budget, part in parts.items():
        left, right = (parts.get(Budget(budget.quantity, edge)) for edge in EDGES)
        if budget.edge is None or left != right:
            yield replace(part, label=budget_name(budget))
        elif budget.edge == "left":
            yield replace(part, label=both_edges(budget))


def both_edges(budget: Budget) -> str:
    """Name the steel of both edges."""
    if budget.quantity == "edge_height":
        return _("edge height, both edges")
    return _("edge width, both edges")


def budget_name(budget: Budget) -> str:
    """Name material of which there is only so much."""
    if budget.edge is None:
        return _("base")
    names = {
        ("edge_height", "left"): _("edge height, left edge"),
        ("edge_height", "right"): _("edge height, right edge"),
        ("edge_width", "left"): _("edge width, left edge"),
        ("edge_width", "right"): _("edge width, right edge"),
    }
    return names[budget.quantity, budget.edge]


def _state(before: BenchState, after: BenchState, unit: Unit) -> Iterator[StateRow]:
    yield from _bevels(before, after)
    for budget in BUDGETS:
        was, becomes = (_left(one.left_mm(budget), unit) for one in (before, after))
        if was or becomes:
            yield StateRow(budget_name(budget), was, becomes)


def _bevels(before: BenchState, after: BenchState) -> Iterator[StateRow]:
    base = {"left": _("base bevel, left edge"), "right": _("base bevel, right edge")}
    side = {"left": _("side bevel, left edge"), "right": _("side bevel, right edge")}
    for edge in EDGES:
        was, becomes = before.edge(edge), after.edge(edge)
        yield StateRow(base[edge], bevel_text(was.base_bevel), bevel_text(becomes.base_bevel))
        yield StateRow(side[edge], bevel_text(was.side_bevel), bevel_text(becomes.side_bevel))


def bevel_text(state: BevelState) -> str:
    """Say which bevel is there and whether it stands."""
    standing = word("standing", state.standing)
    if state.bevel_deg is None:
        return standing
    told = {"bevel": degrees(state.bevel_deg.value), "standing": standing}
    return _("%(bevel)s, %(standing)s") % told


def _left(left: Bounded | None, unit: Unit) -> str:
    if left is None:
        return ""
    told = {"value": length(left.value, unit), "limits": between(left.low, left.high, unit)}
    return _("%(value)s (%(limits)s)") % told


def _option(option: PlanOption, unit: Unit) -> OptionShown:
    saves = _by_edge(
        {one.budget: Part("", length(one.usual_mm, unit, FINE_PLACES), "") for one in option.saves}
    )
    outcome = word("verdict", option.verdict.outcome)
    gives_up = given_up_sentences(option, unit)
    sentence = option_sentence(option, unit)
    return OptionShown(option.code, sentence, gives_up, tuple(saves), outcome)

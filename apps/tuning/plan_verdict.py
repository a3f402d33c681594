"""Whether a plan can be carried out, and what to measure where that can't be told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from apps.tuning.edge_change import side_demand
from apps.tuning.history import EDGES, Edge
from apps.tuning.plan_amounts import BUDGETS, Bounded, Budget, Spent, Taken
from apps.tuning.plan_request import PlanWarning, plan_warning
from apps.tuning.plan_steps import Bench
from apps.tuning.told import Figure, Sentence, told

Outcome = Literal["feasible", "not_feasible", "undecided"]


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a plan is not feasible or not decided.

    Attributes
    ----------
    code : str
        Stable name of the reason.
    message : Sentence
        Whole sentence for a person, with its figures.
    budget : Budget or None
        The material it is about.
    left_mm : Bounded or None
        What the plan would leave of it [mm].
    least_mm : float or None
        The shop's least of it [mm].
    """

    code: Literal["below-least", "near-least", "not-measured"]
    message: Sentence
    budget: Budget | None = None
    left_mm: Bounded | None = None
    least_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Measure:
    """What to measure before the work begins."""

    what: str
    sentence: Sentence
    edge: Edge | None = None


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether a plan can be carried out.

    Attributes
    ----------
    outcome : {"feasible", "not_feasible", "undecided"}
        "not_feasible": a least is surely broken; "undecided": it can't be told yet.
    reasons : tuple of Reason
        Empty for a feasible plan.
    measure_first : tuple of Measure
        What would decide an undecided plan, and make a feasible one surer.
    unchecked : tuple of Budget
        Material that the plan takes and whose amount nobody knows, yet that doesn't hold it up:
        the base, which few benches can measure.
    """

    outcome: Outcome
    reasons: tuple[Reason, ...] = ()
    measure_first: tuple[Measure, ...] = ()
    unchecked: tuple[Budget, ...] = ()


@dataclass(frozen=True, slots=True)
class _Objection:
    reason: Reason
    measure: Measure | None = None


def judge_plan(bench: Bench, spent: Spent) -> Verdict:
    """Judge a plan against the shop's least of each material.

    Parameters
    ----------
    bench : Bench
        State, request, ground plane and practice.
    spent : Spent
        What the plan takes off.

    Returns
    -------
    Verdict
        Not feasible when one least is surely broken. Else undecided when one may be broken, or
        when something the plan hangs on was never measured. Else feasible. Material that the
        plan takes nothing from never holds it up; `below_least_warnings` tells of it.

    Notes
    -----
    Source: the three zones of ISO 14253-1:2017, with the limits of `Bounded.less`.
    """
    found = [*_budgets(bench, spent), *_missing(bench)]
    broken = tuple(item.reason for item in found if item.reason.code == "below-least")
    measures = tuple(dict.fromkeys(item.measure for item in found if item.measure is not None))
    unchecked = _unchecked(bench, spent)
    if broken:
        return Verdict("not_feasible", broken, (), unchecked)
    if found:
        return Verdict("undecided", tuple(item.reason for item in found), measures, unchecked)
    return Verdict("feasible", unchecked=unchecked)


def unchecked_warnings(verdict: Verdict) -> tuple[PlanWarning, ...]:
    """One warning for each material that a verdict could not look at."""
    return tuple(
        plan_warning(
            "material-unchecked",
            f"Nobody measured the {budget.words}, so whether enough of it is left is not known.",
            budget.edge,
            material=budget.quantity,
        )
        for budget in verdict.unchecked
    )


def below_least_warnings(bench: Bench, spent: Spent) -> tuple[PlanWarning, ...]:
    """One warning for each material that is too scarce already and that a plan doesn't touch."""
    least_mm = bench.rates.practice.least_mm
    return tuple(
        plan_warning(
            "already-below-least",
            f"The {budget.words} is at {left.value:.3f} mm already, and "
            f"{least_mm(budget.quantity):g} is the least; this plan takes none of it.",
            budget.edge,
            material=budget.quantity,
            left_mm=left.value,
            least_mm=least_mm(budget.quantity),
        )
        for budget in BUDGETS
        if (left := bench.state.left_mm(budget)) is not None
        and not spent.of(budget).possible
        and left.high < least_mm(budget.quantity)
    )


def _budgets(bench: Bench, spent: Spent) -> Iterator[_Objection]:
    for budget in BUDGETS:
        before, taken = bench.state.left_mm(budget), spent.of(budget)
        if before is not None:
            yield from _against_least(bench, budget, before, taken)
        elif taken.possible and budget.edge is not None:
            text = f"Nobody measured the {budget.words}."
            yield _unmeasured(bench, budget, told("never-measured", text, **budget.figures))


def _against_least(
    bench: Bench, budget: Budget, before: Bounded, taken: Taken
) -> Iterator[_Objection]:
    least, after = bench.rates.practice.least_mm(budget.quantity), before.less(taken)
    tail = f"{after.value:.3f} mm ({after.low:.3f} to {after.high:.3f}), and {least:g} is the least"
    if not taken.possible:
        return
    figures: dict[str, Figure] = {
        **budget.figures,
        "left_mm": after.value,
        "low_mm": after.low,
        "high_mm": after.high,
        "least_mm": least,
    }
    if after.high < least:
        text = told("below-least", f"The {budget.words} would be left at {tail}.", **figures)
        yield _Objection(Reason("below-least", text, budget, after, least))
    elif after.low < least:
        sentence = f"The {budget.words} may be left below the least: at {tail}."
        text, measure = told("near-least", sentence, **figures), _sharper(budget, before, taken)
        yield _Objection(Reason("near-least", text, budget, after, least), measure)


def _sharper(budget: Budget, before: Bounded, taken: Taken) -> Measure:
    if before.value - before.low >= taken.high_mm - taken.usual_mm:
        sentence = f"Measure the {budget.words} again, with a finer gauge or several readings."
        text = told("measure-again", sentence, **budget.figures)
        return Measure(budget.quantity, text, budget.edge)
    sentence = f"Measure the {budget.words} after each pass, or learn the rate of this bench."
    text = told("measure-each-pass", sentence, **budget.figures)
    return Measure(budget.quantity, text, budget.edge)


def _unmeasured(bench: Bench, budget: Budget, text: Sentence) -> _Objection:
    new = budget.edge in bench.new_edges
    once, case = (" once the new edge is fitted", "measure-new-edge") if new else ("", "measure")
    sentence = told(case, f"Measure the {budget.words}{once}.", **budget.figures)
    measure = Measure(budget.quantity, sentence, budget.edge)
    return _Objection(Reason("not-measured", text, budget), measure)


def _missing(bench: Bench) -> Iterator[_Objection]:
    yield from _missing_shape(bench)
    for edge in bench.plane.unsure_edges:
        yield _missing_bevel(bench, edge)
    for key in bench.plane.depth_missing:
        sentence = f"The depth of finding {key.index} of record {key.record} is not known."
        text = told("depth-unknown", sentence, index=key.index, record=key.record)
        how = told("measure-depth", "Measure how deep the damage to be ground out is.")
        yield _Objection(Reason("not-measured", text), Measure("finding_depth", how))
    yield from _missing_height(bench)


def _missing_bevel(bench: Bench, edge: Edge) -> _Objection:
    most_mm = bench.plane.closing.of(edge).taken.high_mm
    text = told(
        "closing-unsure",
        f"The base bevel of the {edge} edge now is not known, so the grind that closing it "
        f"may need is only known to lie between nothing and {most_mm:.3f} mm.",
        edge=edge,
        most_mm=most_mm,
    )
    new = edge in bench.new_edges
    once, case = (" once it is fitted", "measure-new-bevel") if new else ("", "measure-bevel")
    sentence = f"Measure base bevel and facet width of the {edge} edge{once}."
    how = told(case, sentence, edge=edge)
    return _Objection(Reason("not-measured", text), Measure("base_bevel", how, edge))


def _missing_shape(bench: Bench) -> Iterator[_Objection]:
    if bench.plane.flatness is None or bench.plane.shape_known:
        return
    asked = "Flattening is asked for and nobody laid a true bar on the base."
    sentence = "Measure the base across with a true bar, at several places along the ski."
    text, how = told("shape-unknown", asked), told("measure-shape", sentence)
    yield _Objection(Reason("not-measured", text), Measure("base_gap_profile", how))


def _missing_height(bench: Bench) -> Iterator[_Objection]:
    for edge in EDGES:
        wanted = bench.request.targets.of(edge).side_bevel_deg
        if wanted is not None and not side_demand(bench.state.edge(edge), wanted).known:
            text = f"What the side bevel of the {edge} edge takes hangs on its height."
            reason = told("side-hangs-on-height", text, edge=edge)
            yield _unmeasured(bench, Budget("edge_height", edge), reason)


def _unchecked(bench: Bench, spent: Spent) -> tuple[Budget, ...]:
    return tuple(
        budget
        for budget in BUDGETS
        if budget.edge is None and spent.of(budget).possible and bench.state.left_mm(budget) is None
    )

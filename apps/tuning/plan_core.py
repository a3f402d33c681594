"""One tune worked out by itself, without looking for cheaper ones."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from apps.tuning.ground_plane import GroundPlane, ground_plane
from apps.tuning.history import EDGES
from apps.tuning.plan_after import state_after
from apps.tuning.plan_amounts import BUDGETS, Budget, Rates, Spent
from apps.tuning.plan_repairs import not_planned, repairs_of
from apps.tuning.plan_request import PlanWarning, TuneRequest, plan_warning, request_warnings
from apps.tuning.plan_state import BenchState
from apps.tuning.plan_steps import Bench, PlanStep, plan_steps, total_spent
from apps.tuning.plan_verdict import Verdict, below_least_warnings, judge_plan, unchecked_warnings
from apps.tuning.practice import Practice
from apps.tuning.services import RateBasis, service_rate


@dataclass(frozen=True, slots=True)
class ReserveCost:
    """A plan's cost of one material, counted in usual services of this shop.

    Attributes
    ----------
    budget : Budget
        The material.
    low, usual, high : float
        Material taken over what a usual service takes [services].
    basis : str
        What the usual service rests on.
    """

    budget: Budget
    low: float
    usual: float
    high: float
    basis: RateBasis


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """One tune: its steps, what it takes, what it leaves and whether it can be done."""

    request: TuneRequest
    plane: GroundPlane
    steps: tuple[PlanStep, ...]
    spent: Spent
    after: BenchState
    verdict: Verdict
    services: tuple[ReserveCost, ...]
    warnings: tuple[PlanWarning, ...]


def as_meant(state: BenchState, request: TuneRequest, practice: Practice) -> TuneRequest:
    """The request with what its repairs imply: a shape to flatten, a burnt base, a dry one."""
    repairs = repairs_of(state, request)
    tolerance = request.flatness_tolerance_mm
    if repairs.flatten and tolerance is None and not request.spot_flatten:
        tolerance = practice.flatness_tolerance_mm
    return replace(
        request,
        flatness_tolerance_mm=tolerance,
        structure=request.structure or bool(repairs.edges_for("structure")),
        wax=request.wax or bool(repairs.edges_for("wax")),
    )


def work_out(state: BenchState, request: TuneRequest, rates: Rates) -> WorkedOut:
    """Work out one tune.

    Parameters
    ----------
    state : BenchState
        The ski now.
    request : TuneRequest
        Checked, and completed by `as_meant`.
    rates : Rates
        What each operation takes.

    Returns
    -------
    WorkedOut
        Steps in order, totals, the state after, verdict and warnings.
    """
    repairs = repairs_of(state, request)
    fitted = state.fitted(repairs.edges_for("replace_edge"))
    plane = ground_plane(fitted, request, rates)
    bench = Bench(fitted, request, repairs, plane, rates)
    steps = plan_steps(bench)
    spent, after = total_spent(steps), state_after(bench, steps)
    verdict = judge_plan(bench, spent)
    warnings = (
        *request_warnings(request),
        *not_planned(bench.repairs),
        *_plane_warnings(bench),
        *_bevel_warnings(state, request, after),
        *_surface_warnings(request, plane),
        *unchecked_warnings(verdict),
        *below_least_warnings(bench, spent),
    )
    services = tuple(_services(spent, rates))
    return WorkedOut(request, plane, steps, spent, after, verdict, services, warnings)


def _services(spent: Spent, rates: Rates) -> Iterator[ReserveCost]:
    for budget in BUDGETS:
        taken = spent.of(budget)
        service = service_rate(budget.quantity, rates.practice, rates.learned)
        if service.usual_mm > 0.0:
            yield ReserveCost(
                budget,
                taken.low_mm / service.usual_mm,
                taken.usual_mm / service.usual_mm,
                taken.high_mm / service.usual_mm,
                service.basis,
            )


def _plane_warnings(bench: Bench) -> Iterator[PlanWarning]:
    flatness = bench.plane.flatness
    if bench.plane.need == "no" and flatness is not None and flatness.possible:
        text = "The base looks flat enough, but the true bar's uncertainty doesn't prove it."
        yield plan_warning("flatness-not-proved", text)
    if bench.plane.need == "yes" and not bench.plane.shape_known:
        text = (
            "Nobody laid a true bar on the base. If it is convex, its crown goes off the base "
            "besides what is stated."
        )
        yield plan_warning("shape-not-known", text)
    for edge in bench.plane.unsure_edges:
        most = bench.plane.closing.of(edge).taken.high_mm
        text = f"Closing the base bevel of the {edge} edge may need a grind of up to {most:.3f} mm."
        yield plan_warning("closing-not-known", text, edge, most_mm=most)


def _bevel_warnings(
    state: BenchState, request: TuneRequest, after: BenchState
) -> Iterator[PlanWarning]:
    for edge in EDGES:
        before, left = state.edge(edge).base_bevel, after.edge(edge).base_bevel
        if request.targets.of(edge).base_bevel_deg is not None:
            if left.standing != "stands":
                text = (
                    f"The structure pass takes off some of the new base facet of the {edge} edge."
                )
                yield plan_warning("structure-shortens-facet", text, edge)
        elif left.standing != before.standing:
            text = f"The base bevel of the {edge} edge won't stand as it is: plan to set it anew."
            yield plan_warning("base-bevel-to-set-anew", text, edge)


def _surface_warnings(request: TuneRequest, plane: GroundPlane) -> Iterator[PlanWarning]:
    if (plane.need == "yes" or request.structure) and not request.wax:
        yield plan_warning("ground-base-unwaxed", "A freshly ground base is dry: wax it.")

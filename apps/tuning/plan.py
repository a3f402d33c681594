"""What a planned tune would take off, whether enough is left for it, and cheaper ways.

The tune is worked out by itself first (`plan_core`); the cheaper ones (`plan_options`) are worked
out the same way, from a request that asks for less.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from apps.tuning.cautions import Caution, cautions_for, iron_cautions
from apps.tuning.ground_plane import GroundPlane
from apps.tuning.plan_amounts import Rates, Spent
from apps.tuning.plan_assumed import state_as_assumed
from apps.tuning.plan_core import ReserveCost, as_meant, work_out
from apps.tuning.plan_options import PlanOption, plan_options
from apps.tuning.plan_request import PlanWarning, TuneRequest, check_request
from apps.tuning.plan_state import BenchState
from apps.tuning.plan_steps import PlanStep
from apps.tuning.plan_verdict import Verdict
from apps.tuning.practice import Practice
from apps.tuning.rates import LearnedRate


@dataclass(frozen=True, slots=True)
class Plan:
    """The answer to a tune request.

    Attributes
    ----------
    verdict : Verdict
        Feasible, not feasible or undecided, and why.
    steps : tuple of PlanStep
        In the trade's order.
    plane : GroundPlane
        What each purpose asks of the one ground plane.
    spent : Spent
        What all steps take off together.
    services : tuple of ReserveCost
        The same, counted in usual services.
    before, after : BenchState
        The state reckoned with and the state that the tune leaves.
    warnings : tuple of PlanWarning
        What to know beforehand.
    cautions : tuple of Caution
        Every caution that a step names, each once, and those for the iron asked for.
    options : tuple of PlanOption
        Cheaper tunes, best first.
    """

    verdict: Verdict
    steps: tuple[PlanStep, ...]
    plane: GroundPlane
    spent: Spent
    services: tuple[ReserveCost, ...]
    before: BenchState
    after: BenchState
    warnings: tuple[PlanWarning, ...]
    cautions: tuple[Caution, ...]
    options: tuple[PlanOption, ...]


DEFAULT_PRACTICE = Practice()


def plan_tune(
    state: BenchState,
    request: TuneRequest,
    practice: Practice = DEFAULT_PRACTICE,
    learned: Iterable[LearnedRate] = (),
) -> Plan:
    """Plan a tune.

    Parameters
    ----------
    state : BenchState
        The ski as it lies on the bench.
    request : TuneRequest
        The tune asked for, with what the bench measured just now.
    practice : Practice
        The shop's settings: its least of each material, and what stands in for readings.
    learned : iterable of LearnedRate
        What operations take by the shop's readings; practice stands in for the rest.

    Returns
    -------
    Plan
        The same for the same input, always.

    Raises
    ------
    NotFiniteError, OutOfRangeError, BevelOutOfRangeError
        If a number of the request is not finite or outside its range.
    UnknownFindingError
        If a finding it names is not open on this ski or can't be ground out.
    UnknownOperationError
        If it states an amount for an operation that takes nothing off.
    ContradictoryRequestError
        If two of its wishes exclude each other.

    Notes
    -----
    Source: geometry as named in `ground_plane` and `edge_change`; order and rates are practice.
    """
    check_request(request, state)
    before = state_as_assumed(state, request, practice)
    meant = as_meant(before, request, practice)
    rates = Rates(practice, tuple(learned), request.assumed.removals)
    tune = work_out(before, meant, rates)
    return Plan(
        verdict=tune.verdict,
        steps=tune.steps,
        plane=tune.plane,
        spent=tune.spent,
        services=tune.services,
        before=before,
        after=tune.after,
        warnings=tune.warnings,
        cautions=_cautions(tune.steps, meant),
        options=plan_options(before, tune, rates),
    )


def _cautions(steps: tuple[PlanStep, ...], request: TuneRequest) -> tuple[Caution, ...]:
    named = [caution for step in steps for caution in cautions_for(step.operation)]
    if request.iron_temperature_c is not None:
        named += iron_cautions(request.iron_temperature_c)
    return tuple(dict.fromkeys(named))

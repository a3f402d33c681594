"""Cheaper tunes beside the one asked for, each with what it saves and what it gives up."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from apps.tuning.history import EDGES, Edge, FindingKey
from apps.tuning.plan_amounts import BUDGETS, Budget, Rates, Spent
from apps.tuning.plan_core import ReserveCost, WorkedOut, work_out
from apps.tuning.plan_request import (
    NO_TARGETS,
    EdgeTarget,
    Targets,
    TuneRequest,
    findings_named,
)
from apps.tuning.plan_state import BenchState
from apps.tuning.plan_steps import PlanStep
from apps.tuning.plan_verdict import Verdict
from apps.tuning.told import Sentence, told

OptionCode = Literal[
    "fill_gouges",
    "keep_base_bevel",
    "wider_tolerance",
    "spot_flatten",
    "no_structure",
    "bevels_only",
]

# A nanometre is far below any gauge and far above what adding floats gets wrong.
_SAME_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Saving:
    """What an option leaves on the ski, of one material [mm]."""

    budget: Budget
    usual_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True)
class PlanOption:
    """A cheaper tune.

    Attributes
    ----------
    code : str
        Stable name.
    sentence : Sentence
        What is done otherwise.
    gives_up : tuple of Sentence
        What the tune asked for has and this one hasn't, each a sentence; empty for the same end.
    saves : tuple of Saving
        Material that stays on the ski; only where something does.
    verdict : Verdict
        Whether this one can be carried out.
    steps, spent, services, after
        As of the plan itself.
    """

    code: OptionCode
    sentence: Sentence
    gives_up: tuple[Sentence, ...]
    saves: tuple[Saving, ...]
    verdict: Verdict
    steps: tuple[PlanStep, ...]
    spent: Spent
    services: tuple[ReserveCost, ...]
    after: BenchState


@dataclass(frozen=True, slots=True)
class _Idea:
    code: OptionCode
    sentence: Sentence
    gives_up: tuple[Sentence, ...]
    request: TuneRequest


@dataclass(frozen=True, slots=True)
class _Asked:
    state: BenchState
    plan: WorkedOut
    rates: Rates

    @property
    def request(self) -> TuneRequest:
        return self.plan.request

    def closes(self, edge: Edge) -> bool:
        return self.plan.plane.closing.of(edge).taken.possible


def plan_options(state: BenchState, plan: WorkedOut, rates: Rates) -> tuple[PlanOption, ...]:
    """Cheaper tunes, best first.

    Parameters
    ----------
    state : BenchState
        The ski now.
    plan : WorkedOut
        The tune asked for.
    rates : Rates
        What each operation takes.

    Returns
    -------
    tuple of PlanOption
        Only those that save material somewhere and cost more nowhere. Those that can be
        carried out come first, then those that give up less, then those that save more.
    """
    asked = _Asked(state, plan, rates)
    options = [option for idea in _ideas(asked) if (option := _try(asked, idea))]
    return tuple(sorted(options, key=_rank))


def _ideas(asked: _Asked) -> list[_Idea]:
    found: list[_Idea] = []
    for maker in _MAKERS:
        # Two ideas may come to one and the same request; the first of them names it better.
        known = [idea.request for idea in found]
        found += [idea for idea in maker(asked) if idea.request not in known]
    return found


def _try(asked: _Asked, idea: _Idea) -> PlanOption | None:
    tune = work_out(asked.state, idea.request, asked.rates)
    savings = [_saving(asked.plan.spent, tune.spent, budget) for budget in BUDGETS]
    least = min(min(saving.usual_mm, saving.high_mm) for saving in savings)
    kept = tuple(saving for saving in savings if saving.high_mm > _SAME_MM)
    if least < -_SAME_MM or not kept:
        return None
    return PlanOption(
        code=idea.code,
        sentence=idea.sentence,
        gives_up=idea.gives_up,
        saves=kept,
        verdict=tune.verdict,
        steps=tune.steps,
        spent=tune.spent,
        services=tune.services,
        after=tune.after,
    )


def _saving(asked: Spent, option: Spent, budget: Budget) -> Saving:
    before, now = asked.of(budget), option.of(budget)
    return Saving(budget, before.usual_mm - now.usual_mm, before.high_mm - now.high_mm)


def _rank(option: PlanOption) -> tuple[int, int, float, str]:
    outcomes = ("feasible", "undecided", "not_feasible")
    saved = sum(saving.usual_mm + saving.high_mm for saving in option.saves)
    outcome = outcomes.index(option.verdict.outcome)
    return (outcome, len(option.gives_up), -round(saved, 9), option.code)


def _fill_gouges(asked: _Asked) -> Iterator[_Idea]:
    request = asked.request
    if request.grind_out:
        filled = replace(request, repair=request.repair + request.grind_out, grind_out=())
        softer = "A filling is softer than the base and may have to be renewed."
        sentence = told("fill_gouges", "Fill the damage and don't grind it out.")
        yield _Idea("fill_gouges", sentence, (told("filling-is-softer", softer),), filled)


def _keep_base_bevel(asked: _Asked) -> Iterator[_Idea]:
    closing = [edge for edge in EDGES if asked.closes(edge)]
    if closing:
        targets = _without_closing(asked, set_again=_still_ground(asked.request))
        gives_up = tuple(_bevel_given_up(asked, edge, targets) for edge in closing)
        kept = replace(asked.request, targets=targets)
        sentence = "Keep the base bevel that is there and leave the closing grind out."
        yield _Idea("keep_base_bevel", told("keep_base_bevel", sentence), gives_up, kept)


def _still_ground(request: TuneRequest) -> bool:
    flattened = request.flatness_tolerance_mm is not None
    return flattened or request.structure or bool(request.grind_out)


def _without_closing(asked: _Asked, *, set_again: bool) -> Targets:
    def of(edge: Edge) -> EdgeTarget:
        target = asked.request.targets.of(edge)
        if not asked.closes(edge):
            return target
        now = asked.state.edge(edge).base_bevel.known_deg
        kept = now.value if now is not None and set_again else None
        return replace(target, base_bevel_deg=kept)

    return Targets(of("left"), of("right"))


def _bevel_given_up(asked: _Asked, edge: Edge, targets: Targets) -> Sentence:
    wanted = asked.request.targets.of(edge).base_bevel_deg
    now = asked.state.edge(edge).base_bevel.known_deg
    if now is None:
        text = f"The base bevel of the {edge} edge stays as it is, unknown, not {wanted:g} deg."
        return told("bevel-stays-unknown", text, edge=edge, wanted_deg=wanted)
    anew = targets.of(edge).base_bevel_deg is not None
    again, case = (
        (", set again after the grind", "bevel-set-again") if anew else ("", "bevel-stays")
    )
    text = f"The base bevel of the {edge} edge stays at {now.value:g} deg{again}, not {wanted:g}."
    return told(case, text, edge=edge, now_deg=now.value, wanted_deg=wanted)


def _wider_tolerance(asked: _Asked) -> Iterator[_Idea]:
    tolerance = asked.request.flatness_tolerance_mm
    usual = asked.rates.practice.flatness_tolerance_mm
    if tolerance is not None and tolerance < usual:
        sentence = f"Accept a base flat to {usual:g} mm, the usual tolerance of this shop."
        accept = told("wider_tolerance", sentence, usual_mm=usual)
        text = f"The base is flat to {usual:g} mm and not to {tolerance:g}."
        gives_up = (told("less-flat", text, usual_mm=usual, wanted_mm=tolerance),)
        wider = replace(asked.request, flatness_tolerance_mm=usual)
        yield _Idea("wider_tolerance", accept, gives_up, wider)


def _spot_flatten(asked: _Asked) -> Iterator[_Idea]:
    if asked.request.flatness_tolerance_mm is not None:
        sentence = told("spot_flatten_only", "Flatten only the stretch that is worst, by hand.")
        rest = "The rest of the base stays out of flat as it is."
        gives_up = (told("rest-stays-out-of-flat", rest),)
        spot = replace(asked.request, flatness_tolerance_mm=None, spot_flatten=True)
        yield _Idea("spot_flatten", sentence, gives_up, spot)


def _no_structure(asked: _Asked) -> Iterator[_Idea]:
    if asked.request.structure:
        repair = _repair_but(asked, ("base_burn",))
        gives_up = tuple(_structure_given_up(asked))
        plain = replace(asked.request, structure=False, repair=repair)
        sentence = told("no_structure", "Leave the structure out.")
        yield _Idea("no_structure", sentence, gives_up, plain)


def _bevels_only(asked: _Asked) -> Iterator[_Idea]:
    targets = _without_closing(asked, set_again=False)
    gives_up = tuple(_all_given_up(asked, targets))
    if targets != NO_TARGETS and gives_up:
        only = replace(
            asked.request,
            targets=targets,
            flatness_tolerance_mm=None,
            spot_flatten=False,
            structure=False,
            grind_out=(),
            repair=_repair_but(asked, ("railed", "base_high", "base_burn")),
        )
        sentence = told("bevels_only", "Set only the bevels that need no grind.")
        yield _Idea("bevels_only", sentence, gives_up, only)


def _repair_but(asked: _Asked, kinds: tuple[str, ...]) -> tuple[FindingKey, ...]:
    named = findings_named(asked.state, asked.request.repair)
    return tuple(finding.key for finding in named if finding.what not in kinds)


def _structure_given_up(asked: _Asked) -> Iterator[Sentence]:
    yield told("pattern-stays", "The base keeps the pattern it has.")
    if _repair_but(asked, ("base_burn",)) != asked.request.repair:
        yield told("burn-stays", "The burnt base stays sealed.")


def _all_given_up(asked: _Asked, targets: Targets) -> Iterator[Sentence]:
    request = asked.request
    if request.flatness_tolerance_mm is not None or request.spot_flatten:
        yield told("base-stays-out-of-flat", "The base stays out of flat as it is.")
    if request.structure:
        yield from _structure_given_up(asked)
    if request.grind_out:
        yield told("damage-stays", "The damage to be ground out stays.")
    for edge in EDGES:
        if asked.closes(edge):
            yield _bevel_given_up(asked, edge, targets)


_MAKERS: tuple[Callable[[_Asked], Iterator[_Idea]], ...] = (
    _fill_gouges,
    _keep_base_bevel,
    _wider_tolerance,
    _spot_flatten,
    _no_structure,
    _bevels_only,
)

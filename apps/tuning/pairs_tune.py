"""The tune that brings the two skis of a pair together for the least steel."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from apps.tuning.history import EDGES, Edge
from apps.tuning.pairs_compare import PairedSki
from apps.tuning.pairs_difference import PairDifference
from apps.tuning.plan import plan_tune
from apps.tuning.plan_amounts import BUDGETS, Budget, Rates, Spent
from apps.tuning.plan_core import ReserveCost, WorkedOut, as_meant, work_out
from apps.tuning.plan_from_condition import bench_state
from apps.tuning.plan_request import NO_TARGETS, EdgeTarget, Targets, TuneRequest
from apps.tuning.plan_state import BenchState
from apps.tuning.plan_verdict import Outcome, Verdict
from apps.tuning.practice import Practice
from apps.tuning.rates import LearnedRate
from apps.tuning.standing import Face

METHOD = "least steel off both skis over the bevels they have now and the shop's usual one"
STEEL: tuple[Budget, ...] = tuple(one for one in BUDGETS if one.edge is not None)
_RANK: dict[Outcome, int] = {"feasible": 0, "undecided": 1, "not_feasible": 2}
# Bevels are recorded in steps of 0.01 deg.
_SAME_DEG = 0.005


@dataclass(frozen=True, slots=True)
class SteelCost:
    """What a tune takes off both skis together, over both edges [mm]."""

    steel_low_mm: float
    steel_usual_mm: float
    steel_high_mm: float
    base_usual_mm: float


@dataclass(frozen=True, slots=True)
class ConsideredTargets:
    """Bevels that both skis could be brought to, and what that takes.

    Attributes
    ----------
    targets : Targets
        What both skis would have; None where nothing is to be changed for it.
    cost : SteelCost
        Off both skis.
    outcome : {"feasible", "not_feasible", "undecided"}
        The worse of the two plans' verdicts.
    """

    targets: Targets
    cost: SteelCost
    outcome: Outcome


@dataclass(frozen=True, slots=True)
class SkiTune:
    """What is done to one ski of the pair.

    Attributes
    ----------
    name : str
        The ski.
    targets : Targets
        What is set on it; None leaves a face as it is. Besides what was apart this may be a
        bevel that the grind for the rest would take off.
    operations : tuple of str
        The steps of its plan in order; empty where nothing has to be done.
    spent : Spent
        What they take off.
    services : tuple of ReserveCost
        The same, counted in usual services.
    verdict : Verdict
        Whether it can be carried out.
    """

    name: str
    targets: Targets
    operations: tuple[str, ...]
    spent: Spent
    services: tuple[ReserveCost, ...]
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class PairTune:
    """The tune that brings a pair together.

    Attributes
    ----------
    targets : Targets
        What both skis have afterwards, of the faces that were apart.
    first, second : SkiTune
        What is done to each.
    cost : SteelCost
        Off both together.
    considered : tuple of ConsideredTargets
        All that was tried, base bevels and side bevels apart, the best first.
    sentence : str
        Why these.
    method : str
        The rule.
    """

    targets: Targets
    first: SkiTune
    second: SkiTune
    cost: SteelCost
    considered: tuple[ConsideredTargets, ...]
    sentence: str
    method: str = METHOD


@dataclass(frozen=True, slots=True)
class _Bench:
    """One ski on the bench, and what stands where nothing was asked."""

    ski: PairedSki
    state: BenchState
    rates: Rates

    def worked(self, targets: Targets) -> tuple[TuneRequest, WorkedOut]:
        """The ski brought to `targets`: what is there already is left as it is."""
        request = self._request(self._needed(targets))
        done = self._work(request)
        kept = self._kept(request.targets, done)
        if kept == request.targets:
            return request, done
        again = self._request(kept)
        return again, self._work(again)

    def _request(self, targets: Targets) -> TuneRequest:
        return as_meant(self.state, TuneRequest(targets=targets), self.rates.practice)

    def _work(self, request: TuneRequest) -> WorkedOut:
        return work_out(self.state, request, self.rates)

    def _needed(self, targets: Targets) -> Targets:
        left, right = (
            EdgeTarget(
                self._unless_there(edge, "base", targets.of(edge).base_bevel_deg),
                self._unless_there(edge, "side", targets.of(edge).side_bevel_deg),
            )
            for edge in EDGES
        )
        return Targets(left, right)

    def _unless_there(self, edge: Edge, face: Face, wanted_deg: float | None) -> float | None:
        now = self.bevel_deg(edge, face)
        if wanted_deg is None or now is None or abs(now - wanted_deg) > _SAME_DEG:
            return wanted_deg
        return None

    def bevel_deg(self, edge: Edge, face: Face) -> float | None:
        """The bevel that is surely there now [deg]."""
        state = self.state.edge(edge)
        bevel = state.base_bevel if face == "base" else state.side_bevel
        return None if bevel.known_deg is None else bevel.known_deg.value

    def _kept(self, asked: Targets, done: WorkedOut) -> Targets:
        """Set anew what the one ground plane takes off the facets that nobody asked to change."""
        left, right = (self._kept_on(edge, asked.of(edge), done) for edge in EDGES)
        return Targets(left, right)

    def _kept_on(self, edge: Edge, asked: EdgeTarget, done: WorkedOut) -> EdgeTarget:
        before = self.bevel_deg(edge, "base")
        after = done.after.edge(edge).base_bevel.known_deg
        stays = after is not None and before is not None and abs(after.value - before) <= _SAME_DEG
        if asked.base_bevel_deg is not None or before is None or stays:
            return asked
        return replace(asked, base_bevel_deg=before)


Benches = tuple[_Bench, _Bench]


def tune_pair(
    first: PairedSki,
    second: PairedSki,
    differences: Iterable[PairDifference],
    practice: Practice,
    learned: Iterable[LearnedRate] = (),
) -> PairTune | None:
    """Find the tune that brings two skis together for the least steel.

    Parameters
    ----------
    first, second : PairedSki
        The two.
    differences : iterable of PairDifference
        As `compare_pair` gives them; only bevels that are apart are changed, since a tune on a
        guess takes steel for nothing.
    practice : Practice
        The shop's usual bevels and its least of each material.
    learned : iterable of LearnedRate
        What operations take by the shop's readings.

    Returns
    -------
    PairTune or None
        None where no bevel is apart.

    Notes
    -----
    Rules. For each face that is apart the bevels tried are the one of either ski and the shop's
    usual one. One ground plane serves both edges, so the base bevels of both edges are tried
    together; the sides don't touch each other nor the plane, and are tried one by one. The first
    by verdict, then by usual steel off both edges of both skis, then by base is taken.
    """
    rates = Rates(practice, tuple(learned))
    benches = (_bench(first, rates), _bench(second, rates))
    apart = {
        (one.edge, one.quantity)
        for one in differences
        if one.outcome == "apart" and one.quantity in ("base_bevel", "side_bevel")
    }
    if not apart:
        return None
    searches = [
        _search(benches, targets)
        for targets in (
            _base_targets(benches, [edge for edge in EDGES if (edge, "base_bevel") in apart]),
            *(_side_targets(benches, edge) for edge in EDGES if (edge, "side_bevel") in apart),
        )
        if targets
    ]
    return _chosen(benches, searches)


def _bench(ski: PairedSki, rates: Rates) -> _Bench:
    groove = ski.condition.centre_groove
    return _Bench(ski, bench_state(ski.condition, groove.width_mm if groove else None), rates)


def _base_targets(benches: Benches, edges: Sequence[Edge]) -> list[Targets]:
    choices = [_candidates(benches, edge, "base") if edge in edges else [None] for edge in EDGES]
    pairs = product(*choices) if edges else ()
    return [Targets(EdgeTarget(left), EdgeTarget(right)) for left, right in pairs]


def _side_targets(benches: Benches, edge: Edge) -> list[Targets]:
    wanted = [EdgeTarget(side_bevel_deg=deg) for deg in _candidates(benches, edge, "side")]
    return [replace(NO_TARGETS, **{edge: one}) for one in wanted]


def _candidates(benches: Benches, edge: Edge, face: Face) -> list[float | None]:
    practice = benches[0].rates.practice
    usual = practice.usual_base_bevel_deg if face == "base" else practice.usual_side_bevel_deg
    own = [bench.bevel_deg(edge, face) for bench in benches]
    return list(dict.fromkeys([*own, usual]))


def _search(benches: Benches, tried: Iterable[Targets]) -> list[ConsideredTargets]:
    found = [_considered(benches, targets) for targets in tried]
    return sorted(found, key=_key)


def _key(one: ConsideredTargets) -> tuple[int, float, float]:
    # Rounded, so that the order of adding up never decides between two that take the same.
    cost = one.cost
    return _RANK[one.outcome], round(cost.steel_usual_mm, 9), round(cost.base_usual_mm, 9)


def _considered(benches: Benches, targets: Targets) -> ConsideredTargets:
    done = [bench.worked(targets)[1] for bench in benches]
    worst = max((one.verdict.outcome for one in done), key=_RANK.__getitem__)
    return ConsideredTargets(targets, _cost(one.spent for one in done), worst)


def _cost(spents: Iterable[Spent]) -> SteelCost:
    all_spent = tuple(spents)
    steel = [spent.of(budget) for spent in all_spent for budget in STEEL]
    return SteelCost(
        sum(one.low_mm for one in steel),
        sum(one.usual_mm for one in steel),
        sum(one.high_mm for one in steel),
        sum(spent.base_mm.usual_mm for spent in all_spent),
    )


def _chosen(benches: Benches, searches: Sequence[list[ConsideredTargets]]) -> PairTune:
    targets = _merged(found[0].targets for found in searches)
    first, second = (_tuned(bench, targets) for bench in benches)
    cost = _cost((first.spent, second.spent))
    return PairTune(
        targets,
        first,
        second,
        cost,
        tuple(one for found in searches for one in found),
        " ".join([*_why(searches), _verdict_sentence(first, second)]),
    )


def _merged(parts: Iterable[Targets]) -> Targets:
    """Base and side of both edges in one; each part sets what the others leave."""
    merged = NO_TARGETS
    for part in parts:
        left, right = (_over(merged.of(edge), part.of(edge)) for edge in EDGES)
        merged = Targets(left, right)
    return merged


def _over(below: EdgeTarget, above: EdgeTarget) -> EdgeTarget:
    base, side = above.base_bevel_deg, above.side_bevel_deg
    return EdgeTarget(
        below.base_bevel_deg if base is None else base,
        below.side_bevel_deg if side is None else side,
    )


def _tuned(bench: _Bench, targets: Targets) -> SkiTune:
    request, _ = bench.worked(targets)
    plan = plan_tune(bench.state, request, bench.rates.practice, bench.rates.learned)
    return SkiTune(
        bench.ski.name,
        request.targets,
        tuple(step.operation for step in plan.steps),
        plan.spent,
        plan.services,
        plan.verdict,
    )


def _why(searches: Sequence[list[ConsideredTargets]]) -> Iterator[str]:
    """Two bevels that are apart are two to choose from, so there is always a next one."""
    for found in searches:
        best, following = found[:2]
        yield (
            f"{_words(best.targets)} takes {best.cost.steel_usual_mm:.3f} mm of steel off both "
            f"skis together, the least of {len(found)} that were tried; "
            f"{_words(following.targets, start=False)} is next "
            f"with {following.cost.steel_usual_mm:.3f} mm."
        )


def _words(targets: Targets, *, start: bool = True) -> str:
    parts = []
    for edge in EDGES:
        target = targets.of(edge)
        for face, deg in (("base", target.base_bevel_deg), ("side", target.side_bevel_deg)):
            if deg is not None:
                parts.append(f"a {face} bevel of {deg:g} deg on the {edge} edges")
    told = " with ".join(parts)
    return told[0].upper() + told[1:] if start else told


def _verdict_sentence(first: SkiTune, second: SkiTune) -> str:
    worst = max((first, second), key=lambda tune: _RANK[tune.verdict.outcome])
    if worst.verdict.outcome == "not_feasible":
        return f"It can't be carried out: {worst.name} would fall below the shop's least."
    if worst.verdict.outcome == "undecided":
        return f"Whether enough is left on {worst.name} has to be measured first."
    return "Both skis have enough left for it."

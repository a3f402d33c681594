"""The steps of a tune in the trade's order, and what each takes off."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import reduce

from apps.tuning.cautions import cautions_for
from apps.tuning.edge_change import opening_steel, side_demand
from apps.tuning.ground_plane import GroundPlane
from apps.tuning.history import EDGES, Edge
from apps.tuning.plan_amounts import (
    NOTHING_PER_EDGE,
    NOTHING_SPENT,
    PerEdge,
    Rates,
    Spent,
    Taken,
    on_edges,
)
from apps.tuning.plan_repairs import Repairs
from apps.tuning.plan_request import NO_TARGETS, TuneRequest
from apps.tuning.plan_state import BenchState
from apps.tuning.told import Sentence, told


@dataclass(frozen=True, slots=True)
class PlanStep:
    """One step of a plan.

    Attributes
    ----------
    operation : str
        A word of the step vocabulary.
    edges : tuple of Edge
        Edges it works; both for work on the base.
    why : Sentence
        What it is for, as a sentence with its figures.
    taken : Spent
        What it takes off.
    cautions : tuple of str
        Codes of the usual cautions.
    top_of_side_mm : PerEdge of Taken
        Steel off the upper end of the side face [mm], which costs no edge width at the corner.
    only_if_needed : bool
        True where only something that nobody measured could ask for the step.
    """

    operation: str
    edges: tuple[Edge, ...]
    why: Sentence
    taken: Spent = NOTHING_SPENT
    cautions: tuple[str, ...] = ()
    top_of_side_mm: PerEdge[Taken] = NOTHING_PER_EDGE
    only_if_needed: bool = False


@dataclass(frozen=True, slots=True)
class Bench:
    """All that a step is worked out from; an edge to be replaced is in `state` as the new one."""

    state: BenchState
    request: TuneRequest
    repairs: Repairs
    plane: GroundPlane
    rates: Rates

    @property
    def new_edges(self) -> tuple[Edge, ...]:
        """Edges that the plan replaces."""
        return self.repairs.edges_for("replace_edge")


Maker = Callable[[Bench], Iterator[PlanStep]]

_GOVERNED = {
    "flatness": "The base is brought to the flatness asked for",
    "closing": "A smaller base bevel needs the whole base lower",
    "grind_out": "The damage is ground out",
    "nothing": "",
}

_MEND = {
    "remove_rust": "Rust off first, so that stone and file cut steel.",
    "repair_delamination": "Parted layers are glued before the base is made flat.",
    "refix_edge": "The edge is set back before the base is made flat.",
    "replace_edge": "New steel is set flush before the base is made flat.",
    "remove_hardened_spot": "Hardened steel is stoned off, as a file would slide over it.",
    "open_gouge": "The damage is cut clean, so that the filling holds.",
    "fill_gouge": "The gouge is filled, which takes no material off.",
    "patch_base": "The core is closed by a piece of base let in.",
    "remove_excess": "The filling is brought down level with the base.",
    "plane_sidewall": "The sidewall is planed back, clear of the side edge.",
}

_WAX = {
    "prepare_base": "The base is opened and cleaned to take up wax.",
    "wax": "The base is waxed, last of all that puts something on.",
    "scrape_wax": "Wax that stands on the base would only brake.",
    "brush": "The structure is brushed free.",
}


def plan_steps(bench: Bench) -> tuple[PlanStep, ...]:
    """The steps in order.

    Parameters
    ----------
    bench : Bench
        State, request, repairs, ground plane and rates.

    Returns
    -------
    tuple of PlanStep
        Empty when nothing is asked for. No bevel comes before the base is flat, deburring comes
        after the bevels and wax last.

    Notes
    -----
    Source: common practice of the trade, no source.
    """
    steps = tuple(step for maker in _ORDER for step in maker(bench))
    if not steps:
        return ()
    why = told("clean-first", "Dirt and old wax off, so that damage and shape can be seen.")
    return (_step(bench, "clean", why), *steps)


def total_spent(steps: tuple[PlanStep, ...]) -> Spent:
    """What all steps take off together."""
    return reduce(Spent.plus, (step.taken for step in steps), NOTHING_SPENT)


def _step(bench: Bench, operation: str, why: Sentence, edges: tuple[Edge, ...] = EDGES) -> PlanStep:
    codes = tuple(caution.code for caution in cautions_for(operation))
    return PlanStep(operation, edges, why, bench.rates.spent(operation, edges), codes)


def _mending(*operations: str) -> Maker:
    def make(bench: Bench) -> Iterator[PlanStep]:
        for operation in operations:
            edges = bench.repairs.edges_for(operation)
            if edges:
                yield _step(bench, operation, told(operation, _MEND[operation]), edges)

    return make


def _flattening(bench: Bench) -> Iterator[PlanStep]:
    plane = bench.plane
    if plane.need == "no":
        return
    perhaps = plane.need == "perhaps"
    ending = "; only as far as measuring shows it is needed." if perhaps else "."
    why = _GOVERNED[plane.governed_by] + ", with the edges kept near square until then" + ending
    case = f"plane-{plane.governed_by}-perhaps" if perhaps else f"plane-{plane.governed_by}"
    step = _step(bench, bench.request.plane_operation, told(case, why))
    taken = Spent(on_edges(plane.steel, EDGES), NOTHING_PER_EDGE, plane.base)
    yield replace(step, taken=taken, only_if_needed=perhaps)


def _spot_flattening(bench: Bench) -> Iterator[PlanStep]:
    if bench.request.spot_flatten:
        why = told("spot_flatten", "Only the stretch that is worst is brought down.")
        yield _step(bench, "spot_flatten", why)


def _recutting(bench: Bench) -> Iterator[PlanStep]:
    if bench.repairs.edges_for("recut_groove"):
        why = told("groove-filled", "The centre groove is filled and is cut again.")
        yield _step(bench, "recut_groove", why)
    elif bench.state.centre_groove_width_mm and bench.repairs.edges_for("remove_excess"):
        sentence = "The centre groove is cut again where the filling has closed it."
        yield _step(bench, "recut_groove", told("groove-closed-by-filling", sentence))


def _side_bevels(bench: Bench) -> Iterator[PlanStep]:
    for edge in EDGES:
        wanted = bench.request.targets.of(edge).side_bevel_deg
        if wanted is not None:
            yield _side_bevel(bench, edge, wanted)


def _side_bevel(bench: Bench, edge: Edge, wanted_deg: float) -> PlanStep:
    demand = side_demand(bench.state.edge(edge), wanted_deg)
    if demand.corner.usual_mm > 0.0:
        case, ending = "side-corner-moves", "the corner moves in."
    else:
        case, ending = "side-corner-stays", "the corner stays."
    sentence = f"The side of the {edge} edge to {wanted_deg:g} deg: {ending}"
    why = told(case, sentence, edge=edge, side_deg=wanted_deg)
    width = demand.corner.larger(bench.rates.taken("side_bevel", "edge_width"))
    taken = Spent(edge_width_mm=on_edges(width, (edge,)))
    step = _step(bench, "side_bevel", why, (edge,))
    return replace(step, taken=taken, top_of_side_mm=on_edges(demand.top, (edge,)))


def _base_bevels(bench: Bench) -> Iterator[PlanStep]:
    for edge in EDGES:
        wanted = bench.request.targets.of(edge).base_bevel_deg
        if wanted is not None:
            yield _base_bevel(bench, edge, wanted)


def _base_bevel(bench: Bench, edge: Edge, wanted_deg: float) -> PlanStep:
    # The plane is counted in full at the corner, which holds once the bevel that was there is
    # set again; only what the bevel wanted opens beyond that comes on top.
    opening = opening_steel(bench.state.edge(edge), wanted_deg, bench.rates.practice)
    height = opening.larger(bench.rates.taken("base_bevel", "edge_height"))
    sentence = (
        f"The base bevel of the {edge} edge to {wanted_deg:g} deg, now that the base is done."
    )
    why = told("base_bevel", sentence, edge=edge, base_deg=wanted_deg)
    step = _step(bench, "base_bevel", why, (edge,))
    return replace(step, taken=Spent(edge_height_mm=on_edges(height, (edge,))))


def _deburring(bench: Bench) -> Iterator[PlanStep]:
    targets = bench.request.targets
    worked = [
        edge
        for edge in EDGES
        if targets.of(edge).base_bevel_deg is not None
        or targets.of(edge).side_bevel_deg is not None
        or edge in bench.repairs.edges_for("deburr")
    ]
    if worked:
        why = told("deburr", "The burr that filing leaves is taken off.")
        yield _step(bench, "deburr", why, tuple(worked))


def _structuring(bench: Bench) -> Iterator[PlanStep]:
    if bench.request.structure:
        why = told("structure", "The ground pattern lets water film and wax work.")
        yield _step(bench, "structure", why)


def _washing(bench: Bench) -> Iterator[PlanStep]:
    asked = bench.request
    ground = bench.plane.need != "no" or asked.structure or asked.spot_flatten
    if ground or asked.targets != NO_TARGETS:
        why = told("clean-before-wax", "Stone dust and filings off, before they are waxed in.")
        yield _step(bench, "clean", why)


def _waxing(bench: Bench) -> Iterator[PlanStep]:
    if bench.request.wax:
        for operation, why in _WAX.items():
            yield _step(bench, operation, told(operation, why))


_ORDER: tuple[Maker, ...] = (
    _mending("remove_rust", "repair_delamination", "refix_edge", "replace_edge"),
    _mending("remove_hardened_spot"),
    _flattening,
    _spot_flattening,
    _mending("open_gouge", "fill_gouge", "patch_base", "remove_excess"),
    _recutting,
    _mending("plane_sidewall"),
    _side_bevels,
    _base_bevels,
    _deburring,
    _structuring,
    _washing,
    _waxing,
)

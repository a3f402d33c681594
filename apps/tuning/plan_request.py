"""The tune that is asked for, and what is refused or odd about it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

from apps.tuning.bevel import (
    MAX_FACET_WIDTH_MM,
    SQUARE_DEG,
    USUAL_BASE_BEVEL_DEG,
    USUAL_SIDE_BEVEL_DEG,
    included_angle_deg,
    require_base_bevel,
    require_side_bevel,
)
from apps.tuning.errors import (
    OutOfRangeError,
    TuningError,
    require_not_negative,
    require_positive,
)
from apps.tuning.history import EDGES, Edge, Finding, FindingKey
from apps.tuning.plan_amounts import NO_REMOVALS
from apps.tuning.plan_state import BenchState
from apps.tuning.practice import PRACTICE_REMOVALS, Removal
from apps.tuning.told import Figure, Sentence, told

PlaneOperation = Literal["stone_grind", "belt_grind", "file_flat"]

MAX_STEEL_MM = 5.0
MAX_BASE_MM = 3.0
MAX_OUT_OF_FLAT_MM = 5.0
LEAST_IRON_C = 60
MOST_IRON_C = 220

# A core shot has no ground under it, so no grind takes it out.
GROUND_OUT = ("gouge", "scratch")


class UnknownFindingError(TuningError):
    """A finding that is not open on this ski, or that the asked repair can't mend."""


class UnknownOperationError(TuningError):
    """An amount stated for an operation that takes nothing off or isn't one."""


class ContradictoryRequestError(TuningError):
    """Two wishes of one request that exclude each other."""


@dataclass(frozen=True, slots=True)
class EdgeTarget:
    """Bevels wanted on one edge [deg from square]; None leaves a face as it is."""

    base_bevel_deg: float | None = None
    side_bevel_deg: float | None = None


NO_TARGET = EdgeTarget()


@dataclass(frozen=True, slots=True)
class Targets:
    """Bevels wanted, edge by edge."""

    left: EdgeTarget = NO_TARGET
    right: EdgeTarget = NO_TARGET

    @classmethod
    def both(
        cls, base_bevel_deg: float | None = None, side_bevel_deg: float | None = None
    ) -> Targets:
        """The same on both edges."""
        target = EdgeTarget(base_bevel_deg, side_bevel_deg)
        return cls(target, target)

    def of(self, edge: Edge) -> EdgeTarget:
        """What is wanted on `edge`."""
        return self.left if edge == "left" else self.right


NO_TARGETS = Targets()


@dataclass(frozen=True, slots=True)
class AssumedEdge:
    """What the bench measured on one edge just now; None keeps what the history says."""

    base_bevel_deg: float | None = None
    side_bevel_deg: float | None = None
    facet_width_mm: float | None = None
    edge_height_mm: float | None = None
    edge_width_mm: float | None = None


NOTHING_ASSUMED = AssumedEdge()


@dataclass(frozen=True, slots=True)
class Assumed:
    """What the bench measured just now or wants reckoned with instead of the history.

    Attributes
    ----------
    left, right : AssumedEdge
        Readings of the edges.
    concavity_mm, convexity_mm : float or None
        What a true bar showed, one of the two [mm]; 0 is a flat base.
    base_thickness_mm : float or None
        Base left [mm].
    uncertainty_mm, uncertainty_deg : float or None
        Expanded uncertainty (k = 2) of the lengths and the bevels above; the shop's practice
        where it is None.
    removals : mapping of operation to Removal
        Amounts to reckon with instead of the learned or usual ones.
    """

    left: AssumedEdge = NOTHING_ASSUMED
    right: AssumedEdge = NOTHING_ASSUMED
    concavity_mm: float | None = None
    convexity_mm: float | None = None
    base_thickness_mm: float | None = None
    uncertainty_mm: float | None = None
    uncertainty_deg: float | None = None
    removals: Mapping[str, Removal] = field(default_factory=lambda: NO_REMOVALS)

    def of(self, edge: Edge) -> AssumedEdge:
        """The readings of `edge`."""
        return self.left if edge == "left" else self.right


@dataclass(frozen=True, slots=True, kw_only=True)
class TuneRequest:
    """The tune asked for.

    Attributes
    ----------
    targets : Targets
        Bevels wanted.
    flatness_tolerance_mm : float or None
        Flatten the base to this straightness [mm]; None leaves it as it is.
    spot_flatten : bool
        Flatten only the stretch that is worst, by hand.
    structure : bool
        Cut a ground pattern.
    repair, grind_out : tuple of FindingKey
        Open findings to mend, and gouges or scratches to grind out instead.
    wax : bool
        Wax at the end.
    iron_temperature_c : float or None
        Temperature of the iron [C].
    plane_operation : str
        What the ground plane is made with.
    assumed : Assumed
        What the bench measured just now.
    """

    targets: Targets = NO_TARGETS
    flatness_tolerance_mm: float | None = None
    spot_flatten: bool = False
    structure: bool = False
    repair: tuple[FindingKey, ...] = ()
    grind_out: tuple[FindingKey, ...] = ()
    wax: bool = False
    iron_temperature_c: float | None = None
    plane_operation: PlaneOperation = "stone_grind"
    assumed: Assumed = field(default_factory=Assumed)


@dataclass(frozen=True, slots=True)
class PlanWarning:
    """Something to know before the work begins."""

    code: str
    message: Sentence
    edge: Edge | None = None


def plan_warning(code: str, text: str, edge: Edge | None = None, **figures: Figure) -> PlanWarning:
    """A warning whose sentence keeps its figures."""
    return PlanWarning(code, told(code, text, edge=edge, **figures), edge)


def check_request(request: TuneRequest, state: BenchState) -> None:
    """Refuse a request that no bench could carry out.

    Raises
    ------
    NotFiniteError, OutOfRangeError, BevelOutOfRangeError
        If a number is not finite or outside its range; the field is named as in
        ``targets.left.base_bevel_deg``.
    UnknownFindingError
        If a finding is not open on this ski or can't be ground out.
    UnknownOperationError
        If an amount is stated for an operation that takes nothing off.
    ContradictoryRequestError
        If two wishes exclude each other.
    """
    for edge in EDGES:
        _check_edge(request, edge)
    _check_removals(request)
    _check_lengths(request)
    _check_findings(request, state)
    if request.spot_flatten and request.flatness_tolerance_mm is not None:
        raise ContradictoryRequestError(
            "spot_flatten leaves the rest of the base as it is, and flatness_tolerance_mm asks for "
            "all of it. Give one of the two.",
            field="spot_flatten",
        )


def findings_named(state: BenchState, keys: tuple[FindingKey, ...]) -> tuple[Finding, ...]:
    """The open findings that `keys` name, in that order; a key that names none is passed over."""
    by_key = {finding.key: finding for finding in state.findings}
    return tuple(by_key[key] for key in keys if key in by_key)


def request_warnings(request: TuneRequest) -> tuple[PlanWarning, ...]:
    """What is odd, but possible, about the bevels asked for.

    Notes
    -----
    Source: common practice, no source; the limits are far outside the usual tunes.
    """
    return tuple(
        warning for edge in EDGES for warning in _target_warnings(edge, request.targets.of(edge))
    )


def _target_warnings(edge: Edge, target: EdgeTarget) -> Iterator[PlanWarning]:
    base, side = target.base_bevel_deg, target.side_bevel_deg
    if base is not None and base > USUAL_BASE_BEVEL_DEG:
        text = f"A base bevel of {base:g} deg on the {edge} edge is unusual; most are 0.5 to 1."
        yield plan_warning("unusual-base-bevel", text, edge, base_deg=base)
    if side is not None and side > USUAL_SIDE_BEVEL_DEG:
        text = f"A side bevel of {side:g} deg on the {edge} edge is unusual; most are 1 to 3."
        yield plan_warning("unusual-side-bevel", text, edge, side_deg=side)
    if base is None or side is None:
        return
    angle = included_angle_deg(base, side)
    if angle > SQUARE_DEG:
        text = f"The {edge} edge would be blunter than square: {angle:g} deg."
        yield plan_warning("included-angle-over-90", text, edge, included_deg=angle)


def _check_edge(request: TuneRequest, edge: Edge) -> None:
    target, assumed = request.targets.of(edge), request.assumed.of(edge)
    for holder, bevels in ((f"targets.{edge}", target), (f"assumed.{edge}", assumed)):
        if bevels.base_bevel_deg is not None:
            require_base_bevel(bevels.base_bevel_deg, f"{holder}.base_bevel_deg")
        if bevels.side_bevel_deg is not None:
            require_side_bevel(bevels.side_bevel_deg, f"{holder}.side_bevel_deg")
    lengths = {
        "facet_width_mm": (assumed.facet_width_mm, MAX_FACET_WIDTH_MM),
        "edge_height_mm": (assumed.edge_height_mm, MAX_STEEL_MM),
        "edge_width_mm": (assumed.edge_width_mm, MAX_STEEL_MM),
    }
    for name, (value, most) in lengths.items():
        if value is not None:
            require_positive(value, f"assumed.{edge}.{name}", most)


def _check_lengths(request: TuneRequest) -> None:
    assumed = request.assumed
    lengths = {
        "flatness_tolerance_mm": (request.flatness_tolerance_mm, MAX_OUT_OF_FLAT_MM),
        "assumed.concavity_mm": (assumed.concavity_mm, MAX_OUT_OF_FLAT_MM),
        "assumed.convexity_mm": (assumed.convexity_mm, MAX_OUT_OF_FLAT_MM),
        "assumed.base_thickness_mm": (assumed.base_thickness_mm, MAX_BASE_MM),
        "assumed.uncertainty_mm": (assumed.uncertainty_mm, MAX_STEEL_MM),
        "assumed.uncertainty_deg": (assumed.uncertainty_deg, SQUARE_DEG),
        "iron_temperature_c": (request.iron_temperature_c, MOST_IRON_C),
    }
    for name, (value, most) in lengths.items():
        if value is not None:
            require_not_negative(value, name, most)
    if assumed.concavity_mm is not None and assumed.convexity_mm is not None:
        raise ContradictoryRequestError(
            "assumed.concavity_mm and assumed.convexity_mm exclude each other. Give one.",
            field="assumed.convexity_mm",
        )
    _check_iron(request.iron_temperature_c)


def _check_removals(request: TuneRequest) -> None:
    for operation in request.assumed.removals:
        if operation not in PRACTICE_REMOVALS:
            raise UnknownOperationError(
                f"assumed.removals has no place for {operation!r}. "
                f"Give one of {', '.join(sorted(PRACTICE_REMOVALS))}.",
                field=f"assumed.removals.{operation}",
            )


def _check_iron(iron_temperature_c: float | None) -> None:
    if iron_temperature_c is not None and iron_temperature_c < LEAST_IRON_C:
        raise OutOfRangeError(
            f"iron_temperature_c is {iron_temperature_c:g}, and no wax melts below {LEAST_IRON_C}. "
            "Give degrees Celsius.",
            field="iron_temperature_c",
        )


def _check_findings(request: TuneRequest, state: BenchState) -> None:
    kinds = {finding.key: finding.what for finding in state.findings if finding.open}
    for name, keys in (("repair", request.repair), ("grind_out", request.grind_out)):
        for index, key in enumerate(keys):
            _check_finding(f"{name}[{index}]", key, kinds)
    for index, key in enumerate(request.grind_out):
        if kinds[key] not in GROUND_OUT:
            raise UnknownFindingError(
                f"A finding of {kinds[key]} can't be ground out. Put it under repair.",
                field=f"grind_out[{index}]",
            )
        if key in request.repair:
            raise ContradictoryRequestError(
                "A finding is named under repair and under grind_out. Name it once.",
                field=f"grind_out[{index}]",
            )


def _check_finding(name: str, key: FindingKey, kinds: Mapping[FindingKey, str]) -> None:
    if key not in kinds:
        raise UnknownFindingError(
            f"No open finding {key.index} of record {key.record} on this ski. "
            "Name one that the condition lists as open.",
            field=name,
        )

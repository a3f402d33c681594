"""Skis and settings that the tests of the plan share; all numbers are our own."""

from apps.tuning.history import Finding, FindingKey, Place
from apps.tuning.plan_amounts import Bounded, Rates
from apps.tuning.plan_state import BenchState, BevelState, CrossShape, EdgeState
from apps.tuning.practice import Amount, Practice, Removal

RECORD = "a" * 64

# A bench whose strokes take nothing beyond what geometry asks, so that a sum worked by hand
# stands alone; the structure pass takes exactly 0.01 mm.
PASS = Amount(0.01, 0.01, 0.01)
EXACT = Practice(
    reading_uncertainty_mm=0.0,
    bevel_uncertainty_deg=0.0,
    profile_uncertainty_mm=0.0,
    removals={"structure": Removal(edge_height=PASS, base_thickness=PASS)},
)
EXACT_RATES = Rates(EXACT)


def stands(bevel_deg: float, uncertainty_deg: float = 0.0) -> BevelState:
    return BevelState("stands", Bounded.reading(bevel_deg, uncertainty_deg))


def edge(
    base_deg: float = 1.0,
    side_deg: float = 2.0,
    *,
    facet_mm: float = 2.0,
    height_mm: float = 2.0,
    width_mm: float = 2.0,
    uncertainty_mm: float = 0.0,
) -> EdgeState:
    return EdgeState(
        base_bevel=stands(base_deg),
        side_bevel=stands(side_deg),
        facet_width_mm=Bounded.reading(facet_mm),
        edge_height_mm=Bounded.reading(height_mm, uncertainty_mm),
        edge_width_mm=Bounded.reading(width_mm, uncertainty_mm),
    )


def ski(
    left: EdgeState | None = None,
    right: EdgeState | None = None,
    *,
    shape: CrossShape | None = None,
    base_mm: float = 1.4,
    findings: tuple[Finding, ...] = (),
    groove_mm: float | None = None,
) -> BenchState:
    return BenchState(
        left=left or edge(),
        right=right or edge(),
        base_thickness_mm=Bounded.reading(base_mm),
        shape=CrossShape.concave(0.0) if shape is None else shape,
        findings=findings,
        centre_groove_width_mm=groove_mm,
    )


def finding(
    what: str,
    index: int = 0,
    *,
    depth_mm: float | None = None,
    place: Place | None = None,
    is_open: bool = True,
) -> Finding:
    return Finding(
        key=FindingKey(RECORD, index),
        what=what,
        severity="moderate",
        open=is_open,
        place=place or Place(),
        depth_mm=depth_mm,
    )

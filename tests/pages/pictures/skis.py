"""Invented skis for the tests of the pictures."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from apps.pages.pictures import SectionInput, SkiShape, WidthRow, section_of
from apps.tuning.condition import Condition, fold
from apps.tuning.history import Edge, Finding, FindingKey, Place, Step, Target, Visit
from apps.tuning.material import MaterialLeft
from apps.tuning.practice import Practice
from tests.tuning.visits import TODAY, base, height, side, thickness, visit

PRACTICE = Practice()
DESCRIBED = SkiShape(1700.0, 122.0, 68.0, 104.0, 1430.0)
MEASURED = SkiShape(
    1700.0, row=WidthRow((150.0, 400.0, 750.0, 1100.0, 1480.0), (104.0, 84.0, 68.0, 85.0, 122.0))
)
TARGET = Target(base_bevel_deg=0.5, side_bevel_deg=3.0)


def grind(depth_mm: float | None = None) -> Step:
    return Step("stone_grind", base_removed_mm=depth_mm)


def condition(visits: Iterable[Visit]) -> Condition:
    return fold(visits, practice=PRACTICE, today=TODAY)


def known_edges(depth_mm: float | None = None, facet_mm: float | None = 2.0) -> list[Visit]:
    """Both edges set and measured, and a grind since where a depth is given."""
    edges: tuple[Edge, Edge] = ("left", "right")
    set_up = visit(
        0,
        bevels=(
            *(base(1.0, edge=one, facet=facet_mm) for one in edges),
            *(side(2.0, edge=one) for one in edges),
        ),
        readings=(
            *(height(1.85, one) for one in edges),
            *(height(2.1, one, quantity="edge_width") for one in edges),
            thickness(1.3),
        ),
    )
    return [set_up] if depth_mm is None else [set_up, visit(10, steps=(grind(depth_mm),))]


def section(
    visits: Iterable[Visit], edge: Edge = "left", target: Target | None = None
) -> SectionInput:
    known = list(visits)
    return section_of(condition(known), edge, practice=PRACTICE, visits=known, target=target)


def worn_edge(target: Target | None = None, edge: Edge = "left") -> SectionInput:
    """A facet of 2 mm at 1 degree of which a grind of 0.01 mm took 0.57 mm."""
    return section(known_edges(0.01), edge, target)


def readings_of_a_life() -> list[Visit]:
    """An edge read before and after services, once by practice, once above an earlier reading."""
    return [
        visit(0, readings=(height(2.05, u=0.05),)),
        visit(90, steps=(grind(),), readings=(height(1.93, moment="after", u=0.03),)),
        visit(300, steps=(grind(),), readings=(height(1.84, moment="after", u=None),)),
        visit(420, steps=(grind(),), readings=(height(1.95, moment="after", u=0.03),)),
        visit(600, steps=(grind(),), readings=(height(1.62, moment="after", u=0.03),)),
        visit(700, steps=(grind(),)),
    ]


def only_series(visits: Iterable[Visit]) -> MaterialLeft:
    (known,) = condition(visits).material.known
    return known


def finding(
    record: str, index: int, what: str, place: Place, *, still_open: bool = True
) -> Finding:
    return Finding(FindingKey(record, index), what, "moderate", still_open, place)


def damaged() -> list[Visit]:
    """Open and mended damage on both faces, at stations, at positions and without a place."""
    first = (
        finding("r000", 0, "gouge", Place(surface="base", position_mm=420, length_mm=160)),
        finding("r000", 1, "edge_compressed", Place(edge="left", station="waist")),
        finding("r000", 2, "rust", Place(edge="right", position_mm=1200)),
        finding("r000", 3, "sidewall_damage", Place(surface="right_side", station="forebody")),
        finding("r000", 4, "delamination", Place(station="tip")),
        finding("r000", 5, "scratch", Place(surface="base")),
        finding("r000", 6, "core_shot", Place("left", "base", None, 900), still_open=False),
    )
    patch = Step("patch_base", place=Place(surface="base", station="tail"))
    return [visit(0, findings=first), visit(30, steps=(patch,))]


def day(number: int) -> date:
    return date(2026, number, 28)

"""A history taken apart: what comes before the work, what after it, and where work reached."""

import pytest

from apps.tuning.history import EDGES, BaseProfile, Edge, MaterialQuantity, Place, Step
from apps.tuning.timeline import (
    AFTER,
    BEFORE,
    WORK,
    stated_removal_mm,
    timed_bevels,
    timed_profiles,
    timed_readings,
    timed_steps,
    whereabouts,
    worked_edges,
    works_edge,
)
from tests.tuning.visits import base, grind, height, visit


def test_readings_stand_around_the_work_of_their_visit() -> None:
    readings = (height(1.0), height(2.0, moment="after"), height(3.0, moment="before"))
    visits = (visit(1, readings=readings, steps=(grind(), Step("wax"))), visit(2, steps=(grind(),)))
    found = timed_readings(visits)
    assert [one.item.value_mm for one in found] == [3.0, 1.0, 2.0]
    assert [one.when for one in found] == [(0, BEFORE, 2), (0, AFTER, 0), (0, AFTER, 1)]
    assert [one.when for one in timed_steps(visits)] == [(0, WORK, 0), (0, WORK, 1), (1, WORK, 0)]


def test_profiles_stand_around_the_work_too() -> None:
    profiles = (
        BaseProfile((0.0, 1.0), (0.0, 0.0)),
        BaseProfile((0.0, 2.0), (0.0, 0.0), moment="before"),
    )
    assert [one.when[1] for one in timed_profiles([visit(1, profiles=profiles)])] == [BEFORE, AFTER]


def test_of_one_end_of_a_visit_the_measured_bevel_comes_last() -> None:
    bevels = (base(1.0, basis="measured"), base(2.0), base(3.0, basis="measured", moment="before"))
    found = timed_bevels([visit(1, bevels=bevels)])
    assert [one.item.base_bevel_deg for one in found] == [3.0, 2.0, 1.0]


WAIST, TIP, NOWHERE = Place(station="waist"), Place(station="tip"), Place()
AT_600, AT_700 = Place(position_mm=600), Place(position_mm=700)
FROM_600 = Place(position_mm=600, length_mm=50)


@pytest.mark.parametrize(
    ("worked", "at", "expected"),
    [
        (NOWHERE, WAIST, "here"),
        (Place(edge="left", surface="base"), AT_600, "here"),
        (WAIST, WAIST, "here"),
        (WAIST, TIP, "elsewhere"),
        (WAIST, NOWHERE, "perhaps"),
        (WAIST, AT_600, "perhaps"),
        (AT_600, WAIST, "perhaps"),
        (AT_600, AT_600, "here"),
        (AT_600, AT_700, "perhaps"),
        (FROM_600, Place(position_mm=650), "here"),
        (FROM_600, Place(position_mm=651), "elsewhere"),
        (FROM_600, Place(position_mm=599), "elsewhere"),
        (Place(station="waist", position_mm=600, length_mm=5), WAIST, "here"),
    ],
)
def test_where_work_reached(worked: Place, at: Place, expected: str) -> None:
    assert whereabouts(worked, at) == expected


@pytest.mark.parametrize(
    ("step", "edges"),
    [
        (Step("side_bevel"), EDGES),
        (Step("side_bevel", edges=("right",)), ("right",)),
        (Step("side_bevel", place=Place(edge="left")), ("left",)),
    ],
)
def test_a_place_narrows_the_edges_down(step: Step, edges: tuple[Edge, ...]) -> None:
    assert worked_edges(step) == edges
    assert works_edge(step, "left") == ("left" in edges)
    assert works_edge(step, None)


STEEL = Step("stone_grind", edge_height_removed_mm=0.05)
BASE = Step("stone_grind", base_removed_mm=0.04)
BOTH = Step("stone_grind", edge_height_removed_mm=0.05, base_removed_mm=0.04)


@pytest.mark.parametrize(
    ("step", "quantity", "expected"),
    [
        (STEEL, "edge_height", 0.05),
        (STEEL, "base_thickness", 0.05),
        (STEEL, "edge_width", None),
        (BASE, "edge_height", 0.04),
        (BASE, "base_thickness", 0.04),
        (BOTH, "edge_height", 0.05),
        (BOTH, "base_thickness", 0.04),
        (Step("stone_grind", base_removed_mm=0.0), "edge_height", 0.0),
        (Step("stone_grind"), "edge_height", None),
        (Step("scrape_steel", base_removed_mm=0.04), "edge_height", None),
        (Step("side_bevel", edge_width_removed_mm=0.02), "edge_width", 0.02),
    ],
)
def test_a_flat_grind_takes_steel_and_base_alike(
    step: Step, quantity: MaterialQuantity, expected: float | None
) -> None:
    assert stated_removal_mm(step, quantity) == expected

"""The corners of an edge against published gauge tables and plain trigonometry."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.pages.pictures.edge_shape import (
    MOST_LEAN,
    EdgeShape,
    lost_between,
    slopes_for,
    wanted,
)
from apps.tuning.edge_steel import facet_after_grind_mm, least_grind_to_close_mm

BASES, SIDES, FACETS = st.floats(0.1, 5.0), st.floats(0.0, 10.0), st.floats(0.5, 6.0)


def edge(base_deg: float = 1.0, side_deg: float = 2.0, facet_mm: float = 2.0) -> EdgeShape:
    return EdgeShape(2.0, 2.1, base_deg, side_deg, facet_mm)


# Right triangle with legs w and d: tangents from a printed table to eight digits. The first is
# also published as 17 um (carving-ski.de, thread 20039).
@pytest.mark.parametrize(
    ("base_deg", "drop_mm"), [(0.5, 0.017454), (1, 0.034910), (2, 0.069842), (0, 0.0)]
)
def test_the_corner_is_drawn_as_high_as_it_drops(base_deg: float, drop_mm: float) -> None:
    assert edge(base_deg).corner() == pytest.approx((0.0, drop_mm), abs=1e-6)
    assert edge(base_deg).corner(10.0) == pytest.approx((0.0, 10.0 * drop_mm), abs=1e-5)


# Derived from the triangle under the side face: 2 tan 1 = 0.034910, 2 tan 3 = 0.104816.
@pytest.mark.parametrize(("side_deg", "lean_mm"), [(1, 0.034910), (3, 0.104816), (0, 0.0)])
def test_the_side_face_leans_inwards(side_deg: float, lean_mm: float) -> None:
    across, up = edge(side_deg=side_deg).top()
    assert across == pytest.approx(lean_mm, abs=1e-6)
    assert up == pytest.approx(2.0 + edge().drop_mm)


def test_the_steel_is_drawn_all_round() -> None:
    top, corner, end, inner, inner_top = edge().steel()
    assert (corner, end) == (edge().corner(), (2.0, 0.0))
    assert inner == (2.1, 0.0)
    assert inner_top == (2.1, top[1])


# 6 mm is a facet measured on a ski (carving-ski.de post 181188): it runs on into the base.
def test_a_facet_wider_than_the_steel_runs_on_into_the_base() -> None:
    wide = edge(facet_mm=6.0)
    inner = wide.steel()[-2]
    assert inner == pytest.approx((2.1, 3.9 * math.tan(math.radians(1.0))))
    assert wide.underside(7.0)[1:] == ((6.0, 0.0), (7.0, 0.0))


# Derived: cot 1 degree is 57.289962 in printed tables, so 2 - 0.02 * 57.289962 = 0.854201.
def test_what_a_grind_took_lies_between_the_old_plane_and_the_new() -> None:
    left_mm = facet_after_grind_mm(2.0, 1.0, 0.02)
    assert left_mm == pytest.approx(0.854201, abs=1e-6)
    now = edge(facet_mm=left_mm)
    assert now.ground_off(2.0) == pytest.approx(0.02)
    end, old_end, far, above = lost_between(now, 2.0, 3.0, 5.0)
    assert end == (left_mm, 0.0)
    assert old_end == pytest.approx((2.0, -0.1))
    assert (far[0], above) == (3.0, (3.0, 0.0))
    assert far[1] == old_end[1]


# Derived: 0.034931 mm closes 2 degrees to 1 on 2 mm (tests of apps.tuning.edge_steel).
def test_a_smaller_base_bevel_asks_for_a_lower_base_and_leaves_the_corner() -> None:
    now = edge(base_deg=2.0)
    _top, corner, end, far = wanted(now, 1.0, 2.0, 3.0, 1.0)
    assert corner == pytest.approx(now.corner())
    assert end == pytest.approx((2.0, 0.034931), abs=1e-6)
    assert far == pytest.approx((3.0, end[1]))
    assert end[1] == least_grind_to_close_mm(2.0, 2.0, 1.0)


# Derived: 0.017456 mm of steel at the corner opens half a degree to 1 on 2 mm.
def test_a_greater_base_bevel_is_filed_about_the_inner_end_of_the_facet() -> None:
    now = edge(base_deg=0.5, side_deg=0.0)
    _top, corner, end, _far = wanted(now, 1.0, 0.0, 3.0, 1.0)
    assert end == now.facet_end()
    assert corner[1] - now.corner()[1] == pytest.approx(0.017456, abs=1e-6)


# Derived: 0.069905 mm lies between 1 and 3 degrees on 2 mm of height.
def test_more_side_bevel_leaves_the_corner_and_takes_the_top() -> None:
    now = edge(side_deg=1.0)
    top, corner, _end, _far = wanted(now, 1.0, 3.0, 3.0, 1.0)
    assert corner == pytest.approx(now.corner())
    assert top[0] - now.top()[0] == pytest.approx(0.069905, abs=1e-6)


def test_less_side_bevel_leaves_the_top_and_moves_the_corner_in() -> None:
    now = edge(side_deg=3.0)
    top, corner, _end, _far = wanted(now, 1.0, 1.0, 3.0, 1.0)
    assert top == pytest.approx(now.top())
    # The corner also rides up the facet, by less than a hundredth of what it moves in.
    assert corner[0] == pytest.approx(0.069905, rel=1e-3)


@given(base_deg=BASES, side_deg=SIDES, facet_mm=FACETS, to_base=BASES, to_side=SIDES)
def test_nothing_wanted_lies_outside_the_edge_that_is_there(
    base_deg: float, side_deg: float, facet_mm: float, to_base: float, to_side: float
) -> None:
    now = edge(base_deg, side_deg, facet_mm)
    top, corner, end, far = wanted(now, to_base, to_side, 8.0, 1.0)
    assert corner[0] >= -1e-9
    assert corner[1] >= now.under(corner[0])[1] - 1e-9
    assert top[0] >= now.top()[0] - 1e-9
    assert end[1] >= -1e-12
    assert far[1] == end[1]


@given(base_deg=BASES, side_deg=SIDES, facet_mm=FACETS, to_base=BASES, to_side=SIDES)
def test_what_is_wanted_has_the_bevels_that_are_wanted(
    base_deg: float, side_deg: float, facet_mm: float, to_base: float, to_side: float
) -> None:
    now = edge(base_deg, side_deg, facet_mm)
    top, corner, end, _far = wanted(now, to_base, to_side, 8.0, 1.0)
    side = math.degrees(math.atan2(top[0] - corner[0], top[1] - corner[1]))
    base = math.degrees(math.atan2(corner[1] - end[1], end[0] - corner[0]))
    assert (base, side) == pytest.approx((to_base, to_side), abs=1e-6)


@given(base_deg=BASES, side_deg=SIDES, facet_mm=FACETS)
def test_bevels_are_drawn_steep_and_leave_the_edge_an_edge(
    base_deg: float, side_deg: float, facet_mm: float
) -> None:
    shape = edge(base_deg, side_deg, facet_mm)
    slopes = slopes_for(shape)
    if slopes > 1:
        assert shape.top(slopes)[0] <= MOST_LEAN * shape.width_mm
        assert shape.corner(slopes)[1] <= MOST_LEAN * shape.height_mm


def test_edges_side_by_side_are_drawn_equally_steep() -> None:
    gentle, steep = edge(0.5, 1.0), edge(1.0, 5.0)
    assert slopes_for(gentle) > slopes_for(steep) == slopes_for(gentle, steep)
    assert slopes_for(edge(5.0, 10.0, 6.0), edge(0.1, 0.0)) == 1


def test_the_underside_only_falls_from_the_corner_inwards() -> None:
    for facet_mm in (0.0, 1.0, 2.1, 6.0):
        ups = [up for _, up in edge(facet_mm=facet_mm).underside(7.0)]
        assert all(later <= earlier for earlier, later in pairwise(ups))

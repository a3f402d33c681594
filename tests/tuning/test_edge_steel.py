"""What opening, closing and grinding take off an edge, against trigonometry and laws."""

import math
from collections.abc import Callable
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.bevel import corner_drop_mm
from apps.tuning.edge_estimates import (
    bevel_from_gap_estimate,
    corner_drop_estimate,
    facet_after_grind_estimate,
    least_grind_to_close_estimate,
)
from apps.tuning.edge_steel import (
    LEAST_BASE_BEVEL_DEG,
    bevel_after_grind_deg,
    facet_after_grind_mm,
    facet_margin_mm,
    least_grind_to_close_mm,
    opening_base_bevel,
    steel_off_side_mm,
)
from apps.tuning.errors import (
    BevelOutOfRangeError,
    NotFiniteError,
    OutOfRangeError,
    WrongDirectionError,
)
from apps.tuning.uncertainty import Estimate

FACETS = st.floats(0.1, 10.0)
BEVELS = st.floats(0.1, 5.0)
GRINDS = st.floats(0.0, 0.2)


# Derived: difference of the two corner drops, and the triangle between the two facets.
def test_opening_a_base_bevel() -> None:
    opening = opening_base_bevel(2.0, 0.5, 1.0)
    assert opening.corner_steel_mm == pytest.approx(0.017456, abs=1e-6)
    assert opening.wedge_area_mm2 == pytest.approx(0.017456, abs=1e-6)


# Derived: the corner has to come from one drop to the other. 6 mm is a facet measured on a ski
# (carving-ski.de post 181188).
@pytest.mark.parametrize(
    ("facet_mm", "from_deg", "to_deg", "grind_mm"),
    [(2, 2, 1, 0.034931), (6, 2, 1, 0.104794), (2, 1, 0, 0.034910), (2, 1, 1, 0.0)],
)
def test_least_grind_to_close(
    facet_mm: float, from_deg: float, to_deg: float, grind_mm: float
) -> None:
    assert least_grind_to_close_mm(facet_mm, from_deg, to_deg) == pytest.approx(grind_mm, abs=1e-6)


# Derived from the triangle between the old and the new side face.
@pytest.mark.parametrize(
    ("from_deg", "to_deg", "steel_mm", "taken_at"),
    [(1, 3, 0.069905, "top"), (3, 1, 0.069905, "corner"), (2, 2, 0.0, "nowhere")],
)
def test_steel_off_the_side(from_deg: float, to_deg: float, steel_mm: float, taken_at: str) -> None:
    change = steel_off_side_mm(2.0, from_deg, to_deg)
    assert change.steel_mm == pytest.approx(steel_mm, abs=1e-6)
    assert change.taken_at == taken_at


# Derived: the base plane cuts the facet g / tan b further out; cot 1 degree is 57.289962 in
# printed tables, so 2 - 0.02 * 57.289962.
def test_facet_after_a_grind() -> None:
    assert facet_after_grind_mm(2.0, 1.0, 0.02) == pytest.approx(0.854201, abs=1e-6)
    assert bevel_after_grind_deg(2.0, 1.0, 0.02) == 1.0


def test_a_grind_as_deep_as_the_corner_leaves_no_facet() -> None:
    depth_mm = corner_drop_mm(2.0, 1.0)
    assert facet_after_grind_mm(2.0, 1.0, depth_mm) == pytest.approx(0.0, abs=1e-12)
    assert facet_after_grind_mm(2.0, 1.0, depth_mm + 0.001) == 0.0
    assert bevel_after_grind_deg(2.0, 1.0, depth_mm + 0.001) == 0.0
    assert facet_margin_mm(2.0, 1.0, 2 * depth_mm) == pytest.approx(-2.0)


@pytest.mark.parametrize("flat_deg", [0.0, LEAST_BASE_BEVEL_DEG / 2, 5e-324])
def test_a_flat_edge_has_no_facet_to_lose(flat_deg: float) -> None:
    assert facet_after_grind_mm(2.0, flat_deg, 0.0) == 0.0
    assert facet_after_grind_mm(2.0, flat_deg, 0.05) == 0.0
    assert bevel_after_grind_deg(2.0, flat_deg, 0.05) == 0.0
    with pytest.raises(BevelOutOfRangeError, match="no facet"):
        facet_margin_mm(2.0, flat_deg, 0.05)


def test_the_least_bevel_that_is_not_flat_has_a_facet() -> None:
    assert facet_after_grind_mm(2.0, LEAST_BASE_BEVEL_DEG, 0.0) == 2.0


@given(facet_mm=FACETS, bevel_deg=BEVELS, first_mm=GRINDS, second_mm=GRINDS)
def test_two_grinds_leave_what_their_sum_leaves(
    facet_mm: float, bevel_deg: float, first_mm: float, second_mm: float
) -> None:
    between = facet_after_grind_mm(facet_mm, bevel_deg, first_mm)
    twice = facet_after_grind_mm(between, bevel_deg, second_mm)
    once = facet_after_grind_mm(facet_mm, bevel_deg, first_mm + second_mm)
    assert twice == pytest.approx(once, abs=1e-9)
    assert twice <= between <= facet_mm


@given(facet_mm=FACETS, one_deg=BEVELS, other_deg=BEVELS)
def test_opening_then_closing_never_gains_steel(
    facet_mm: float, one_deg: float, other_deg: float
) -> None:
    less, more = sorted((one_deg, other_deg))
    opened = opening_base_bevel(facet_mm, less, more)
    grind_mm = least_grind_to_close_mm(facet_mm, more, less)
    assert opened.corner_steel_mm >= 0.0
    assert opened.wedge_area_mm2 >= 0.0
    assert grind_mm >= 0.0
    # The corner was filed down first, so the grind has to follow it all the way.
    assert grind_mm == pytest.approx(opened.corner_steel_mm)


@given(facet_mm=FACETS, one_deg=BEVELS, other_deg=BEVELS)
def test_after_the_least_grind_the_new_bevel_meets_the_corner(
    facet_mm: float, one_deg: float, other_deg: float
) -> None:
    less, more = sorted((one_deg, other_deg))
    grind_mm = least_grind_to_close_mm(facet_mm, more, less)
    left_mm = facet_after_grind_mm(facet_mm, more, grind_mm)
    assert corner_drop_mm(left_mm, more) == pytest.approx(corner_drop_mm(facet_mm, less), abs=1e-9)


@given(height_mm=st.floats(0.1, 3.0), one_deg=st.floats(0, 10), other_deg=st.floats(0, 10))
def test_a_side_bevel_there_and_back_costs_both_ends(
    height_mm: float, one_deg: float, other_deg: float
) -> None:
    there = steel_off_side_mm(height_mm, one_deg, other_deg)
    back = steel_off_side_mm(height_mm, other_deg, one_deg)
    assert there.steel_mm == back.steel_mm >= 0.0
    assert {there.taken_at, back.taken_at} in ({"top", "corner"}, {"nowhere"})


# The other way needs the other tool: a file can't close and a grind can't open a bevel.
def test_the_wrong_direction_is_refused() -> None:
    with pytest.raises(WrongDirectionError, match="grind") as refusal:
        opening_base_bevel(2.0, 1.0, 0.5)
    assert refusal.value.field == "to_base_bevel_deg"
    with pytest.raises(WrongDirectionError, match="filing"):
        least_grind_to_close_mm(2.0, 0.5, 1.0)


@pytest.mark.parametrize(
    ("refused", "field"),
    [
        (partial(opening_base_bevel, 2.0, -1.0, 1.0), "from_base_bevel_deg"),
        (partial(opening_base_bevel, 2.0, 1.0, 5.1), "to_base_bevel_deg"),
        (partial(least_grind_to_close_mm, 2.0, 6.0, 1.0), "from_base_bevel_deg"),
        (partial(least_grind_to_close_mm, 31.0, 2.0, 1.0), "facet_width_mm"),
        (partial(facet_after_grind_mm, 2.0, 1.0, -0.01), "grind_mm"),
        (partial(facet_after_grind_mm, 2.0, 0.0, -0.01), "grind_mm"),
        (partial(facet_after_grind_mm, -2.0, 0.0, 0.01), "facet_width_mm"),
        (partial(facet_after_grind_mm, 2.0, -1.0, 0.01), "base_bevel_deg"),
        (partial(steel_off_side_mm, 0.0, 1.0, 2.0), "edge_height_mm"),
        (partial(steel_off_side_mm, 2000.0, 1.0, 2.0), "edge_height_mm"),
        (partial(steel_off_side_mm, 2.0, 88.0, 2.0), "from_side_bevel_deg"),
        (partial(steel_off_side_mm, 2.0, 2.0, 88.0), "to_side_bevel_deg"),
    ],
)
def test_inputs_out_of_range_are_named(refused: Callable[[], object], field: str) -> None:
    with pytest.raises(OutOfRangeError) as refusal:
        refused()
    assert refusal.value.field == field


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_refused(number: float) -> None:
    for formula in (
        lambda: opening_base_bevel(2.0, 0.5, number),
        lambda: opening_base_bevel(number, 0.5, 1.0),
        lambda: least_grind_to_close_mm(2.0, number, 1.0),
        lambda: facet_after_grind_mm(2.0, number, 0.01),
        lambda: facet_after_grind_mm(2.0, 0.0, number),
        lambda: steel_off_side_mm(number, 1.0, 2.0),
    ):
        with pytest.raises(NotFiniteError, match="ordinary number"):
            formula()


def by_differences(formula: Callable[..., float], *inputs: Estimate) -> float:
    """Propagate uncertainty by central differences, a way of its own beside the formulas."""
    values = [entry.value for entry in inputs]
    parts = []
    for place, entry in enumerate(inputs):
        step = 1e-6
        up = [*values[:place], values[place] + step, *values[place + 1 :]]
        down = [*values[:place], values[place] - step, *values[place + 1 :]]
        parts.append((formula(*up) - formula(*down)) / (2 * step) * entry.standard_uncertainty)
    return math.hypot(*parts)


# JCGM 100:2008, note to 5.1.3: the sensitivities may be found by differences.
@given(facet_mm=st.floats(0.5, 6.0), bevel_deg=st.floats(0.3, 4.5), grind_mm=st.floats(0.001, 0.1))
def test_propagated_uncertainty_matches_differences(
    facet_mm: float, bevel_deg: float, grind_mm: float
) -> None:
    facet, bevel = Estimate(facet_mm, 0.1), Estimate(bevel_deg, 0.1)
    grind = Estimate(grind_mm, 0.005)
    left = facet_after_grind_estimate(facet, bevel, grind)
    assert left.margin.value == facet_margin_mm(facet_mm, bevel_deg, grind_mm)
    assert left.width_mm == facet_after_grind_mm(facet_mm, bevel_deg, grind_mm)
    assert left.margin.standard_uncertainty == pytest.approx(
        by_differences(facet_margin_mm, facet, bevel, grind), rel=1e-4
    )
    drop = corner_drop_estimate(facet, bevel)
    assert drop.standard_uncertainty == pytest.approx(
        by_differences(corner_drop_mm, facet, bevel), rel=1e-4
    )


def test_uncertainty_of_gauge_and_closing_matches_differences() -> None:
    gap, facet, bevel = Estimate(0.03, 0.003), Estimate(2.0, 0.1), Estimate(2.0, 0.1)
    read = bevel_from_gap_estimate(gap, facet)
    degrees = by_differences(lambda g, w: math.degrees(math.atan(g / w)), gap, facet)
    assert read.standard_uncertainty == pytest.approx(degrees, rel=1e-6)
    close = least_grind_to_close_estimate(facet, bevel, 1.0)
    assert close.value == pytest.approx(0.034931, abs=1e-6)
    assert close.standard_uncertainty == pytest.approx(
        by_differences(lambda w, b: least_grind_to_close_mm(w, b, 1.0), facet, bevel), rel=1e-6
    )

"""What a bevel asks of one edge; our own numbers on the geometry of the facet and the side."""

from dataclasses import replace
from math import radians, tan

import pytest

from apps.tuning.edge_change import closing_demand, facet_now, opening_steel, side_demand
from apps.tuning.plan_amounts import Bounded
from apps.tuning.plan_state import BevelState, EdgeState
from apps.tuning.practice import Practice
from tests.tuning.plan_cases import EXACT, edge, stands


def test_unmeasured_facet_is_assumed_between_the_limits_of_practice() -> None:
    practice = Practice(facet_width_mm=2.0, facet_width_uncertainty_mm=0.5)
    facet = facet_now(EdgeState(), practice)
    assert facet.assumed
    assert facet.basis == "practice"
    assert facet.width_mm == Bounded(2.0, 1.5, 2.5)


def test_a_facet_that_rests_on_practice_stays_assumed() -> None:
    facet = facet_now(replace(edge(), facet_measured=False), EXACT)
    assert facet.assumed
    assert facet.width_mm.value == 2.0


def test_facet_of_no_width_is_none_measured() -> None:
    assert facet_now(replace(edge(), facet_width_mm=Bounded.reading(0.0)), EXACT).assumed


def test_closing_with_an_uncertain_bevel() -> None:
    # 1.0 +- 0.25 to 0.5 on a facet of 2: limits 2 (tan 0.75 - tan 0.5) and 2 (tan 1.25 - tan 0.5).
    now = replace(edge(), base_bevel=stands(1.0, 0.25))
    taken = closing_demand(now, 0.5, EXACT).taken
    half = tan(radians(0.5))
    assert taken.low_mm == pytest.approx(2.0 * (tan(radians(0.75)) - half))
    assert taken.usual_mm == pytest.approx(2.0 * (tan(radians(1.0)) - half))
    assert taken.high_mm == pytest.approx(2.0 * (tan(radians(1.25)) - half))


def test_closing_on_an_assumed_facet_rests_on_practice() -> None:
    now = replace(edge(), facet_width_mm=None)
    practice = Practice(facet_width_mm=2.0, facet_width_uncertainty_mm=0.5)
    taken = closing_demand(now, 0.5, practice).taken
    each = tan(radians(1.0)) - tan(radians(0.5))
    assert (taken.low_mm, taken.usual_mm, taken.high_mm) == pytest.approx(
        (1.5 * each, 2.0 * each, 2.5 * each)
    )
    assert taken.basis == "practice"


def test_opening_takes_the_corner_down() -> None:
    # 2 (tan 1 - tan 0.5) = 0.017456 (derived).
    taken = opening_steel(edge(0.5), 1.0, EXACT)
    assert taken.usual_mm == pytest.approx(0.017456, abs=1e-6)
    assert taken.basis == "geometry"


def test_opening_with_an_uncertain_bevel_may_be_nothing() -> None:
    now = replace(edge(), base_bevel=stands(0.9, 0.25))
    taken = opening_steel(now, 1.0, EXACT)
    assert taken.low_mm == 0.0
    assert taken.high_mm == pytest.approx(2.0 * (tan(radians(1.0)) - tan(radians(0.65))))


def test_opening_an_unknown_bevel_is_at_most_the_whole() -> None:
    taken = opening_steel(EdgeState(facet_width_mm=Bounded.reading(2.0)), 1.0, EXACT)
    assert (taken.low_mm, taken.usual_mm) == (0.0, 0.0)
    assert taken.high_mm == pytest.approx(0.034910, abs=1e-6)
    assert taken.basis == "practice"


def test_setting_a_ground_away_bevel_anew_opens_all_of_it() -> None:
    gone = replace(edge(), base_bevel=BevelState("ground_away", Bounded.reading(1.0)))
    assert opening_steel(gone, 1.0, EXACT).usual_mm == pytest.approx(0.034910, abs=1e-6)


def test_same_bevel_asks_for_nothing() -> None:
    assert not closing_demand(edge(1.0), 1.0, EXACT).taken.possible
    assert not opening_steel(edge(1.0), 1.0, EXACT).possible
    assert not side_demand(edge(), 2.0).corner.possible


def test_more_side_bevel_keeps_the_corner() -> None:
    # 2 (tan 3 - tan 1) = 0.069905 (derived).
    demand = side_demand(edge(side_deg=1.0), 3.0)
    assert demand.top.usual_mm == pytest.approx(0.069905, abs=1e-6)
    assert not demand.corner.possible


def test_less_side_bevel_moves_the_corner_in() -> None:
    demand = side_demand(edge(side_deg=3.0), 1.0)
    assert demand.corner.usual_mm == pytest.approx(0.069905, abs=1e-6)
    assert not demand.top.possible


@pytest.mark.parametrize(("wanted_deg", "moves"), [(1.8, True), (2.2, False)])
def test_uncertain_side_bevel_gives_an_interval(wanted_deg: float, *, moves: bool) -> None:
    now = replace(edge(), side_bevel=stands(2.0, 0.5))
    demand = side_demand(now, wanted_deg)
    taken = demand.corner if moves else demand.top
    far = 2.5 if moves else 1.5
    assert taken.low_mm == 0.0
    assert taken.usual_mm == pytest.approx(2.0 * abs(tan(radians(2.0)) - tan(radians(wanted_deg))))
    assert taken.high_mm == pytest.approx(2.0 * abs(tan(radians(far)) - tan(radians(wanted_deg))))


def test_surely_steeper_side_bevel_has_a_least() -> None:
    taken = side_demand(replace(edge(), side_bevel=stands(3.0, 0.5)), 1.0).corner
    assert taken.low_mm == pytest.approx(2.0 * (tan(radians(2.5)) - tan(radians(1.0))))


def test_unknown_side_bevel_is_bracketed() -> None:
    demand = side_demand(replace(edge(), side_bevel=BevelState()), 2.0)
    # Up to the steepest usual side bevel, 4 degrees, and down to none.
    assert demand.corner.high_mm == pytest.approx(2.0 * (tan(radians(4.0)) - tan(radians(2.0))))
    assert demand.top.high_mm == pytest.approx(2.0 * tan(radians(2.0)))
    assert demand.corner.basis == "practice"


def test_uncertain_steep_side_bevel_widens_the_bracket() -> None:
    maybe = replace(edge(), side_bevel=BevelState("uncertain", Bounded.reading(6.0)))
    taken = side_demand(maybe, 2.0).corner
    assert taken.high_mm == pytest.approx(2.0 * (tan(radians(6.0)) - tan(radians(2.0))))


def test_side_bevel_without_a_height_is_not_known() -> None:
    assert not side_demand(replace(edge(), edge_height_mm=None), 1.0).known
    assert side_demand(replace(edge(), edge_height_mm=None), 2.0).known

"""Amounts between limits; own numbers, the sums worked by hand."""

from math import hypot, nan

import pytest

from apps.tuning.errors import NotFiniteError, OutOfRangeError
from apps.tuning.plan_amounts import (
    NOTHING_TAKEN,
    Bounded,
    Budget,
    Rates,
    Spent,
    Taken,
    TakenBasis,
    largest,
    on_edges,
)
from apps.tuning.practice import Amount, Practice, Removal
from apps.tuning.rates import RemovalPair, learn_rates


def taken(low: float, usual: float, high: float, basis: TakenBasis = "geometry") -> Taken:
    return Taken(low, usual, high, basis)


def test_a_reading_has_no_limit_below_nothing() -> None:
    assert Bounded.reading(0.02, 0.05) == Bounded(0.02, 0.0, 0.07)


def test_limits_out_of_order_are_refused() -> None:
    with pytest.raises(OutOfRangeError):
        Bounded(1.0, 1.1, 1.2)
    with pytest.raises(NotFiniteError):
        Bounded(nan, 0.0, 1.0)
    with pytest.raises(OutOfRangeError):
        taken(0.1, 0.05, 0.2)
    with pytest.raises(OutOfRangeError):
        taken(-0.1, 0.0, 0.2)


def test_limits_that_changed_sides_are_put_in_order() -> None:
    assert Bounded.around(3.0, 2.0, 1.0) == Bounded(2.0, 1.0, 3.0)


def test_what_is_left_combines_each_side_by_itself() -> None:
    # JCGM 100:2008, 5.1.2: below sqrt(0.04^2 + 0.03^2) = 0.05, above sqrt(0.04^2 + 0.02^2).
    left = Bounded.reading(1.0, 0.04).less(taken(0.03, 0.05, 0.08))
    assert left.value == pytest.approx(0.95)
    assert left.low == pytest.approx(0.90)
    assert left.high == pytest.approx(0.95 + hypot(0.04, 0.02))


def test_larger_is_taken_limit_by_limit() -> None:
    found = taken(0.01, 0.02, 0.03).larger(taken(0.0, 0.01, 0.09, "practice"))
    assert (found.low_mm, found.usual_mm, found.high_mm) == (0.01, 0.02, 0.09)
    assert found.basis == "practice"


def test_the_one_that_rules_keeps_its_basis() -> None:
    small, great = taken(0.0, 0.01, 0.02, "practice"), taken(0.05, 0.05, 0.05)
    assert small.larger(great).basis == "geometry"
    assert great.larger(small).basis == "geometry"
    assert largest([]) == NOTHING_TAKEN


def test_a_sum_rests_on_its_weakest_part() -> None:
    bases = [
        taken(0.1, 0.1, 0.1).plus(taken(0.0, 0.1, 0.2, other)).basis
        for other in ("geometry", "readings", "stated", "practice")
    ]
    assert bases == ["geometry", "readings", "stated", "practice"]
    assert NOTHING_TAKEN.plus(NOTHING_TAKEN).basis == "geometry"


def test_spent_by_budget() -> None:
    some = taken(0.1, 0.2, 0.3)
    spent = Spent(on_edges(some, ("left",)), on_edges(some, ("right",)), some)
    twice = spent.plus(spent)
    assert twice.of(Budget("edge_height", "left")).usual_mm == pytest.approx(0.4)
    assert not twice.of(Budget("edge_height", "right")).possible
    assert twice.of(Budget("edge_width", "right")).usual_mm == pytest.approx(0.4)
    assert twice.of(Budget("base_thickness")).usual_mm == pytest.approx(0.4)


def test_budgets_have_names_for_people() -> None:
    assert Budget("edge_height", "left").words == "edge height of the left edge"
    assert Budget("base_thickness").words == "base thickness"


def test_readings_come_before_practice_and_the_request_before_both() -> None:
    pairs = [
        RemovalPair("stone_grind", "edge_height", 1.50, 1.50 - removed, 0.0)
        for removed in (0.03, 0.04, 0.05)
    ]
    learned = tuple(learn_rates(pairs, Practice()))
    rates = Rates(Practice(), learned)
    own = rates.taken("stone_grind", "edge_height")
    assert own.basis == "readings"
    assert own.usual_mm == pytest.approx(0.04)
    assert rates.taken("stone_grind", "base_thickness").basis == "practice"
    assert rates.taken("structure", "edge_height").basis == "practice"
    stated = {"stone_grind": Removal(edge_height=Amount(0.1, 0.1, 0.1))}
    found = Rates(Practice(), learned, stated).taken("stone_grind", "edge_height")
    assert found == taken(0.1, 0.1, 0.1, "stated")
    assert rates.taken("brush", "edge_height") == NOTHING_TAKEN


def test_a_rate_that_fell_back_to_practice_is_called_practice() -> None:
    learned = learn_rates([RemovalPair("stone_grind", "edge_height", 1.5, 1.4, 0.0)], Practice())
    assert Rates(Practice(), learned).taken("stone_grind", "edge_height").basis == "practice"

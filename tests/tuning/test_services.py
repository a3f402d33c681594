"""Services and seasons left against the published sum, and whose rate it is."""

import math

import pytest

from apps.tuning.errors import NotFiniteError, OutOfRangeError
from apps.tuning.practice import Amount, Practice, Removal
from apps.tuning.rates import RemovalPair, learn_rates
from apps.tuning.services import ServiceRate, seasons_left, service_rate, services_left

FIXED = ServiceRate(0.066, 0.066, 0.066, "stated")


# Published sum: novinky.cz 2023-11, reserve 1.0 mm, 0.066 mm a service, 3 services a season.
def test_published_sum() -> None:
    left = services_left(1.0, 1.0, 1.0, FIXED)
    assert (left.services, left.low, left.high) == (15, 15, 15)
    assert left.services is not None
    assert seasons_left(left.services, 3) == 5


# Derived: 0.3 / 0.1 is 2.9999999999999996 in binary, and three services all the same.
def test_a_whole_quotient_is_not_lost_to_rounding() -> None:
    assert services_left(0.3, 0.3, 0.3, ServiceRate(0.1, 0.1, 0.1, "stated")).services == 3
    assert seasons_left(3, 0.1) == 30


def test_the_interval_takes_the_worst_of_both() -> None:
    left = services_left(0.5, 0.4, 0.6, ServiceRate(0.05, 0.1, 0.2, "practice"))
    assert (left.low, left.services, left.high) == (2, 5, 12)


def test_nothing_left_is_no_service_and_no_rate_is_no_number() -> None:
    below = services_left(-0.1, -0.2, 0.05, ServiceRate(0.0, 0.1, 0.2, "practice"))
    assert (below.low, below.services, below.high) == (0, 0, None)
    none = services_left(1.0, 1.0, 1.0, ServiceRate(0.0, 0.0, 0.0, "practice"))
    assert (none.low, none.services, none.high) == (None, None, None)


def test_impossible_rates_are_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        ServiceRate(0.2, 0.1, 0.3, "stated")
    assert refused.value.field == "usual_mm"
    with pytest.raises(OutOfRangeError):
        ServiceRate(-0.2, 0.1, 0.3, "stated")
    with pytest.raises(NotFiniteError):
        services_left(math.nan, 0.0, 0.0, FIXED)
    with pytest.raises(OutOfRangeError):
        seasons_left(15, 0)
    with pytest.raises(OutOfRangeError):
        seasons_left(-1, 3)


# Practice of the defaults, derived: a stone grind and a base bevel, the limits at their worst.
def test_a_service_is_the_sum_of_its_operations() -> None:
    rate = service_rate("edge_height", Practice())
    assert (rate.low_mm, rate.usual_mm, rate.high_mm) == pytest.approx((0.02, 0.06, 0.15))
    assert rate.basis == "practice"
    assert service_rate("edge_width", Practice()).usual_mm == pytest.approx(0.03)


def test_learned_rates_stand_in_for_practice_operation_by_operation() -> None:
    pairs = [
        RemovalPair("stone_grind", "edge_height", 1.80, 1.76, 0.01),
        RemovalPair("stone_grind", "edge_height", 1.70, 1.66, 0.01),
        RemovalPair("stone_grind", "edge_height", 1.60, 1.56, 0.01),
        RemovalPair("base_bevel", "edge_height", 1.60, 1.59, 0.01),
    ]
    learned = learn_rates(pairs, Practice())
    assert service_rate("edge_height", Practice(), learned).basis == "practice"
    assert service_rate("edge_height", Practice(), learned).usual_mm == pytest.approx(0.05)
    grind_only = Practice(service_operations=("stone_grind", "deburr"))
    rate = service_rate("edge_height", grind_only, learned)
    assert rate.basis == "readings"
    assert rate.usual_mm == pytest.approx(0.04)
    assert service_rate("base_thickness", grind_only, learned).basis == "practice"


def test_a_service_that_takes_nothing_rests_on_practice() -> None:
    idle = Practice(service_operations=("deburr",))
    assert service_rate("edge_height", idle) == ServiceRate(0.0, 0.0, 0.0, "practice")
    changed = idle.with_removals({"deburr": Removal(edge_height=Amount(0.0, 0.001, 0.002))})
    assert service_rate("edge_height", changed).usual_mm == pytest.approx(0.001)

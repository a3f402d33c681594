"""What an operation takes off at each shop, drawn to what it takes off at all of them."""

from __future__ import annotations

import statistics

import pytest

from apps.tuning.history import MaterialQuantity
from apps.tuning.practice import Practice
from apps.tuning.rates import RemovalPair
from apps.tuning.wear_operations import OperationRate, operation_rates

PRACTICE = Practice()


def pairs(shop: str, *removed_um: int, u_mm: float = 0.005) -> list[RemovalPair]:
    return [
        RemovalPair("stone_grind", "edge_height", 1.8, 1.8 - one / 1000, u_mm, f"{shop}{number}")
        for number, one in enumerate(removed_um)
    ]


FELL, TARN, RIDGE, GILL = (
    pairs("fell", 40, 44, 48, 52),
    pairs("tarn", 60, 66, 70),
    pairs("ridge", 30, 33, 35, 38, 31),
    pairs("gill", 90),
)


def rates(
    quantity: MaterialQuantity = "edge_height", **shops: list[RemovalPair]
) -> dict[str, OperationRate]:
    found = operation_rates(shops, "stone_grind", quantity, PRACTICE)
    return {one.shop: one for one in found}


def test_a_shop_with_many_pairs_keeps_its_own_rate_and_one_with_few_does_not() -> None:
    found = rates(fell=FELL, tarn=TARN, ridge=RIDGE, gill=GILL)
    assert list(found) == ["fell", "gill", "ridge", "tarn"]
    for one in found.values():
        assert one.basis == "readings"
        assert one.low_mm < one.mean_mm < one.high_mm
    assert found["ridge"].own_mm == pytest.approx(statistics.fmean([30, 33, 35, 38, 31]) / 1000)
    assert found["ridge"].weight > found["gill"].weight
    assert found["gill"].mean_mm < found["gill"].own_mm
    assert found["gill"].sentence.startswith("Fewer than 3 pairs. 1 pairs of its own")
    assert found["ridge"].rests_on == ("ridge0", "ridge1", "ridge2", "ridge3", "ridge4")


# Practice of the defaults: a stone grind takes 0.02 .. 0.05 .. 0.12 mm.
def test_fewer_than_three_shops_are_drawn_to_practice() -> None:
    found = rates(fell=FELL)["fell"]
    assert found.basis == "practice"
    assert found.own_mm < found.mean_mm < 0.05
    assert "the shop's practice for the rest" in found.sentence
    alone = rates(gill=GILL)["gill"]
    assert 0.05 < alone.mean_mm < 0.09
    assert alone.high_mm - alone.low_mm > found.high_mm - found.low_mm


def test_identical_and_surest_pairs_are_never_without_uncertainty() -> None:
    found = rates(a=pairs("a", 40, 40, u_mm=0.0), b=pairs("b", 40, 40), c=pairs("c", 40, 40, 40))
    assert found["a"].mean_mm == pytest.approx(0.04)
    assert found["a"].high_mm > 0.04


def test_readings_that_rise_show_no_rate_below_zero() -> None:
    found = rates(a=pairs("a", -30, -32, -29, -31, -30))["a"]
    assert found.low_mm == 0.0
    assert found.own_mm < 0.0


def test_other_operations_quantities_and_shops_without_pairs_are_passed_over() -> None:
    assert rates("base_thickness", fell=FELL) == {}
    wax = [RemovalPair("wax", "edge_height", 1.8, 1.7, 0.01)]
    assert list(rates(fell=FELL, tarn=wax, gill=[])) == ["fell"]

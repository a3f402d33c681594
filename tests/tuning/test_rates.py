"""Removal learned from a shop's own readings: mean, interval, and when practice stands in."""

import statistics

import pytest
from scipy import stats

from apps.tuning.errors import NotFiniteError, OutOfRangeError
from apps.tuning.history import MaterialQuantity, Place, Step
from apps.tuning.practice import Practice
from apps.tuning.rates import LearnedRate, RemovalPair, learn_rate, learn_rates, removal_pairs
from tests.tuning.visits import grind, height, thickness, visit

PRACTICE = Practice()
REMOVED = (0.04, 0.05, 0.06, 0.07)


def pair(removed_mm: float, u: float = 0.001, record: str = "") -> RemovalPair:
    return RemovalPair("stone_grind", "edge_height", 1.8, 1.8 - removed_mm, u, record)


def rate(pairs: list[RemovalPair], quantity: MaterialQuantity = "edge_height") -> LearnedRate:
    return learn_rate(pairs, "stone_grind", quantity, PRACTICE)


# Reference library: scipy.stats.t.interval of the mean of the same numbers.
def test_mean_and_interval_agree_with_scipy() -> None:
    learned = rate([pair(one) for one in REMOVED])
    low, high = stats.t.interval(
        0.95, len(REMOVED) - 1, loc=statistics.fmean(REMOVED), scale=stats.sem(REMOVED)
    )
    assert learned.basis == "readings"
    assert learned.count == 4
    assert learned.mean_mm == pytest.approx(0.055)
    assert learned.spread_mm == pytest.approx(statistics.stdev(REMOVED))
    assert learned.amount.usual_mm == pytest.approx(0.055)
    assert (learned.amount.low_mm, learned.amount.high_mm) == pytest.approx((low, high))
    assert "4 pairs" in learned.sentence
    # Printed tables of Student's t, 0.975 quantile with 3 degrees of freedom.
    assert learned.coverage_factor == pytest.approx(3.182, abs=5e-4)
    assert learned.degrees_of_freedom == 3


# GUM 5.1.2, derived: equal removals are no surer than the readings, u sqrt(2) / sqrt(n).
def test_the_interval_is_never_narrower_than_the_readings() -> None:
    learned = rate([pair(0.05, 0.02)] * 4)
    half = 0.02 * 2.0**0.5 / 2.0
    assert learned.amount.high_mm - learned.amount.usual_mm == pytest.approx(half)
    assert (learned.coverage_factor, learned.degrees_of_freedom) == (2.0, None)


# GUM 5.2.2, derived: with half the variance shared the difference of two readings of one gauge is
# no less sure than one of them, sqrt(2 * (1 - 0.5)) = 1.
def test_a_pair_by_one_named_gauge_is_surer() -> None:
    readings = (
        height(1.80, moment="before", instrument="depth gauge"),
        height(1.75, moment="after", instrument="depth gauge"),
        thickness(1.40, moment="before"),
        thickness(1.36, moment="after"),
    )
    steel, base = removal_pairs([visit(1, steps=(grind(),), readings=readings)], PRACTICE)
    assert steel.difference_uncertainty_mm == pytest.approx(0.02)
    assert base.difference_uncertainty_mm == pytest.approx(0.02 * 2.0**0.5)


def test_the_interval_never_reaches_below_zero() -> None:
    assert rate([pair(0.01), pair(0.05), pair(0.12)]).amount.low_mm == 0.0


@pytest.mark.parametrize("count", [0, 1, 2])
def test_fewer_than_three_pairs_fall_back_to_practice_and_say_so(count: int) -> None:
    learned = rate([pair(0.5, record="a")] * count)
    assert learned.basis == "practice"
    assert learned.amount == PRACTICE.removal("stone_grind").edge_height
    assert learned.sentence.startswith(f"{count} pairs of readings; 3 are needed")
    assert learned.mean_mm == (pytest.approx(0.5) if count else None)
    assert learned.spread_mm == (pytest.approx(0.0) if count == 2 else None)
    assert learned.rests_on == (("a",) if count else ())
    assert (learned.coverage_factor, learned.degrees_of_freedom) == (None, None)


def test_readings_that_rise_on_the_mean_teach_nothing() -> None:
    learned = rate([pair(-0.02), pair(-0.01), pair(0.01)])
    assert learned.basis == "practice"
    assert learned.mean_mm == pytest.approx(-0.02 / 3)
    assert "no removal" in learned.sentence
    assert rate([pair(0.0)] * 3).basis == "practice"


def test_other_quantities_and_operations_are_passed_over() -> None:
    pairs = [*(pair(one) for one in REMOVED), RemovalPair("wax", "edge_height", 1.8, 1.0, 0.1)]
    assert rate(pairs).mean_mm == pytest.approx(0.055)
    assert rate(pairs, "base_thickness").count == 0
    names = [(one.operation, one.count) for one in learn_rates(pairs, PRACTICE)]
    assert names == [("stone_grind", 4), ("wax", 1)]


def test_impossible_pairs_are_refused() -> None:
    with pytest.raises(OutOfRangeError):
        pair(0.1, -0.01)
    with pytest.raises(NotFiniteError):
        pair(float("inf"))
    with pytest.raises(OutOfRangeError, match="share"):
        RemovalPair("stone_grind", "edge_height", 1.8, 1.7, 0.01, shared_share=1.0)


def test_pairs_come_from_one_step_framed_by_readings_at_one_place() -> None:
    framed = visit(
        1,
        steps=(Step("wax"), grind()),
        readings=(
            height(1.80, moment="before", u=None),
            height(1.75, moment="after", u=0.01),
            height(1.90, "right", moment="before"),
            thickness(1.40, moment="before"),
            thickness(1.36, moment="after"),
        ),
    )
    found = removal_pairs([framed], PRACTICE)
    assert [(one.operation, one.quantity, one.record) for one in found] == [
        ("stone_grind", "edge_height", "r001"),
        ("stone_grind", "base_thickness", "r001"),
    ]
    assert found[0].removed_mm == pytest.approx(0.05)
    assert found[0].uncertainty_mm == PRACTICE.reading_uncertainty_mm


@pytest.mark.parametrize(
    "steps",
    [
        (),
        (Step("wax"),),
        (grind(), Step("belt_grind")),
        (Step("stone_grind", edges=("right",)),),
        (grind(place=Place(station="tip")),),
        (grind(place=Place(position_mm=600)), grind()),
    ],
)
def test_no_pair_where_nobody_can_tell_what_took_it(steps: tuple[Step, ...]) -> None:
    readings = (
        height(1.80, station="waist", moment="before"),
        height(1.70, station="waist", moment="after"),
    )
    assert removal_pairs([visit(1, steps=steps, readings=readings)], PRACTICE) == ()


def test_work_elsewhere_does_not_spoil_a_pair() -> None:
    readings = (
        height(1.80, station="waist", moment="before"),
        height(1.70, station="waist", moment="after"),
    )
    steps = (grind(place=Place(station="tip")), Step("scrape_steel", edge_height_removed_mm=0.1))
    found = removal_pairs([visit(1, steps=steps, readings=readings)], PRACTICE)
    assert [one.operation for one in found] == ["scrape_steel"]

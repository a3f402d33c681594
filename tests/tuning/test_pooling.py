"""Pooling: one vote a shop, nothing below three, and no single ski's value told."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from apps.tuning.errors import OutOfRangeError, WrongCountError
from apps.tuning.pooling import (
    COUNT_STEPS,
    ROUNDINGS,
    Distribution,
    Rounding,
    Told,
    counted_down,
    distribution_of,
    pool,
    votes,
    weighted_quantile,
)

EXACT = Rounding(1, 1)
BEVEL = ROUNDINGS["base_bevel"]
VALUES = st.lists(st.integers(0, 5_000), min_size=1, max_size=20)
TOLD = st.lists(
    st.builds(
        Told,
        shop=st.sampled_from("abcde"),
        thousandths=st.integers(0, 5_000),
        times=st.integers(1, 9),
        band=st.integers(0, 2),
    ),
    max_size=25,
)


@pytest.mark.parametrize(
    ("values", "share", "expected"),
    [
        # Hyndman and Fan 1996, definition 1: the least value whose share of the sample reaches p.
        ([1, 2, 3, 4], 0.25, 1),
        ([1, 2, 3, 4], 0.5, 2),
        ([1, 2, 3, 4, 5], 0.5, 3),
        ([1, 2, 3, 4, 5], 0.75, 4),
        ([7], 0.25, 7),
        ([1, 2], 0.0, 1),
        ([1, 2], 1.0, 2),
    ],
)
def test_a_quantile_by_the_definition(values: list[int], share: float, expected: int) -> None:
    assert weighted_quantile(values, [1.0] * len(values), share) == expected


@given(values=VALUES, share=st.sampled_from([0.25, 0.5, 0.75]))
@settings(max_examples=60, deadline=None)
def test_equal_weights_give_the_quantile_of_numpy(values: list[int], share: float) -> None:
    # Reference: numpy.quantile without weights, same definition.
    expected = int(np.quantile(values, share, method="inverted_cdf"))
    assert weighted_quantile(values, [1.0] * len(values), share) == expected


@given(data=st.lists(st.tuples(st.integers(0, 99), st.integers(1, 6)), min_size=1, max_size=9))
@settings(max_examples=60, deadline=None)
def test_a_whole_weight_is_a_value_told_so_often(data: list[tuple[int, int]]) -> None:
    values, times = [value for value, _ in data], [count for _, count in data]
    repeated = [value for value, count in data for _ in range(count)]
    for share in (0.25, 0.5, 0.75):
        expected = int(np.quantile(repeated, share, method="inverted_cdf"))
        assert weighted_quantile(values, [float(count) for count in times], share) == expected


@pytest.mark.parametrize(
    ("arguments", "field"),
    [
        (([], [], 0.5), "weights"),
        (([1, 2], [1.0], 0.5), "weights"),
        (([1], [0.0], 0.5), "weights"),
        (([1], [1.0], 1.1), "share"),
        (([1], [1.0], -0.1), "share"),
    ],
)
def test_a_quantile_of_nothing_is_refused(arguments: tuple[Any, ...], field: str) -> None:
    with pytest.raises((WrongCountError, OutOfRangeError)) as raised:
        weighted_quantile(*arguments)
    assert raised.value.field == field


def test_each_shop_has_one_vote_whatever_its_fleet() -> None:
    # Own data: a hundred skis of one shop against one ski of each of two others.
    told = [Told("big", 500, times=100), Told("b", 1_000), Told("c", 1_500)]
    _, weights = votes(told)
    assert [Fraction(weight) for weight in weights] == [1, 1, 1]
    found = distribution_of(told, EXACT)
    assert (found.lower_quartile, found.median, found.upper_quartile) == (500, 1_000, 1_500)


def test_a_shop_that_says_several_things_splits_its_vote() -> None:
    told = [Told("a", 500, times=3), Told("a", 700), Told("b", 900)]
    assert votes(told) == ([500, 700, 900], [0.75, 0.25, 1.0])


@given(told=TOLD.filter(bool))
@settings(max_examples=60, deadline=None)
def test_votes_add_up_to_the_shops_in_any_order(told: list[Told]) -> None:
    _, weights = votes(told)
    assert sum(weights) == pytest.approx(len({one.shop for one in told}))
    assert votes(told) == votes(reversed(told))


@given(told=TOLD.filter(bool), rounding=st.sampled_from([*ROUNDINGS.values(), EXACT]))
@settings(max_examples=60, deadline=None)
def test_a_distribution_is_in_order_and_holds_every_value(
    told: list[Told], rounding: Rounding
) -> None:
    found = distribution_of(told, rounding)
    assert found.low <= found.lower_quartile <= found.median <= found.upper_quartile <= found.high
    assert all(found.low <= one.thousandths <= found.high for one in told)
    assert (found.low % rounding.limits, found.high % rounding.limits) == (0, 0)
    assert found.median % rounding.quartiles == 0


@pytest.mark.parametrize(
    ("value", "near", "below", "above"),
    [
        (510, 500, 500, 1_000),
        (525, 550, 500, 1_000),
        (524, 500, 500, 1_000),
        (1_000, 1_000, 1_000, 1_000),
        (-10, 0, -500, 0),
        (0, 0, 0, 0),
    ],
)
def test_rounding_widens_the_range(value: int, near: int, below: int, above: int) -> None:
    # Common practice, no source: bevels to 0.05 degrees, their range to 0.5.
    assert (BEVEL.near(value), BEVEL.below(value), BEVEL.above(value)) == (near, below, above)


@pytest.mark.parametrize("steps", [(0, 1), (1, 0), (2, 3)])
def test_steps_that_do_not_nest_are_refused(steps: tuple[int, int]) -> None:
    with pytest.raises(OutOfRangeError):
        Rounding(*steps)


@pytest.mark.parametrize("wrong", [{"times": 0}, {"band": -1}])
def test_what_nobody_told_is_refused(wrong: dict[str, int]) -> None:
    with pytest.raises(OutOfRangeError) as raised:
        Told("a", 500, **wrong)
    assert raised.value.field in wrong


def three(band: int = 0) -> list[Told]:
    return [Told(shop, 500 + 250 * number, band=band) for number, shop in enumerate("abc")]


def test_three_shops_are_shown() -> None:
    found = pool(three(), (3, 0, 0), BEVEL)
    assert (found.code, found.shops, found.skis, found.band) == ("pooled", 3, 3, 0)
    assert found.distribution == Distribution(750, 500, 1_000, 500, 1_000)
    assert found.sentence == "At least 3 skis of at least 3 other shops."


def test_none_one_and_two_shops_are_answered_alike() -> None:
    # Threshold rule with three: Glossary of Statistical Disclosure Control (2005).
    answers = [pool(three()[:count], (9, 9, 9), BEVEL) for count in range(3)]
    assert answers[0] == answers[1] == answers[2]
    assert answers[0].code == "fewer-than-three-shops"
    assert answers[0].distribution is None


def test_three_shops_on_two_skis_are_not_shown() -> None:
    found = pool(three(), (2, 0, 0), BEVEL)
    assert (found.code, found.distribution, found.skis) == ("fewer-than-three-skis", None, None)


def test_the_closest_band_that_holds_enough_counts() -> None:
    told = [*three(), Told("d", 3_000, band=1)]
    assert pool(told, (3, 5, 0), BEVEL).band == 0
    assert pool([*three()[:2], Told("d", 3_000, band=1)], (3, 5, 0), BEVEL).band == 1
    assert pool(three(band=2), (0, 0, 4), BEVEL).band == 2


def test_a_closer_band_is_part_of_the_wider() -> None:
    found = pool([*three()[:2], Told("d", 3_000, band=2)], (2, 0, 1), BEVEL)
    assert found.distribution is not None
    assert (found.distribution.low, found.distribution.high, found.skis) == (500, 3_000, 3)


@given(told=TOLD, skis=st.tuples(*[st.integers(0, 9)] * 3))
@settings(max_examples=80, deadline=None)
def test_nothing_is_ever_shown_of_fewer_than_three(
    told: list[Told], skis: tuple[int, int, int]
) -> None:
    found = pool(told, skis, BEVEL)
    if found.distribution is None:
        assert (found.shops, found.skis, found.band) == (None, None, None)
        return
    assert found.band is not None
    within = [one for one in told if one.band <= found.band]
    assert len({one.shop for one in within}) >= 3
    assert sum(skis[: found.band + 1]) >= 3


@given(told=TOLD)
@settings(max_examples=40, deadline=None)
def test_a_fourth_shop_is_not_seen_in_the_count(told: list[Told]) -> None:
    shops = {one.shop for one in told if one.band == 0}
    found = pool(told, (3, 0, 0), BEVEL)
    if found.band == 0 and len(shops) < 5:
        assert found.shops == 3


@pytest.mark.parametrize(
    ("count", "shown"), [(3, 3), (4, 3), (5, 5), (9, 5), (10, 10), (49, 20), (123_456, 10_000)]
)
def test_counts_are_rounded_down(count: int, shown: int) -> None:
    assert counted_down(count) == shown
    assert shown in COUNT_STEPS


def test_a_count_below_three_is_refused() -> None:
    with pytest.raises(OutOfRangeError):
        counted_down(2)


def test_nothing_has_no_distribution() -> None:
    with pytest.raises(WrongCountError):
        distribution_of([], EXACT)


def test_no_band_at_all_shows_nothing() -> None:
    assert pool(three(), (), BEVEL).code == "fewer-than-three-shops"

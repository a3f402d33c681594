"""The closest falling series against published fits, and the laws it must keep."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.errors import (
    NotFiniteError,
    OutOfRangeError,
    ProfileTooShortError,
    TuningError,
    WrongCountError,
)
from apps.tuning.monotone import Direction, closest_monotone, fit_falling

READINGS = st.lists(st.tuples(st.floats(0.5, 2.5), st.floats(0.002, 0.2)), min_size=1, max_size=12)

PUBLISHED: list[tuple[list[float], list[float], Direction]] = [
    # Own data, worked by hand: only 1.75 and 1.78 change places.
    ([1.80, 1.75, 1.78, 1.70], [1.80, 1.765, 1.765, 1.70], "falling"),
    # scipy's tests of isotonic_regression, after Busing, J. Stat. Softw. 102(1).
    ([8, 4, 8, 2, 2, 0, 8], [4.0] * 6 + [8.0], "rising"),
    # R package monotone, its example.
    ([0, 6, 8, 3, 5, 2, 1, 7, 9, 4], [0] + [25 / 6] * 6 + [20 / 3] * 3, "rising"),
]


@pytest.mark.parametrize(("values", "expected", "direction"), PUBLISHED)
def test_published_fits(values: list[float], expected: list[float], direction: Direction) -> None:
    fit = closest_monotone(values, direction=direction)
    assert fit.fitted == pytest.approx(expected, abs=1e-12)


# The same rows turned upside down are the non-increasing fits.
@pytest.mark.parametrize(("values", "expected", "direction"), PUBLISHED)
def test_the_other_direction_is_the_mirror(
    values: list[float], expected: list[float], direction: Direction
) -> None:
    other: Direction = "rising" if direction == "falling" else "falling"
    mirrored = closest_monotone([-value for value in values], direction=other)
    assert mirrored.fitted == pytest.approx([-value for value in expected], abs=1e-12)


# scipy's tests of isotonic_regression, weighted row.
def test_published_weighted_fit() -> None:
    weights = [1, 2, 5, 0.5, 0.5, 0.5, 1, 3]
    fit = closest_monotone([3, 2, 1, 10, 9, 8, 20, 10], weights, direction="rising")
    assert fit.fitted == pytest.approx([1.5] * 3 + [9.0] * 3 + [12.5] * 2, abs=1e-12)
    assert fit.blocks == ((0, 3), (3, 6), (6, 8))
    assert fit.weights == pytest.approx([8.0] * 3 + [1.5] * 3 + [4.0] * 2)


@given(READINGS)
def test_the_fit_never_rises(readings: list[tuple[float, float]]) -> None:
    fit, _ = fit_falling([value for value, _ in readings], [u for _, u in readings])
    assert all(later <= earlier for earlier, later in zip(fit.fitted, fit.fitted[1:], strict=False))


@given(READINGS)
def test_nothing_is_left_above_the_last_reading_and_its_uncertainty(
    readings: list[tuple[float, float]],
) -> None:
    values, us = [value for value, _ in readings], [u for _, u in readings]
    _, level = fit_falling(values, us)
    assert level.low <= level.value <= level.high
    assert level.value <= values[-1] + 1e-9
    assert level.high <= values[-1] + 2.0 * us[-1] + 1e-9


# GUM, derived: two equally sure readings of one thing make a mean surer by the root of two.
def test_agreeing_readings_make_each_other_surer() -> None:
    _, level = fit_falling([1.700, 1.701], [0.01, 0.01])
    assert level.value == pytest.approx(1.7005)
    assert level.value - level.low == pytest.approx(2.0 * 0.01 / math.sqrt(2.0))
    assert level.members == (0, 1)


# Birge ratio, derived: residuals of 5 u each make chi squared 50 over 1 degree of freedom, so
# the internal 0.01 / sqrt(2) is widened to 0.05. Upwards the last reading is the limit.
def test_readings_that_disagree_widen_the_limits_downwards() -> None:
    _, level = fit_falling([1.70, 1.80], [0.01, 0.01])
    assert level.value == pytest.approx(1.75)
    assert level.low == pytest.approx(1.75 - 2.0 * 0.05)
    assert level.high == pytest.approx(1.80 + 2.0 * 0.01)


# Derived likewise: residuals of -6.667, 3.333 and 3.333 u over 2 degrees of freedom make 0.0333.
def test_three_readings_that_disagree() -> None:
    _, level = fit_falling([1.70, 1.80, 1.80], [0.01] * 3)
    assert level.value == pytest.approx(5.30 / 3.0)
    assert level.value - level.low == pytest.approx(2.0 / 30.0)


def test_the_surer_reading_weighs_more() -> None:
    _, level = fit_falling([1.70, 1.75], [0.01, 0.02])
    assert level.value == pytest.approx((1.70 * 4 + 1.75) / 5)


@pytest.mark.parametrize(
    ("values", "weights", "error"),
    [
        ([], None, ProfileTooShortError),
        ([1.0], [1.0, 2.0], WrongCountError),
        ([math.nan], None, NotFiniteError),
        ([1.0], [0.0], OutOfRangeError),
    ],
)
def test_what_no_fit_can_be_made_of(
    values: list[float], weights: list[float] | None, error: type[TuningError]
) -> None:
    with pytest.raises(error):
        closest_monotone(values, weights)


def test_a_reading_without_any_uncertainty_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        fit_falling([1.0], [0.0])
    assert refused.value.field == "standard_uncertainties"
    with pytest.raises(WrongCountError):
        fit_falling([1.0], [])

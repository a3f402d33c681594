"""Services and seasons left: the published sum, limits by hand, and what is unknown."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from apps.tuning.errors import NotFiniteError, OutOfRangeError
from apps.tuning.practice import Practice
from apps.tuning.services import ServiceRate, services_left
from apps.tuning.wear_left import (
    Course,
    course_by_seasons,
    course_by_services,
    crossing,
    seasons_left_of,
    services_left_of,
)
from apps.tuning.wear_pace import pace_of
from apps.tuning.wear_policy import Policy
from apps.tuning.wear_rates import shrink
from tests.tuning.wear_fleets import LEAST_MM, columns, fleet, row

PRACTICE = Practice()


def course(
    reserve: float, fall: float, start: float = 0.0, steps: float = 0.0, drift: float = 0.0
) -> Course:
    parts = (reserve, fall, start, steps, drift, 1e6)
    return Course(*(np.array([one]) for one in parts))


# Published sum: novinky.cz 2023-11, reserve 1.0 mm, 0.066 mm a service, 15 services, here without
# any uncertainty; the scalar rule of the condition gives the same.
def test_the_published_sum() -> None:
    left = crossing(course(1.0, 0.066)).whole
    assert (left.low[0], left.value[0], left.high[0]) == (15.0, 15.0, 15.0)
    rate = ServiceRate(0.066, 0.066, 0.066, "stated")
    assert services_left(1.0, 1.0, 1.0, rate).services == left.value[0]


# Derived: with an uncertain level alone the limits are (reserve -+ k u) / fall.
def test_an_uncertain_level_alone() -> None:
    left = crossing(course(0.5, 0.05, start=0.01**2))
    k = stats.norm.ppf(0.95)
    assert left.low[0] == pytest.approx((0.5 - k * 0.01) / 0.05, rel=1e-5)
    assert left.high[0] == pytest.approx((0.5 + k * 0.01) / 0.05, rel=1e-5)
    assert left.value[0] == pytest.approx(10.0)


# Derived: with an uncertain rate alone they are reserve / (fall +- k u), by Fieller.
def test_an_uncertain_rate_alone() -> None:
    left = crossing(course(0.5, 0.05, drift=0.005**2))
    k = stats.norm.ppf(0.95)
    assert left.low[0] == pytest.approx(0.5 / (0.05 + k * 0.005), rel=1e-5)
    assert left.high[0] == pytest.approx(0.5 / (0.05 - k * 0.005), rel=1e-5)


def test_no_end_in_sight_is_no_number() -> None:
    unsure = crossing(course(0.5, 0.05, drift=0.04**2))
    assert np.isinf(unsure.high[0])
    assert 0.0 < unsure.low[0] < 10.0
    still = crossing(course(0.5, 0.0, start=0.01**2))
    assert np.isinf(still.value[0])
    assert np.isinf(still.low[0])


def test_nothing_left_is_none() -> None:
    gone = crossing(course(-0.1, 0.05, start=0.01**2))
    assert (gone.value[0], gone.low[0], gone.high[0]) == (0.0, 0.0, 0.0)
    doubtful = crossing(course(-0.01, 0.05, start=0.01**2))
    assert (doubtful.value[0], doubtful.low[0]) == (0.0, 0.0)
    assert doubtful.high[0] > 0.0


# The law that the limits are where the chance to be below is 5 % and 95 %.
@settings(max_examples=40, deadline=None)
@given(
    st.floats(0.05, 1.0),
    st.floats(0.02, 0.1),
    st.floats(1e-5, 4e-4),
    st.floats(0.0, 1e-3),
    st.floats(0.0, 1e-4),
)
def test_the_limits_are_where_the_chance_says(
    reserve: float, fall: float, start: float, steps: float, drift: float
) -> None:
    one = course(reserve, fall, start, steps, drift)
    left = crossing(one)
    assert left.low[0] <= left.value[0] <= left.high[0]
    if left.low[0] > 0.0:
        assert one.below_at(left.low[0])[0] == pytest.approx(0.05, abs=1e-5)
    if np.isfinite(left.high[0]):
        assert one.below_at(left.high[0])[0] == pytest.approx(0.95, abs=1e-5)


# Derived: how fast the chance grows is its derivative by what fell.
def test_steepness_is_the_derivative_of_the_chance() -> None:
    one, step = course(0.5, 0.05, 1e-4, 2e-4, 1e-5), 1e-6
    more = replace(one, reserve_mm=one.reserve_mm - step)
    slope = (more.below_at(9.0) - one.below_at(9.0)) / step
    assert one.steepness_at(9.0) == pytest.approx(slope, rel=1e-3)


def test_services_done_since_the_reading_are_gone() -> None:
    skis = columns([row(), row(services_since=3), row(level_um=None)])
    value = services_left_of(skis, shrink(skis, "edge_height", PRACTICE), LEAST_MM).value
    assert value[0] - value[1] == pytest.approx(3.0)
    assert np.isnan(value[2])


# Derived: a reading that is too high makes the level too high and the rate too low at once.
def test_one_reading_in_level_and_rate_widens_the_limits() -> None:
    skis = fleet()
    rates = shrink(skis, "edge_height", PRACTICE)
    apart = replace(rates, covariance_mm2=np.zeros(skis.count))
    tied = course_by_services(skis, rates, LEAST_MM).steps_mm2
    assert np.all(tied > course_by_services(skis, apart, LEAST_MM).steps_mm2)


def test_a_rate_below_zero_is_no_growth() -> None:
    skis = columns([row(removed_um=-100, scatter_um2=0)] * 3)
    left = services_left_of(skis, shrink(skis, "edge_height", PRACTICE), LEAST_MM)
    assert np.all(np.isinf(left.value))
    assert np.all(left.low > 0.0)


# Derived: 3.5 services a season of 0.044 mm each take 0.154 mm a season.
def test_seasons_left_go_by_the_pace() -> None:
    skis = fleet()
    rates, pace = shrink(skis, "edge_height", PRACTICE), pace_of(skis)
    found = course_by_seasons(skis, rates, pace, LEAST_MM)
    assert found.fall_mm == pytest.approx(rates.mean_mm * 3.5)
    seasons = seasons_left_of(skis, rates, pace, LEAST_MM)
    services = services_left_of(skis, rates, LEAST_MM)
    assert seasons.value == pytest.approx((services.value - pace.ahead) / 3.5, rel=1e-9)
    assert np.all((seasons.low < seasons.value) & (seasons.value < seasons.high))


def test_a_policy_leaves_what_is_done_as_it_is() -> None:
    skis = columns([row(services_since=2)] * 4)
    rates, pace = shrink(skis, "edge_height", PRACTICE), pace_of(skis)
    now = course_by_seasons(skis, rates, pace, LEAST_MM)
    less = course_by_seasons(skis, rates, pace, LEAST_MM, Policy(removal_factor=0.5))
    assert less.reserve_mm == pytest.approx(now.reserve_mm)
    assert less.start_mm2 == pytest.approx(now.start_mm2)
    assert less.fall_mm == pytest.approx(now.fall_mm / 2)
    assert less.drift_mm2 == pytest.approx(now.drift_mm2 / 4)
    assert np.all(less.steps_mm2 < now.steps_mm2)


def test_bad_questions_are_refused() -> None:
    skis = fleet()
    rates = shrink(skis, "edge_height", PRACTICE)
    with pytest.raises(NotFiniteError):
        services_left_of(skis, rates, float("nan"))
    for confidence in (0.0, 1.0, 1.5):
        with pytest.raises(OutOfRangeError):
            services_left_of(skis, rates, LEAST_MM, confidence)


# Reference library: scipy.stats.t on both sides of where the normal distribution stands in.
@pytest.mark.parametrize("degrees", [3.0, 499.0, 501.0, 1e5])
def test_the_chance_is_students_t(degrees: float) -> None:
    one = replace(course(0.5, 0.05, 1e-4, 2e-4, 1e-5), degrees_of_freedom=np.array([degrees]))
    passed = (9.0 * 0.05 - 0.5) / np.sqrt(1e-4 + 9 * 2e-4 + 81 * 1e-5)
    assert one.below_at(9.0)[0] == pytest.approx(stats.t.cdf(passed, degrees), abs=4e-4)

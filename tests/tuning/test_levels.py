"""Where falling readings end: pooled where no work parts them, and never surer than they are."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from apps.tuning.errors import ProfileTooShortError, WrongCountError
from apps.tuning.gauges import Gauge, GaugeReading, shared_uncertainties
from apps.tuning.levels import Level, last_level

GAUGES = tuple(Gauge("bench", name) for name in ("A", "B", None))
MODEST = settings(max_examples=100, deadline=None)
READINGS = st.lists(
    st.tuples(st.floats(1.0, 1.3), st.floats(0.005, 0.05), st.sampled_from(GAUGES), st.booleans()),
    min_size=1,
    max_size=10,
)


def apart(values: list[float], us: list[float], *, worked: bool = True) -> Level:
    """Readings each by a gauge of its own."""
    readings = [
        GaugeReading(value, u, Gauge("bench", str(n)))
        for n, (value, u) in enumerate(zip(values, us, strict=True))
    ]
    return last_level(readings, [worked] * len(readings))


def of_gauges(drawn: list[tuple[float, float, Gauge, bool]], share: float = 0.5) -> Level:
    shared = shared_uncertainties([one[1] for one in drawn], [one[2] for one in drawn], share)
    readings = [
        GaugeReading(value, u, gauge, part)
        for (value, u, gauge, _), part in zip(drawn, shared, strict=True)
    ]
    return last_level(readings, [one[3] for one in drawn])


# Own data: 1.160 +- 0.030, then 1.140 +- 0.050 by another gauge with no work between. By hand:
# weights 25 to 9, so 39.26 / 34, and 2 / sqrt(1 / 0.015**2 + 1 / 0.025**2).
def test_a_coarser_reading_that_agrees_never_makes_the_figure_less_sure() -> None:
    level = apart([1.160, 1.140], [0.015, 0.025], worked=False)
    assert level.value == pytest.approx(39.26 / 34.0)
    assert level.value - level.low == pytest.approx(0.0257, abs=5e-5)
    assert level.high - level.value == pytest.approx(0.0257, abs=5e-5)
    assert level.members == (0, 1)
    assert (level.coverage_factor, level.degrees_of_freedom) == (2.0, math.inf)


# The same by one gauge, half of the surer reading's variance shared: own derivation,
# s**2 = 0.0001125, weights 1 / 0.0001125 to 1 / 0.0005125, u**2 = s**2 + 1 / their sum.
def test_the_same_by_one_gauge_is_hardly_surer_and_never_less() -> None:
    drawn = [(1.160, 0.015, GAUGES[0], False), (1.140, 0.025, GAUGES[0], False)]
    level = of_gauges(drawn)
    assert level.value == pytest.approx((1.160 * 5125 + 1.140 * 1125) / 6250)
    u = math.sqrt(0.0001125 + 1.0 / (1.0 / 0.0001125 + 1.0 / 0.0005125))
    assert level.standard_uncertainty == pytest.approx(u)
    assert 0.0106 < u < 0.015
    (shared,) = level.shared
    assert shared.gauge == GAUGES[0]
    assert shared.standard_uncertainty == pytest.approx(math.sqrt(0.0001125))


# With work between them they are two things, and only the later one is of the ski now.
def test_work_parts_readings() -> None:
    level = apart([1.160, 1.140], [0.015, 0.025])
    assert (level.value, level.low, level.high) == pytest.approx((1.140, 1.090, 1.190))
    assert level.members == (1,)
    assert level.fitted == pytest.approx((1.160, 1.140))


# GUM, derived: k = 2 of the difference is 0.0566, so a fall of 0.06 can't be reading alone.
def test_a_fall_beyond_uncertainty_parts_readings_too() -> None:
    level = apart([1.20, 1.14], [0.02, 0.02], worked=False)
    assert (level.value, level.members) == (1.14, (1,))


# GUM, derived: two equally sure readings of one thing make a mean surer by the root of two.
@pytest.mark.parametrize("worked", [True, False])
def test_agreeing_readings_make_each_other_surer(worked: bool) -> None:
    level = apart([1.700, 1.701], [0.01, 0.01], worked=worked)
    assert level.value == pytest.approx(1.7005)
    assert level.value - level.low == pytest.approx(2.0 * 0.01 / math.sqrt(2.0))


# Birge ratio, derived: residuals of 1.5 u each make chi squared 4.5 with 1 degree of freedom,
# beyond 4, so u is 0.01 / sqrt(2) * sqrt(4.5) = 0.015. Welch and Satterthwaite: 4.5**2 / 3.5**2
# = 1.653 degrees, for which Student's t gives k about 5.4; the lowest reading less its own 0.02
# lies nearer than k u, and the last one with its 0.02 is the limit upwards.
def test_readings_that_disagree_a_little_count_their_degrees_of_freedom() -> None:
    level = apart([1.70, 1.73], [0.01, 0.01])
    assert level.value == pytest.approx(1.715)
    assert level.standard_uncertainty == pytest.approx(0.015)
    assert level.degrees_of_freedom == pytest.approx(1.653, abs=5e-4)
    assert 5.0 < level.coverage_factor < 6.5
    assert (level.low, level.high) == pytest.approx((1.68, 1.75))


# Derived: ten rising readings are all levelled out; nine degrees of freedom leave k near to 2,
# and k u lies within the lowest reading less its uncertainty.
def test_many_readings_that_disagree_are_widened_by_their_scatter() -> None:
    level = apart([1.70 + 0.002 * n for n in range(10)], [0.002] * 10)
    # Standard error of the mean of ten readings 0.002 apart: sqrt(330 / 9 / 10) thousandths.
    assert level.standard_uncertainty == pytest.approx(0.001 * math.sqrt(330.0 / 90.0))
    assert level.value - level.low == pytest.approx(
        level.coverage_factor * level.standard_uncertainty
    )
    assert 2.0 < level.coverage_factor < 2.4


def test_the_surer_reading_weighs_more() -> None:
    level = apart([1.70, 1.72], [0.01, 0.02])
    assert level.value == pytest.approx((1.70 * 4 + 1.72) / 5)


# Own data, worked by hand: 1.75 and 1.78 pool to 1.765, the last reading stands alone.
def test_the_fit_of_each_reading_is_shown() -> None:
    level = apart([1.80, 1.75, 1.78, 1.70], [0.01] * 4)
    assert level.fitted == pytest.approx((1.80, 1.765, 1.765, 1.70))
    assert level.members == (3,)


@MODEST
@given(READINGS)
def test_the_laws_of_a_level(drawn: list[tuple[float, float, Gauge, bool]]) -> None:
    level = of_gauges(drawn)
    assert list(level.fitted) == sorted(level.fitted, reverse=True)
    assert level.low <= level.value <= level.high
    value, u, _, _ = drawn[-1]
    assert level.value <= value + 2.0 * u + 1e-9
    assert level.high <= value + 2.0 * u + 1e-9
    assert level.coverage_factor >= 2.0
    shared = math.hypot(*(one.standard_uncertainty for one in level.shared))
    assert shared <= level.standard_uncertainty + 1e-12


@MODEST
@given(
    st.lists(
        st.tuples(
            st.floats(1.149, 1.151), st.floats(0.005, 0.05), st.sampled_from(GAUGES), st.just(False)
        ),
        min_size=1,
        max_size=8,
    ),
    st.floats(1.149, 1.151),
    st.sampled_from(GAUGES),
)
def test_one_more_reading_that_agrees_is_never_less_sure(
    drawn: list[tuple[float, float, Gauge, bool]], value: float, gauge: Gauge
) -> None:
    before, after = of_gauges(drawn), of_gauges([*drawn, (value, 0.05, gauge, False)])
    assert len(after.members) == len(drawn) + 1
    assert after.standard_uncertainty <= before.standard_uncertainty + 1e-12
    assert after.value - after.low <= before.value - before.low + 1e-12


# Own simulation of known truth: each gauge has a zero of its own, readings scatter beside it, and
# the truth falls by `fall` between readings. Limits with k = 2 should hold it in 95 % of the cases.
@pytest.mark.parametrize(
    ("fall", "count", "names", "worked"),
    [(0.0, 5, "A", False), (0.0, 6, "AB", False), (0.02, 5, "AB", True), (0.005, 8, "AB", True)],
)
def test_the_limits_hold_the_truth(fall: float, count: int, names: str, worked: bool) -> None:
    rng = np.random.default_rng(20250131)
    gauges = [Gauge("bench", names[n % len(names)]) for n in range(count)]
    held = 0
    for _ in range(600):
        us = rng.uniform(0.008, 0.03, count).tolist()
        shared = shared_uncertainties(us, gauges, 0.5)
        zeros = {gauge: rng.normal() for gauge in gauges}
        readings = [
            GaugeReading(
                1.5 - fall * n + zeros[gauge] * s + rng.normal() * math.sqrt(u**2 - s**2),
                u,
                gauge,
                s,
            )
            for n, (u, s, gauge) in enumerate(zip(us, shared, gauges, strict=True))
        ]
        level = last_level(readings, [worked] * count)
        held += level.low <= 1.5 - fall * (count - 1) <= level.high
    assert 0.91 <= held / 600 <= 0.98


def test_what_no_level_can_be_found_of() -> None:
    with pytest.raises(ProfileTooShortError):
        last_level([], [])
    with pytest.raises(WrongCountError, match="one entry for each reading"):
        last_level([GaugeReading(1.0, 0.1, GAUGES[0])], [])

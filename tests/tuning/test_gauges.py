"""Readings of one gauge share a part that no averaging takes away."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from apps.tuning.errors import OutOfRangeError, ProfileTooShortError
from apps.tuning.gauges import (
    Gauge,
    GaugeReading,
    Pool,
    require_share,
    shared_uncertainties,
)

OWN = Gauge("bench", "depth gauge")
OTHER = Gauge("bench", "caliper")
MODEST = settings(max_examples=80, deadline=None)

DRAWN = st.lists(
    st.tuples(st.floats(1.4, 1.6), st.floats(0.005, 0.05), st.sampled_from([OWN, OTHER])),
    min_size=1,
    max_size=8,
)


def readings(
    drawn: list[tuple[float, float, Gauge]], share: float = 0.5
) -> tuple[GaugeReading, ...]:
    shared = shared_uncertainties([u for _, u, _ in drawn], [g for _, _, g in drawn], share)
    return tuple(
        GaugeReading(value, u, gauge, part)
        for (value, u, gauge), part in zip(drawn, shared, strict=True)
    )


# Own derivation: u = 0.02 with half its variance shared is s = r = 0.01414; of n readings the
# own part averages out and s stays: sqrt(s**2 + r**2 / n).
@pytest.mark.parametrize(
    ("count", "u"), [(1, 0.02), (2, 0.0173205), (4, 0.0158114), (10000, 0.0141428)]
)
def test_averaging_one_gauge_never_passes_what_it_shares(count: int, u: float) -> None:
    mean = Pool(readings([(1.5, 0.02, OWN)] * count)).mean
    assert mean.value == pytest.approx(1.5)
    assert mean.standard_uncertainty == pytest.approx(u, abs=5e-7)


# GUM, derived: two gauges have nothing in common, so u / sqrt(2).
def test_two_gauges_average_freely() -> None:
    mean = Pool(readings([(1.48, 0.02, OWN), (1.52, 0.02, OTHER)])).mean
    assert (mean.value, mean.standard_uncertainty) == pytest.approx((1.5, 0.02 / math.sqrt(2.0)))


def covariance(
    pooled: tuple[GaugeReading, ...],
) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return np.array(
        [
            [
                (one.own_variance if i == j else 0.0)
                + (one.shared_uncertainty**2 if one.gauge == other.gauge else 0.0)
                for j, other in enumerate(pooled)
            ]
            for i, one in enumerate(pooled)
        ]
    )


# Reference library: numpy, generalised least squares with the whole covariance matrix.
@MODEST
@given(DRAWN)
def test_the_pool_is_generalised_least_squares(drawn: list[tuple[float, float, Gauge]]) -> None:
    pooled = readings(drawn)
    values = np.array([one.value for one in pooled])
    inverse = np.linalg.inv(covariance(pooled))
    whole = float(inverse.sum())
    mean = Pool(pooled).mean
    value = float(inverse.sum(axis=0) @ values) / whole
    assert mean.value == pytest.approx(value, abs=1e-9)
    assert mean.standard_uncertainty == pytest.approx(whole**-0.5)
    chi_squared = float((values - value) @ inverse @ (values - value))
    assert Pool(pooled).chi_squared(pooled) == pytest.approx(chi_squared, abs=1e-6)


@MODEST
@given(DRAWN)
def test_one_more_reading_never_makes_a_mean_less_sure(
    drawn: list[tuple[float, float, Gauge]],
) -> None:
    pooled = readings(drawn)
    sure = [Pool(pooled[:n]).mean.standard_uncertainty for n in range(1, len(pooled) + 1)]
    assert all(later <= earlier + 1e-12 for earlier, later in pairwise(sure))
    assert sure[0] <= pooled[0].standard_uncertainty + 1e-12


@MODEST
@given(DRAWN)
def test_weights_are_shares(drawn: list[tuple[float, float, Gauge]]) -> None:
    pooled = readings(drawn)
    pool = Pool(pooled)
    weights = [pool.weight_of(one.gauge) * pool.weight_in_gauge(one) for one in pooled]
    assert sum(weights) == pytest.approx(1.0)
    assert min(weights) > 0.0
    assert pool.weight_of(Gauge("bench", "no such gauge")) == 0.0


# Own derivation: readings by one gauge differ by sqrt(2) r = 0.02 only, k = 2 of that is 0.04;
# by two gauges by sqrt(2) u = 0.02828, k = 2 of that is 0.0566.
def test_agreement_is_stricter_within_one_gauge() -> None:
    first, near, far = readings([(1.50, 0.02, OWN), (1.54, 0.02, OWN), (1.541, 0.02, OWN)])
    pool = Pool([first])
    assert pool.agrees_with(GaugeReading(1.5399, 0.02, OWN, near.shared_uncertainty), 2.0)
    assert not pool.agrees_with(far, 2.0)
    assert pool.agrees_with(GaugeReading(1.556, 0.02, OTHER, near.shared_uncertainty), 2.0)
    assert not pool.agrees_with(GaugeReading(1.557, 0.02, OTHER, near.shared_uncertainty), 2.0)


def test_the_surest_reading_tells_what_its_gauge_shares() -> None:
    found = shared_uncertainties([0.02, 0.04, 0.03], [OWN, OWN, OTHER], 0.25)
    assert found == pytest.approx((0.01, 0.01, 0.015))
    assert shared_uncertainties([0.02], [OWN], 0.0) == (0.0,)


def test_only_a_named_gauge_is_known_to_be_the_same() -> None:
    assert OWN.is_named
    assert not Gauge("bench", None).is_named
    assert not Gauge("bench", "").is_named


def test_what_can_not_be_is_refused() -> None:
    for share in (-0.1, 1.0, math.nan):
        with pytest.raises(OutOfRangeError, match="share"):
            require_share(share)
    with pytest.raises(ProfileTooShortError):
        shared_uncertainties([], [], 0.5)
    with pytest.raises(OutOfRangeError):
        GaugeReading(1.5, 0.0, OWN)
    with pytest.raises(OutOfRangeError, match="shared_uncertainty"):
        GaugeReading(1.5, 0.02, OWN, 0.02)

"""Quantiles against printed tables and against SciPy's own distributions."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from scipy import stats

from apps.tuning.quantiles import (
    chi_squared_quantile,
    normal_probability,
    normal_quantile,
    t_quantile,
)

PROBABILITIES = [1e-6, 0.005, 0.025, 0.5, 0.9, 0.95, 0.975, 0.99, 1 - 1e-6]


# NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7: tables of critical values, two or three
# places; the rows are from memory.
@pytest.mark.parametrize(
    ("quantile", "arguments", "printed"),
    [
        (normal_quantile, (0.975,), 1.960),
        (normal_quantile, (0.95,), 1.645),
        (t_quantile, (0.975, 1), 12.706),
        (t_quantile, (0.95, 5), 2.015),
        (t_quantile, (0.975, 10), 2.228),
        (t_quantile, (0.975, math.inf), 1.960),
        (chi_squared_quantile, (0.95, 1), 3.841),
        (chi_squared_quantile, (0.95, 10), 18.307),
        (chi_squared_quantile, (0.99, 5), 15.086),
    ],
)
def test_the_printed_tables(
    quantile: Callable[..., float], arguments: tuple[float, ...], printed: float
) -> None:
    assert quantile(*arguments) == pytest.approx(printed, abs=0.0006)


@pytest.mark.parametrize("probability", PROBABILITIES)
def test_scipys_distributions_say_the_same(probability: float) -> None:
    assert normal_quantile(probability) == pytest.approx(stats.norm.ppf(probability), rel=1e-12)
    for degrees in (1, 2, 3, 7, 30, 500):
        t, chi_squared = (kind(degrees).ppf(probability) for kind in (stats.t, stats.chi2))
        assert t_quantile(probability, degrees) == pytest.approx(t, rel=1e-9)
        assert chi_squared_quantile(probability, degrees) == pytest.approx(chi_squared, rel=1e-9)


@pytest.mark.parametrize("value", [-8.0, -1.0, 0.0, 0.3, 2.5])
def test_probabilities_too(value: float) -> None:
    assert normal_probability(value) == pytest.approx(stats.norm.cdf(value), rel=1e-12)

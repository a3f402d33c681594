"""Means drawn to the mean of all, against statsmodels and certified analyses of variance."""

import math

import numpy as np
import pandas as pd  # type: ignore[import-untyped]
import pytest
from numpy.typing import NDArray
from scipy import optimize
from statsmodels.regression.mixed_linear_model import MixedLM  # type: ignore[import-untyped]
from statsmodels.stats.meta_analysis import combine_effects  # type: ignore[import-untyped]

from apps.tuning.errors import NotFiniteError, OutOfRangeError, WrongCountError
from apps.tuning.shrinkage import (
    GUESS_DEGREES,
    MOST_DEGREES,
    Centre,
    between_variance,
    centre_of,
    scatter_of,
    shrink_to,
)
from apps.tuning.wear_pace import tallied_scatter
from tests.tuning import nist

Floats = NDArray[np.float64]


def own_data(seed: int = 3, groups: int = 30, runs: int = 6) -> Floats:
    """Own data: removals of `runs` services on each of `groups` skis [um]."""
    rng = np.random.default_rng(seed)
    return rng.normal(45.0, 9.0, (groups, 1)) + rng.normal(0.0, 12.0, (groups, runs))


# Certified: NIST StRD, SiRstv (one-way analysis of variance, 5 instruments of 5 readings).
def test_variances_within_and_between_agree_with_the_certified_ones() -> None:
    sets = np.array(nist.SIRSTV)
    counts, totals = np.full(5, 5.0), sets.sum(axis=1)
    within, degrees = tallied_scatter(counts, totals, (sets**2).sum(axis=1))
    assert within == pytest.approx(nist.SIRSTV_WITHIN, rel=1e-8)
    assert degrees == 20.0
    # In a balanced set the likelihood without penalty gives (between - within) / n (derived).
    means = sets.mean(axis=1)
    found = between_variance(means, np.full(5, within / 5.0), penalised=False)
    expected = (nist.SIRSTV_BETWEEN - nist.SIRSTV_WITHIN) / 5.0
    assert found == pytest.approx(expected, rel=1e-6)


# Reference library: statsmodels MixedLM, random intercept by REML, on own data.
def test_a_balanced_fleet_agrees_with_the_mixed_model_of_statsmodels() -> None:
    data = own_data()
    skis, runs = data.shape
    frame = pd.DataFrame({"removed": data.ravel(), "ski": np.repeat(np.arange(skis), runs)})
    fit = MixedLM.from_formula("removed ~ 1", groups="ski", data=frame).fit(reml=True)
    scatter = float(np.sum((data - data.mean(axis=1, keepdims=True)) ** 2)) / (skis * (runs - 1))
    means, variances = data.mean(axis=1), np.full(skis, scatter / runs)
    assert scatter == pytest.approx(fit.scale, rel=1e-4)
    between = between_variance(means, variances, penalised=False)
    assert between == pytest.approx(float(fit.cov_re.iloc[0, 0]), rel=1e-3)
    centre = Centre(float(means.mean()), 1.0, between, 0.0, 29.0, skis)
    shrunk = shrink_to(centre, means, variances, variances, 150.0)
    theirs = [float(fit.fe_params.iloc[0] + fit.random_effects[n].iloc[0]) for n in range(skis)]
    assert shrunk.mean == pytest.approx(theirs, rel=1e-4)


# Reference library: statsmodels combine_effects with the variance between by Paule and Mandel;
# in a balanced set moments and likelihood agree, and so do the mean and its deviation.
def test_the_centre_agrees_with_the_meta_analysis_of_statsmodels() -> None:
    data = own_data(5)
    means, variances = data.mean(axis=1), np.full(len(data), 24.0)
    theirs = combine_effects(means, variances, method_re="iterated", use_t=False)
    between = between_variance(means, variances, penalised=False)
    assert between == pytest.approx(theirs.tau2, rel=1e-6)
    centre = centre_of(means, variances, variances, 150.0)
    assert centre.mean == pytest.approx(theirs.mean_effect_re, rel=1e-9)
    weights = 1.0 / (variances + centre.between_variance)
    assert centre.variance == pytest.approx(1.0 / weights.sum(), rel=1e-12)


# Reference library: scipy.optimize on the restricted likelihood itself, unlike variances.
def test_unlike_variances_agree_with_the_likelihood_maximised_outright() -> None:
    rng = np.random.default_rng(11)
    variances = rng.uniform(5.0, 300.0, 40)
    means = rng.normal(45.0, np.sqrt(81.0 + variances))

    def loss(logarithm: float, pull: float) -> float:
        weights = 1.0 / (variances + math.exp(logarithm))
        centre = weights @ means / weights.sum()
        fit = weights @ (means - centre) ** 2 - np.log(weights).sum() + math.log(weights.sum())
        return float(0.5 * fit - pull * logarithm)

    for penalised, pull in ((False, 0.0), (True, 0.5)):
        best = optimize.minimize_scalar(
            loss, bounds=(-2.0, 9.0), args=(pull,), method="bounded", options={"xatol": 1e-9}
        )
        found = between_variance(means, variances, penalised=penalised)
        assert found == pytest.approx(math.exp(best.x), rel=1e-5)


def test_alike_groups_leave_no_variance_between_but_for_the_penalty() -> None:
    means, variances = np.full(20, 45.0), np.full(20, 30.0)
    assert between_variance(means, variances, penalised=False) == 0.0
    assert 0.0 < between_variance(means, variances) < 30.0


def test_a_group_that_says_nothing_gets_the_centre_and_the_surest_its_own() -> None:
    centre = Centre(45.0, 4.0, 81.0, 0.0, 10.0, 11)
    means, variances = np.array([np.nan, 60.0, 60.0]), np.array([np.nan, 1e-6, 1e9])
    shrunk = shrink_to(centre, means, variances, np.zeros(3), 20.0)
    assert shrunk.mean == pytest.approx([45.0, 60.0, 45.0], abs=1e-3)
    assert shrunk.weight == pytest.approx([0.0, 1.0, 0.0], abs=1e-6)
    # Derived: a group nobody read scatters about the centre, which is unsure itself.
    assert shrunk.variance == pytest.approx([85.0, 1e-6, 85.0], rel=1e-3)
    assert shrunk.degrees_of_freedom[0] == pytest.approx(10.0)


# Derived: equal parts give b = 1/2, half the variance, and the mean of both.
def test_equally_sure_meets_in_the_middle() -> None:
    centre = Centre(40.0, 0.0, 9.0, 0.0, GUESS_DEGREES, 0)
    shrunk = shrink_to(centre, np.array([50.0]), np.array([9.0]), np.array([9.0]), 5.0)
    assert (shrunk.mean[0], shrunk.weight[0], shrunk.variance[0]) == (45.0, 0.5, 4.5)
    # Welch and Satterthwaite by hand: 4.5**2 / (2.25**2 / 5 + 2.25**2 / 8).
    assert shrunk.degrees_of_freedom[0] == pytest.approx(20.25 / (2.25**2 / 5 + 2.25**2 / 8))


def test_nothing_unsure_has_no_limit_of_degrees() -> None:
    centre = Centre(40.0, 0.0, 0.0, 0.0, GUESS_DEGREES, 0)
    shrunk = shrink_to(centre, np.array([50.0]), np.array([9.0]), np.array([9.0]), 5.0)
    assert (shrunk.mean[0], shrunk.variance[0]) == (40.0, 0.0)
    assert shrunk.degrees_of_freedom[0] == MOST_DEGREES


def test_scatter_is_surer_the_less_else_there_is_in_it() -> None:
    squares, degrees = np.full(50, 4.0), np.full(50, 4.0)
    pure = scatter_of(squares, squares, degrees)
    assert pure == (1.0, 200.0)
    mixed = scatter_of(squares - 3.0, squares, degrees)
    assert mixed[0] == pytest.approx(0.25)
    assert mixed[1] == pytest.approx(200.0 / 16.0)
    assert scatter_of(squares - 5.0, squares, degrees) == (0.0, 1.0)
    assert scatter_of(squares * 0.0, squares * 0.0, degrees) == (0.0, 200.0)


def test_bad_groups_are_refused() -> None:
    two = np.array([1.0, 2.0])
    three = np.array([1.0, 2.0, 3.0])
    with pytest.raises(OutOfRangeError, match="at least 3"):
        centre_of(two, two, two, 5.0)
    with pytest.raises(WrongCountError):
        between_variance(three, two)
    with pytest.raises(NotFiniteError):
        between_variance(np.array([1.0, 2.0, np.nan]), three)
    with pytest.raises(OutOfRangeError):
        between_variance(three, np.array([1.0, 0.0, 1.0]))
    centre = Centre(1.0, 0.0, 1.0, 0.0, 8.0, 0)
    with pytest.raises(OutOfRangeError, match="not above zero"):
        shrink_to(centre, two, np.array([1.0, 0.0]), two, 5.0)
    with pytest.raises(OutOfRangeError):
        shrink_to(centre, two, two, two, 0.0)
    with pytest.raises(OutOfRangeError):
        Centre(1.0, -1.0, 1.0, 0.0, 8.0, 0)
    with pytest.raises(NotFiniteError):
        Centre(math.nan, 1.0, 1.0, 0.0, 8.0, 0)

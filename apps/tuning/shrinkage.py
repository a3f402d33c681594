"""Means of many groups drawn towards the mean of them all, by how sure each of them is.

One ski with two readings says little of itself; a thousand such skis say much of each other. Each
group's mean is taken as its own true mean with a known variance, the true means as scattered
about one mean. The less sure a group is, the nearer to that mean its estimate moves.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from apps.tuning.errors import (
    OutOfRangeError,
    WrongCountError,
    require_finite,
    require_not_negative,
    require_positive,
)

Floats = NDArray[np.float64]

LEAST_GROUPS = 3
"""From two groups a variance between them can be computed, and means nothing; practice."""

GUESS_DEGREES = 8.0
"""Degrees of freedom of a spread that is practice: taken as known to a quarter (JCGM G.4.2)."""

MOST_DEGREES = 1e6
"""Stands for infinitely many where arrays are computed with."""


@dataclass(frozen=True, slots=True)
class Centre:
    """What the true means of all groups are scattered about.

    Attributes
    ----------
    mean : float
        Their mean [unit of the means].
    variance : float
        Variance of that estimate [unit squared].
    between_variance : float
        Variance of the true means between groups [unit squared].
    between_variance_variance : float
        Variance of that estimate [unit to the fourth].
    degrees_of_freedom : float
        Of both [1].
    groups : int
        Groups it was learned from; 0 where it is practice.
    """

    mean: float
    variance: float
    between_variance: float
    between_variance_variance: float
    degrees_of_freedom: float
    groups: int

    def __post_init__(self) -> None:
        require_finite(self.mean, "mean")
        for name in ("variance", "between_variance", "between_variance_variance"):
            require_not_negative(getattr(self, name), name)
        require_positive(self.degrees_of_freedom, "degrees_of_freedom")


@dataclass(frozen=True, slots=True, eq=False)
class Shrunk:
    """Estimates of the true means of groups, each of shape (n,).

    Attributes
    ----------
    mean : array of float
        Estimates [unit of the means].
    variance : array of float
        Their mean square errors [unit squared].
    degrees_of_freedom : array of float
        Effective ones, by Welch and Satterthwaite [1].
    weight : array of float
        How much of each estimate is the group's own mean [1]: 0 is the centre's, 1 its own.
    centre : Centre
        What they were drawn to.
    """

    mean: Floats
    variance: Floats
    degrees_of_freedom: Floats
    weight: Floats
    centre: Centre


def between_variance(means: Floats, variances: Floats, *, penalised: bool = True) -> float:
    """Variance of the true means between groups by restricted maximum likelihood.

    Parameters
    ----------
    means, variances : array of float, shape (n,)
        Mean of each group and the variance of that mean [one unit, its square].
    penalised : bool
        Whether the likelihood is multiplied by the standard deviation between groups, so that
        the estimate is never zero: a fleet can't show that its skis are all alike, and limits
        that rest on a zero are far too narrow.

    Returns
    -------
    float
        The variance [unit squared]; without the penalty 0 where the groups scatter no more than
        their own variances explain.

    Raises
    ------
    OutOfRangeError
        If there are fewer than three groups or a variance is not above zero.
    WrongCountError, NotFiniteError
        If the arrays don't pair up or a number is not finite.

    Notes
    -----
    Source: the likelihood of means with known variances (checked against statsmodels); the
    penalty of Y. Chung, S. Rabe-Hesketh, V. Dorie, A. Gelman and J. Liu, Psychometrika 78 (2013)
    685-709 (recalled).
    """
    _require_groups(means, variances)
    pull = 0.5 if penalised else 0.0

    def slope(logarithm: float) -> float:
        between = math.exp(logarithm)
        weights = 1.0 / (variances + between)
        total, squared = weights.sum(), weights**2
        apart = (means - weights @ means / total) ** 2
        gain = squared @ apart - total + squared.sum() / total
        return float(pull + 0.5 * between * gain)

    scale = float(np.mean(variances) + np.var(means))
    low, high = math.log(scale * _LEAST_PART), math.log(scale * _MOST_PART)
    if slope(low) <= 0.0:
        return 0.0
    return math.exp(float(brentq(slope, low, high, xtol=1e-12)))


# Far below and above where any likelihood of three groups and more still rises.
_LEAST_PART, _MOST_PART = 1e-10, 1e6


def centre_of(means: Floats, variances: Floats, scatter: Floats, scatter_degrees: float) -> Centre:
    """Learn what the true means of groups are scattered about.

    Parameters
    ----------
    means, variances : array of float, shape (n,)
        Mean of each group and the variance of that mean [one unit, its square].
    scatter, scatter_degrees : array of float, shape (n,), and float
        The part of each variance that was estimated and not stated, and the degrees of freedom
        of that one estimate [unit squared, 1].

    Returns
    -------
    Centre
        With ``n - 1`` degrees of freedom.

    Raises
    ------
    OutOfRangeError
        If there are fewer than three groups or a variance is not above zero.
    NotFiniteError
        If a number is not finite.

    Notes
    -----
    Source: `between_variance`; its variance from the information of that likelihood, robust
    against long tails as by P. J. Huber, Proc. 5th Berkeley Symp. 1 (1967) 221-233 (recalled).
    """
    between = between_variance(means, variances)
    weights = 1.0 / (variances + between)
    total, information = float(weights.sum()), float(weights @ weights)
    mean = float(weights @ means) / total
    squares = weights * (weights * (means - mean) ** 2 - 1.0)
    # Groups with long tails scatter more in their squares than normal ones, whose variance is 2.
    unlike = max(2.0 * information, float(squares @ squares))
    # What the scatter is thought too large by, the variance between is thought too small by.
    mistaken = 2.0 / scatter_degrees * float(weights**2 @ scatter) ** 2
    return Centre(
        mean=mean,
        variance=1.0 / total,
        between_variance=between,
        between_variance_variance=(unlike + mistaken) / information**2,
        degrees_of_freedom=float(means.size - 1),
        groups=int(means.size),
    )


def scatter_of(excess: Floats, squares: Floats, degrees: Floats) -> tuple[float, float]:
    """Variance between services within groups from their squares, and how surely it is known.

    Parameters
    ----------
    excess : array of float, shape (n,)
        Sum of squares of each group less what is known to add to it [unit squared].
    squares, degrees : array of float, shape (n,)
        The sum of squares whole, and its degrees of freedom; 0 both for a group of one.

    Returns
    -------
    tuple of float
        The variance, not below zero [unit squared], and its effective degrees of freedom, no
        more than there are and 1 at least: what else adds to it makes it less sure, and so do
        long tails.
    """
    total = float(degrees.sum())
    variance = max(0.0, float(excess.sum()) / total)
    whole = float(squares.sum()) / total
    unlike = float(np.sum((squares - degrees * whole) ** 2))
    spread = max(2.0 * whole**2 * total, unlike) / total**2
    known = 2.0 * variance**2 / spread if spread > 0.0 else total
    return variance, min(total, max(1.0, known))


def shrink_to(
    centre: Centre, means: Floats, variances: Floats, scatter: Floats, scatter_degrees: float
) -> Shrunk:
    """Draw each group's mean towards a centre by how sure the group is.

    Parameters
    ----------
    centre : Centre
        Learned from these groups or from others, or practice.
    means, variances : array of float, shape (n,)
        Mean of each group and its variance [one unit, its square]; both NaN for a group that says
        nothing.
    scatter : array of float, shape (n,)
        The part of each variance that was estimated and not stated [unit squared].
    scatter_degrees : float
        Degrees of freedom that part was estimated with [1].

    Returns
    -------
    Shrunk
        ``b y + (1 - b) m`` with ``b = t2 / (t2 + v)``, and the mean square error of that, which
        counts what the centre and the variance between are unsure of.

    Raises
    ------
    OutOfRangeError
        If a variance is not above zero or the degrees of freedom are not.

    Notes
    -----
    Source: N. G. N. Prasad and J. N. K. Rao, J. Am. Stat. Assoc. 85 (1990) 163-171, the mean
    square error ``g1 + g2 + 2 g3`` of the small-area model (recalled); degrees of freedom by
    JCGM 100:2008, equation G.2b.
    """
    require_positive(scatter_degrees, "scatter_degrees")
    known = np.isfinite(means)
    if np.any(variances[known] <= 0.0):
        raise OutOfRangeError(
            "variances has one that is not above zero. No mean is that sure.", field="variances"
        )
    between = centre.between_variance
    precision = np.where(known, 1.0 / np.where(known, variances, 1.0), 0.0)
    widened = 1.0 + between * precision
    weight = between * precision / widened
    mean = centre.mean + weight * (np.where(known, means, centre.mean) - centre.mean)
    unsure = (1.0 - weight) ** 2 * centre.variance
    unsure += 2.0 * precision / widened**3 * centre.between_variance_variance
    variance = between / widened + unsure
    of_scatter = weight**2 * np.where(known, scatter, 0.0)
    of_centre = (1.0 - weight) ** 2 * between + unsure
    degrees = _effective(variance, (of_scatter, scatter_degrees), (of_centre, centre))
    return Shrunk(mean, variance, degrees, weight, centre)


def _effective(
    variance: Floats, scatter: tuple[Floats, float], rest: tuple[Floats, Centre]
) -> Floats:
    limit = scatter[0] ** 2 / scatter[1] + rest[0] ** 2 / rest[1].degrees_of_freedom
    least = variance**2 / MOST_DEGREES
    return np.divide(
        variance**2,
        np.maximum(limit, least),
        out=np.full_like(variance, MOST_DEGREES),
        where=variance > 0.0,
    )


def _require_groups(means: Floats, variances: Floats) -> None:
    if means.shape != variances.shape:
        raise WrongCountError("means and variances must pair up.", field="variances")
    if means.size < LEAST_GROUPS:
        raise OutOfRangeError(
            f"There are {means.size} groups and at least {LEAST_GROUPS} are needed.", field="means"
        )
    require_finite(float(means.sum()), "means")
    require_finite(float(variances.sum()), "variances")
    require_positive(float(variances.min()), "variances")

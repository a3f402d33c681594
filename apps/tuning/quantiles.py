"""Quantiles of the distributions that intervals and tests rest on.

They come from `scipy.special`, as those of `scipy.stats` do: that package takes most of a second
to load, and every command of the node would wait for it.
"""

from __future__ import annotations

import math

from scipy import special


def normal_quantile(probability: float) -> float:
    """Value that a standard normal variable stays below with a probability in (0, 1) [1]."""
    return float(special.ndtri(probability))


def normal_probability(value: float) -> float:
    """Probability that a standard normal variable stays below a value [1]."""
    return float(special.ndtr(value))


def t_quantile(probability: float, degrees_of_freedom: float) -> float:
    """Value that Student's t stays below with a probability in (0, 1) [1].

    Parameters
    ----------
    probability : float
    degrees_of_freedom : float
        Above 0; without end it is the normal distribution.
    """
    if math.isinf(degrees_of_freedom):
        return normal_quantile(probability)
    return float(special.stdtrit(degrees_of_freedom, probability))


def chi_squared_quantile(probability: float, degrees_of_freedom: int) -> float:
    """Value that chi-squared stays below with a probability in (0, 1) [1].

    Notes
    -----
    Chi-squared with f degrees of freedom is twice a gamma variable of shape f/2.
    """
    return 2.0 * float(special.gammaincinv(degrees_of_freedom / 2.0, probability))

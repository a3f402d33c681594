"""Pools what several shops state into one distribution that names no shop and no ski.

Each shop has one vote, whatever the size of its fleet, so that no shop's habit drowns the others'.
Values are whole thousandths of their unit (mm, m or degrees): exact, as they were written down.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

import numpy as np

from apps.tuning.errors import OutOfRangeError, WrongCountError

LEAST_SHOPS = 3
LEAST_SKIS = 3
METHOD = "quartiles, one vote a shop"
COUNT_STEPS = (3, 5, 10, 20, 50, 100, 200, 500, 1_000, 2_000, 5_000, 10_000)
"""Counts are rounded down to these, so that one shop or ski more can't be seen to come in."""

PoolCode = Literal["pooled", "fewer-than-three-shops", "fewer-than-three-skis"]


@dataclass(frozen=True, slots=True)
class Told:
    """What one shop states of like skis.

    Attributes
    ----------
    shop : str
        Which shop; it never leaves this module.
    thousandths : int
        The value [1/1000 of its unit].
    times : int
        On how many places of how many skis it states this value.
    band : int
        How like those skis are: 0 the closest.

    Raises
    ------
    OutOfRangeError
        If it was stated less than once, or the band is negative.
    """

    shop: str
    thousandths: int
    times: int = 1
    band: int = 0

    def __post_init__(self) -> None:
        if self.times < 1:
            raise OutOfRangeError("times is below 1. Leave out what nobody stated.", field="times")
        if self.band < 0:
            raise OutOfRangeError("band is below 0. Count the bands from 0.", field="band")


@dataclass(frozen=True, slots=True)
class Rounding:
    """To what the figures of a distribution are rounded [1/1000 of the unit].

    ``quartiles`` is the step of median and quartiles. ``limits`` is the step to which the range
    is widened, so that no single ski's extreme is told; it is a multiple of the first.
    """

    quartiles: int
    limits: int

    def __post_init__(self) -> None:
        if self.quartiles < 1 or self.limits < 1 or self.limits % self.quartiles:
            raise OutOfRangeError(
                "limits is no multiple of quartiles. Give two steps that nest.", field="limits"
            )

    def near(self, thousandths: float) -> int:
        """The nearest step; halves go up."""
        return int((2 * thousandths + self.quartiles) // (2 * self.quartiles)) * self.quartiles

    def below(self, thousandths: int) -> int:
        """The limit at or below a value."""
        return thousandths // self.limits * self.limits

    def above(self, thousandths: int) -> int:
        """The limit at or above a value."""
        return -(-thousandths // self.limits) * self.limits


ROUNDINGS: Mapping[str, Rounding] = MappingProxyType(
    {
        "base_bevel": Rounding(50, 500),
        "side_bevel": Rounding(50, 500),
        "shovel_width": Rounding(500, 2_000),
        "waist_width": Rounding(500, 2_000),
        "tail_width": Rounding(500, 2_000),
        "chord": Rounding(5_000, 20_000),
        "radius": Rounding(500, 1_000),
        "edge_height": Rounding(10, 100),
        "edge_width": Rounding(10, 100),
        "base_thickness": Rounding(10, 100),
        "removal": Rounding(5, 20),
    }
)
"""Practice: fine enough for a bench, coarse enough that it tells no single reading."""


@dataclass(frozen=True, slots=True)
class Distribution:
    """Median, quartiles and widened range [1/1000 of the unit]."""

    median: int
    lower_quartile: int
    upper_quartile: int
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class Pooled:
    """A distribution, or why there is none.

    Attributes
    ----------
    code : {"pooled", "fewer-than-three-shops", "fewer-than-three-skis"}
        None, one and two shops are not told apart.
    sentence : str
        For a person.
    distribution : Distribution or None
        None unless pooled.
    shops, skis : int or None
        How many stand behind it, rounded down; None unless pooled.
    band : int or None
        The closest band of likeness that holds enough; None unless pooled.
    method : str
        Name of the rule.
    """

    code: PoolCode
    sentence: str
    distribution: Distribution | None = None
    shops: int | None = None
    skis: int | None = None
    band: int | None = None
    method: str = METHOD


FEW_SHOPS = Pooled(
    "fewer-than-three-shops",
    "Fewer than three other shops stand behind this, so nothing of it is shown.",
)
FEW_SKIS = Pooled(
    "fewer-than-three-skis",
    "Fewer than three skis stand behind this, so nothing of it is shown.",
)


def weighted_quantile(values: Sequence[int], weights: Sequence[float], share: float) -> int:
    """Least value with at least a share of the weight at or below it.

    Parameters
    ----------
    values : sequence of int, shape (n,)
        Values [1/1000 of the unit].
    weights : sequence of float, shape (n,)
        Weight of each, above zero.
    share : float
        0 to 1.

    Returns
    -------
    int
        One of the values.

    Raises
    ------
    WrongCountError
        If there is no value, or not one weight for each.
    OutOfRangeError
        If the share is not within 0 to 1 or a weight is not above zero.

    Notes
    -----
    Source: Hyndman and Fan, Sample quantiles in statistical packages, The American Statistician
    50(4) (1996), definition 1, as NumPy carries it over to weights.
    """
    if not values or len(values) != len(weights):
        raise WrongCountError("Give one weight for each of the values.", field="weights")
    if min(weights) <= 0:
        raise OutOfRangeError("A weight is not above zero. Leave that value out.", field="weights")
    if not 0 <= share <= 1:
        raise OutOfRangeError(f"share is {share:g}. Give 0 to 1.", field="share")
    return int(np.quantile(values, share, weights=weights, method="inverted_cdf"))


def votes(told: Iterable[Told]) -> tuple[list[int], list[float]]:
    """Values in order, and the share of its shop's one vote that each has."""
    ordered = sorted(told, key=lambda one: (one.thousandths, one.shop, one.band, one.times))
    spoken: Counter[str] = Counter()
    for one in ordered:
        spoken[one.shop] += one.times
    return [one.thousandths for one in ordered], [one.times / spoken[one.shop] for one in ordered]


def distribution_of(told: Iterable[Told], rounding: Rounding) -> Distribution:
    """Distribution of what is told, with one vote a shop.

    Parameters
    ----------
    told : iterable of Told
        At least one.
    rounding : Rounding
        To what the figures are rounded.

    Returns
    -------
    Distribution
        The range is widened to the coarser step.

    Raises
    ------
    WrongCountError
        If nothing is told.
    """
    values, weights = votes(told)
    lower, median, upper = (weighted_quantile(values, weights, q) for q in (0.25, 0.5, 0.75))
    return Distribution(
        rounding.near(median),
        rounding.near(lower),
        rounding.near(upper),
        rounding.below(values[0]),
        rounding.above(values[-1]),
    )


def pool(told: Iterable[Told], skis_by_band: Sequence[int], rounding: Rounding) -> Pooled:
    """Pool what other shops tell of like skis, in the closest band that holds enough.

    Parameters
    ----------
    told : iterable of Told
        What shops other than the asker's state; none of it may be the asker's own.
    skis_by_band : sequence of int
        How many skis stand behind it, for each band by itself.
    rounding : Rounding
        To what the figures are rounded.

    Returns
    -------
    Pooled
        Nothing at all of a distribution behind which fewer than three shops or skis stand.

    Notes
    -----
    Source: threshold rule with the number three, as in the Glossary of Statistical Disclosure
    Control (2005); that the closest band counts is our own.
    """
    said = list(told)
    found = FEW_SHOPS
    for band in range(len(skis_by_band)):
        within = [one for one in said if one.band <= band]
        found = _judged(within, sum(skis_by_band[: band + 1]), rounding, band)
        if found.distribution is not None:
            return found
    return found


def _judged(told: Sequence[Told], skis: int, rounding: Rounding, band: int) -> Pooled:
    shops = len({one.shop for one in told})
    if shops < LEAST_SHOPS:
        return FEW_SHOPS
    if skis < LEAST_SKIS:
        return FEW_SKIS
    shown_skis, shown_shops = counted_down(skis), counted_down(shops)
    return Pooled(
        "pooled",
        f"At least {shown_skis} skis of at least {shown_shops} other shops.",
        distribution_of(told, rounding),
        shown_shops,
        shown_skis,
        band,
    )


def counted_down(count: int) -> int:
    """Round a count down to the ladder of counts that are shown.

    Raises
    ------
    OutOfRangeError
        If it is below three, of which nothing is shown.
    """
    if count < COUNT_STEPS[0]:
        raise OutOfRangeError(
            f"count is {count:g}, and nothing is shown of fewer than {COUNT_STEPS[0]}.",
            field="count",
        )
    return max(step for step in COUNT_STEPS if step <= count)

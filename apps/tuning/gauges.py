"""Readings of gauges: what all readings of one gauge have in common does not average out.

A gauge is off by the same amount each time it reads: its zero, its wear, the hand that taught
itself on it. That part of the uncertainty is shared by all its readings; the rest is each
reading's own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from apps.tuning.errors import OutOfRangeError, require_points, require_positive


class Gauge(NamedTuple):
    """Whose gauge, and which; the unnamed gauges of one shop count as one."""

    shop: str
    instrument: str | None

    @property
    def is_named(self) -> bool:
        """Whether two readings are known to be by one and the same gauge."""
        return bool(self.instrument)


@dataclass(frozen=True, slots=True)
class GaugeReading:
    """One reading, its uncertainty parted into what the gauge shares and what is its own.

    Attributes
    ----------
    value : float
        As read, in the unit its holder names.
    standard_uncertainty : float
        Of the reading as a whole (k = 1), above zero [same unit].
    gauge : Gauge
        What it was read with.
    shared_uncertainty : float
        The part that all readings of that gauge have in common (k = 1) [same unit], below the
        whole.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the uncertainty is not above zero, or nothing of it is the reading's own.
    """

    value: float
    standard_uncertainty: float
    gauge: Gauge
    shared_uncertainty: float = 0.0

    def __post_init__(self) -> None:
        require_positive(self.standard_uncertainty, "standard_uncertainty")
        if not 0.0 <= self.shared_uncertainty < self.standard_uncertainty:
            raise OutOfRangeError(
                "shared_uncertainty is the whole of the uncertainty or more. Give less.",
                field="shared_uncertainty",
            )

    @property
    def own_variance(self) -> float:
        """Variance of the part that is this reading's own [unit squared]."""
        return self.standard_uncertainty**2 - self.shared_uncertainty**2


@dataclass(frozen=True, slots=True)
class SharedPart:
    """What one gauge's common error contributes to a figure.

    Attributes
    ----------
    shop, instrument : str and str or None
        Whose gauge, and which; None for the gauges a shop didn't name.
    standard_uncertainty : float
        The contribution (k = 1) [unit of the figure].
    """

    shop: str
    instrument: str | None
    standard_uncertainty: float

    @property
    def gauge(self) -> Gauge:
        """The gauge."""
        return Gauge(self.shop, self.instrument)


@dataclass(slots=True)
class _OfGauge:
    """What the readings of one gauge say together, kept up as they come."""

    shared_variance: float
    weight: float = 0.0
    weighted: float = 0.0

    @property
    def mean(self) -> float:
        return self.weighted / self.weight

    @property
    def variance(self) -> float:
        return self.shared_variance + 1.0 / self.weight


@dataclass(frozen=True, slots=True)
class PooledMean:
    """The surest mean of some readings of one and the same thing.

    Attributes
    ----------
    value : float
        Weighted mean [unit of the readings].
    standard_uncertainty : float
        Of that mean (k = 1), never below what a single gauge shares [same unit].
    """

    value: float
    standard_uncertainty: float


class Pool:
    """Readings of one and the same thing, pooled as they come.

    Notes
    -----
    Source: JCGM 100:2008, 5.2.2 for the covariance of readings that share a part; the weights
    are those of generalised least squares (Gauss and Aitken), which this structure gives in two
    steps: within each gauge by ``1 / own variance``, then among the gauges by
    ``1 / (shared variance + own variance of its mean)``. No weight is negative, so one more
    reading never makes the mean less sure.
    """

    def __init__(self, readings: Iterable[GaugeReading] = ()) -> None:
        self._of: dict[Gauge, _OfGauge] = {}
        self._weight = 0.0
        self._weighted = 0.0
        for reading in readings:
            self.add(reading)

    def add(self, reading: GaugeReading) -> None:
        """Take one more reading in."""
        found = self._of.setdefault(reading.gauge, _OfGauge(reading.shared_uncertainty**2))
        if found.weight:
            self._weight -= 1.0 / found.variance
            self._weighted -= found.mean / found.variance
        found.weight += 1.0 / reading.own_variance
        found.weighted += reading.value / reading.own_variance
        self._weight += 1.0 / found.variance
        self._weighted += found.mean / found.variance

    @property
    def mean(self) -> PooledMean:
        """What the readings say together; there must be one."""
        return PooledMean(self._weighted / self._weight, 1.0 / math.sqrt(self._weight))

    def weight_of(self, gauge: Gauge) -> float:
        """Share of the mean that comes from one gauge [1]."""
        found = self._of.get(gauge)
        return 0.0 if found is None else 1.0 / found.variance / self._weight

    def weight_in_gauge(self, reading: GaugeReading) -> float:
        """Share of its gauge's mean that comes from one reading of the pool [1]."""
        return 1.0 / reading.own_variance / self._of[reading.gauge].weight

    def agrees_with(self, reading: GaugeReading, factor: float) -> bool:
        """Whether one more reading lies within `factor` uncertainties of its difference."""
        mean = self.mean
        shared = self.weight_of(reading.gauge) * reading.shared_uncertainty**2
        variance = mean.standard_uncertainty**2 + reading.standard_uncertainty**2 - 2.0 * shared
        return abs(reading.value - mean.value) <= factor * math.sqrt(variance)

    def chi_squared(self, readings: Iterable[GaugeReading]) -> float:
        """Sum of squared deviations of the pool's own readings from its mean, by their covariance.

        Parameters
        ----------
        readings : iterable of GaugeReading
            Those the pool was made of.

        Returns
        -------
        float
            About the number of readings less one where their uncertainties explain them [1].
        """
        within = sum(
            (one.value - self._of[one.gauge].mean) ** 2 / one.own_variance for one in readings
        )
        mean = self.mean.value
        return within + sum((one.mean - mean) ** 2 / one.variance for one in self._of.values())


def shared_uncertainties(
    standard_uncertainties: Sequence[float], gauges: Sequence[Gauge], share: float
) -> tuple[float, ...]:
    """What the readings of each gauge have in common.

    Parameters
    ----------
    standard_uncertainties : sequence of float, shape (n,)
        Of each reading (k = 1) [one unit].
    gauges : sequence of Gauge, shape (n,)
        What each was read with.
    share : float
        Share of the variance of a gauge's surest reading that all its readings have in common
        [1], from 0 to below 1; practice.

    Returns
    -------
    tuple of float, shape (n,)
        One number a gauge (k = 1) [same unit]: the surest reading tells most of the gauge, what
        the others have beyond it is their own.

    Raises
    ------
    OutOfRangeError
        If the share is not from 0 to below 1.
    ProfileTooShortError
        If there is no reading.
    """
    require_share(share)
    require_points(standard_uncertainties, "standard_uncertainties", 1)
    surest: dict[Gauge, float] = {}
    for uncertainty, gauge in zip(standard_uncertainties, gauges, strict=True):
        surest[gauge] = min(uncertainty, surest.get(gauge, math.inf))
    return tuple(math.sqrt(share) * surest[gauge] for gauge in gauges)


def require_share(share: float) -> float:
    """Return `share` when it is a share that leaves each reading something of its own.

    Raises
    ------
    OutOfRangeError
        If it is not from 0 to below 1.
    """
    if not 0.0 <= share < 1.0:
        raise OutOfRangeError(
            f"share is {share:g}. Give 0 or more, and less than 1.", field="share"
        )
    return share

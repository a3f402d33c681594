"""How many services a reserve is good for, and by whose rate."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from apps.tuning.errors import (
    OutOfRangeError,
    require_finite,
    require_not_negative,
    require_positive,
)
from apps.tuning.history import MaterialQuantity
from apps.tuning.practice import Practice
from apps.tuning.rates import LearnedRate

RateBasis = Literal["readings", "practice", "stated"]


# A quotient of two decimals such as 0.3 / 0.1 falls short of its whole number by the last bit.
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class ServiceRate:
    """What one usual service takes off [mm]: the usual amount between two limits.

    Attributes
    ----------
    low_mm, usual_mm, high_mm : float
        Amount and its limits [mm].
    basis : {"readings", "practice", "stated"}
        From a shop's own before and after readings alone, from its practice as soon as one
        operation has too few of them, or as it was asked for.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If an amount is negative, not a number or out of order.
    """

    low_mm: float
    usual_mm: float
    high_mm: float
    basis: RateBasis

    def __post_init__(self) -> None:
        require_not_negative(self.low_mm, "low_mm")
        require_not_negative(self.high_mm, "high_mm")
        if not self.low_mm <= self.usual_mm <= self.high_mm:
            raise OutOfRangeError("A rate needs low_mm <= usual_mm <= high_mm.", field="usual_mm")


@dataclass(frozen=True, slots=True)
class ServicesLeft:
    """Whole services that a reserve is good for.

    Attributes
    ----------
    services : int or None
        At the usual rate; None where the rate is zero and no number would mean anything.
    low : int or None
        From the lower limit of the reserve at the high rate; None where even that is
        zero.
    high : int or None
        From the upper limit of the reserve at the low rate; None where that rate is zero.
    rate : ServiceRate
        The rate and what it rests on.
    """

    services: int | None
    low: int | None
    high: int | None
    rate: ServiceRate


def service_rate(
    quantity: MaterialQuantity, practice: Practice, learned: Iterable[LearnedRate] = ()
) -> ServiceRate:
    """What one usual service takes off one quantity.

    Parameters
    ----------
    quantity : {"edge_height", "edge_width", "base_thickness"}
        What is taken.
    practice : Practice
        Names the operations of a usual service and stands in where nothing was learned.
    learned : iterable of LearnedRate
        Rates from a shop's own readings; those that fell back to practice are passed over.

    Returns
    -------
    ServiceRate
        Sum over the operations, the limits at their worst.
    """
    own = {
        rate.operation: rate.amount
        for rate in learned
        if rate.quantity == quantity and rate.basis == "readings"
    }
    names = practice.service_operations
    amounts = [own.get(name, practice.removal(name).of(quantity)) for name in names]
    guessed = [
        name for name in names if name not in own and practice.removal(name).of(quantity).high_mm
    ]
    basis: RateBasis = "practice" if guessed or not own else "readings"
    low = sum(amount.low_mm for amount in amounts)
    usual = sum(amount.usual_mm for amount in amounts)
    return ServiceRate(low, usual, sum(amount.high_mm for amount in amounts), basis)


def services_left(
    reserve_mm: float, reserve_low_mm: float, reserve_high_mm: float, rate: ServiceRate
) -> ServicesLeft:
    """Whole services that a reserve is good for, with an interval.

    Parameters
    ----------
    reserve_mm, reserve_low_mm, reserve_high_mm : float
        Material above the shop's least, and its limits [mm]; may be negative.
    rate : ServiceRate
        What one service takes.

    Returns
    -------
    ServicesLeft
        ``floor(reserve / removal)``; never below zero.

    Raises
    ------
    NotFiniteError
        If a reserve is not an ordinary number.

    Notes
    -----
    Source: the sum of novinky.cz 2023-11 (reserve 1.0 mm, 0.066 mm a service, 15 services).
    """
    return ServicesLeft(
        _whole(reserve_mm, rate.usual_mm),
        _whole(reserve_low_mm, rate.high_mm),
        _whole(reserve_high_mm, rate.low_mm),
        rate,
    )


def seasons_left(services: int, services_a_season: float) -> int:
    """Whole seasons that a number of services lasts.

    Parameters
    ----------
    services : int
        Services left [1].
    services_a_season : float
        Services in one season [1].

    Returns
    -------
    int
        ``floor(services / services_a_season)``.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the services are negative or those of a season not above zero.

    Notes
    -----
    Source: the sum of novinky.cz 2023-11 (15 services at 3 a season, 5 seasons).
    """
    require_not_negative(services, "services")
    require_positive(services_a_season, "services_a_season")
    return math.floor(services / services_a_season + _ROUNDING)


def _whole(reserve_mm: float, removal_mm: float) -> int | None:
    require_finite(reserve_mm, "reserve_mm")
    if removal_mm == 0.0:
        return None
    return math.floor(max(0.0, reserve_mm) / removal_mm + _ROUNDING)

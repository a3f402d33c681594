"""What operations and services take off here, as the page shows it."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apps.registry.fleet_outlook import fleet_rates
from apps.registry.own_rates import MOST_VISITS, own_rates
from apps.tuning.rates import LEAST_PAIRS, LearnedRate
from apps.tuning.shrinkage import LEAST_GROUPS
from apps.tuning.wear_limits import fleet_limits_mm
from apps.tuning.wear_rates import FleetRate


@dataclass(frozen=True, slots=True)
class RateRow:
    """What one run of an operation, or one usual service, takes.

    Parameters
    ----------
    name : str
        The operation; "" for a usual service.
    quantity : str
        What it takes.
    count : int
        Pairs of readings, or services between readings.
    usual_mm, low_mm, high_mm : float
        The rate that is reckoned with, and its limits [mm].
    basis : {"readings", "practice"}
        What it rests on.
    sentence : str
        How much was read, and what is missing.
    read_mm : float or None
        The mean of what was read, also where that is too little to reckon with [mm].
    """

    name: str
    quantity: str
    count: int
    usual_mm: float
    low_mm: float
    high_mm: float
    basis: str
    sentence: str
    read_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Rates:
    """All rates of a shop."""

    operations: tuple[RateRow, ...]
    services: tuple[RateRow, ...]
    most_visits: int = MOST_VISITS


def rates_of(handle: str) -> Rates:
    """Read a shop's rates: a fixed number of queries."""
    services = (rates.fleet for rates in fleet_rates(handle))
    return Rates(tuple(map(operation_row, own_rates(handle))), tuple(map(service_row, services)))


def operation_row(rate: LearnedRate) -> RateRow:
    """Show what an operation takes."""
    amount = rate.amount
    return RateRow(
        rate.operation,
        rate.quantity,
        rate.count,
        amount.usual_mm,
        amount.low_mm,
        amount.high_mm,
        rate.basis,
        _of_operation(rate),
        rate.mean_mm,
    )


def service_row(rate: FleetRate) -> RateRow:
    """Show what one usual service takes off the fleet."""
    low, high = fleet_limits_mm(rate)
    return RateRow(
        "",
        rate.quantity,
        rate.services,
        rate.centre.mean,
        low,
        high,
        rate.basis,
        service_sentence(rate),
    )


def _of_operation(rate: LearnedRate) -> str:
    if rate.count < LEAST_PAIRS:
        return ngettext(
            "%(count)d pair of readings. %(least)d are needed, so practice stands in.",
            "%(count)d pairs of readings. %(least)d are needed, so practice stands in.",
            rate.count,
        ) % {"count": rate.count, "least": LEAST_PAIRS}
    if rate.basis == "practice":
        return _("The readings show nothing taken off on the mean, so practice stands in.")
    return ngettext("%(count)d pair of readings.", "%(count)d pairs of readings.", rate.count) % {
        "count": rate.count
    }


def service_sentence(rate: FleetRate) -> str:
    """Say what the rate of a usual service rests on."""
    if rate.basis == "practice":
        return ngettext(
            "%(skis)d ski has readings with a service between them. %(least)d are needed, so "
            "practice stands in.",
            "%(skis)d skis have readings with a service between them. %(least)d are needed, so "
            "practice stands in.",
            rate.skis,
        ) % {"skis": rate.skis, "least": LEAST_GROUPS}
    return ngettext(
        "Learned from one service of %(skis)d skis between readings.",
        "Learned from %(services)d services of %(skis)d skis between readings.",
        rate.services,
    ) % {"services": rate.services, "skis": rate.skis}

"""What the outlook of a fleet rests on: one query for the columns, and no work for a single ski."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from apps.registry.models import Wear
from apps.registry.practices import practice_of
from apps.tuning.history import MaterialQuantity
from apps.tuning.outlook import Counted, Fleet, Outlook, month_ends, outlook, seasons_until
from apps.tuning.practice import Practice
from apps.tuning.season import season_calendar
from apps.tuning.wear import QUANTITIES
from apps.tuning.wear_pace import BY_THE_RECORDS, UseForecast, pace_of
from apps.tuning.wear_policy import AS_NOW, Policy
from apps.tuning.wear_rates import ShrunkRates, shrink
from apps.tuning.wear_statistics import FIELDS, WearColumns, columns_of


def wear_columns(handle: str, quantity: MaterialQuantity) -> WearColumns:
    """Read what the readings and the use of a shop's skis come down to: one query.

    Skis that are retired, sold or missing are left out.
    """
    rows = Wear._default_manager.filter(shop=handle, quantity=quantity, in_fleet=True)
    return columns_of(rows.values_list(*FIELDS).iterator(chunk_size=5_000))


def worn_fleet(
    handle: str,
    quantity: MaterialQuantity,
    practice: Practice,
    forecast: UseForecast = BY_THE_RECORDS,
) -> Fleet:
    """Put a shop's fleet together for an outlook: its rates, its pace and the shop's least.

    Parameters
    ----------
    handle : str
        The shop.
    quantity : {"edge_height", "edge_width", "base_thickness"}
        What wears.
    practice : Practice
        The shop's least, and what stands in where too little was read.
    forecast : UseForecast
        What the shop expects of the use, in place of the records.
    """
    columns = wear_columns(handle, quantity)
    rates = shrink(columns, quantity, practice)
    return Fleet(columns, rates, pace_of(columns, forecast), practice.least_mm(quantity))


@dataclass(frozen=True, slots=True)
class OutlookAsked:
    """What is asked of the seasons to come.

    Parameters
    ----------
    on : date
        The day from which it is reckoned.
    quantity : {"edge_height", "edge_width", "base_thickness"}
        What runs out.
    months : int
        How many, that of `on` the first [1].
    policy : Policy
        How the shop would service instead.
    forecast : UseForecast
        What it expects of the use, in place of the records.
    """

    on: date
    quantity: MaterialQuantity
    months: int
    policy: Policy = AS_NOW
    forecast: UseForecast = BY_THE_RECORDS


@dataclass(frozen=True, slots=True)
class Reckoned:
    """An outlook with all that it was made of.

    Parameters
    ----------
    ends : tuple of date
        Last days of the months.
    places : tuple of int
        For each month, where its numbers stand in the outlook: months outside of the season add
        nothing, so several of them end at one time.
    practice : Practice
        The shop's.
    fleet : Fleet
        The skis.
    result : Outlook
        Under the policy that was asked for.
    """

    ends: tuple[date, ...]
    places: tuple[int, ...]
    practice: Practice
    fleet: Fleet
    result: Outlook


def reckon(handle: str, asked: OutlookAsked) -> Reckoned:
    """Reckon the outlook of a shop's fleet: two queries, whatever its size."""
    practice = practice_of(handle)
    fleet = worn_fleet(handle, asked.quantity, practice, asked.forecast)
    ends = month_ends(asked.on, asked.months)
    calendar = season_calendar(practice.season_first, practice.season_last)
    times = seasons_until(ends, asked.on, calendar)
    seasons = sorted(set(times))
    places = tuple(seasons.index(time) for time in times)
    return Reckoned(ends, places, practice, fleet, outlook(fleet, seasons, policy=asked.policy))


def as_now(reckoned: Reckoned) -> Outlook:
    """Give the same outlook without a change of policy: no query."""
    if reckoned.result.policy == AS_NOW:
        return reckoned.result
    return outlook(reckoned.fleet, [float(at) for at in reckoned.result.seasons])


def by_month(shown: Outlook, reckoned: Reckoned) -> Outlook:
    """Give an outlook with the numbers of each month, also where several end at one time."""
    places = list(reckoned.places)
    below, spared = (_at(counted, places) for counted in (shown.below, shown.spared))
    return replace(shown, seasons=shown.seasons[places], below=below, spared=spared)


def _at(counted: Counted, places: list[int]) -> Counted:
    return Counted(counted.expected[places], counted.low[places], counted.high[places])


def services_a_season(fleet: Fleet) -> float | None:
    """Services in a season [1], on the mean of the skis that are reckoned with; None of none."""
    known = fleet.pace.services[np.isfinite(fleet.pace.services + fleet.columns.level_mm)]
    return float(known.mean()) if known.size else None


def fleet_rates(handle: str) -> tuple[ShrunkRates, ...]:
    """Give what one usual service takes off a shop's skis: a query a quantity, one besides."""
    practice = practice_of(handle)
    return tuple(
        shrink(wear_columns(handle, quantity), quantity, practice) for quantity in QUANTITIES
    )

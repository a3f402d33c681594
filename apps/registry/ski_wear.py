"""The wear of one ski: its own history beside the columns of the fleet of the shop that asks."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date
from itertools import groupby
from operator import itemgetter
from typing import Any

import numpy as np

from apps.registry.models import Wear
from apps.tuning.history import MaterialQuantity, Visit
from apps.tuning.outlook import Fleet
from apps.tuning.practice import Practice
from apps.tuning.season import season_calendar
from apps.tuning.series import SeriesKey
from apps.tuning.wear import QUANTITIES
from apps.tuning.wear_pace import BY_THE_RECORDS, UseForecast, pace_of
from apps.tuning.wear_rates import fleet_rate, shrink_to_fleet
from apps.tuning.wear_ski import SkiWear, ski_wears
from apps.tuning.wear_statistics import FIELDS, WearColumns, WearStatistics, columns_of

ROWS_AT_ONCE = 5_000


@dataclass(frozen=True, slots=True)
class FleetRows:
    """A shop's skis in service for one quantity.

    Parameters
    ----------
    columns : WearColumns
        What the readings and the use of each come down to.
    own : int or None
        Place of the ski that is asked for; None where it is not among them.
    """

    columns: WearColumns
    own: int | None


@dataclass(frozen=True, slots=True)
class Asked:
    """All that the wear of a ski is reckoned from.

    Parameters
    ----------
    visits : tuple of Visit
        The ski's, in order of time.
    fleet : mapping of quantity to FleetRows
        The skis of the shop that asks.
    practice : Practice
        That of the same shop, since it is its bench that will do the services.
    on : date
        The day from which seasons are counted.
    forecast : UseForecast
        What the shop expects of the use, in place of the records.
    """

    visits: tuple[Visit, ...]
    fleet: Mapping[MaterialQuantity, FleetRows]
    practice: Practice
    on: date
    forecast: UseForecast = BY_THE_RECORDS


def fleet_rows(handle: str, tags: Collection[str]) -> dict[MaterialQuantity, FleetRows]:
    """Read what the readings and the use of a shop's skis come down to: one query."""
    rows = Wear._default_manager.filter(shop=handle, in_fleet=True).order_by("quantity")
    listed = rows.values_list("quantity", "ski", *FIELDS).iterator(chunk_size=ROWS_AT_ONCE)
    read = {quantity: list(part) for quantity, part in groupby(listed, key=itemgetter(0))}
    return {quantity: _rows(read.get(quantity, []), tags) for quantity in QUANTITIES}


def _rows(rows: Sequence[tuple[Any, ...]], tags: Collection[str]) -> FleetRows:
    own = next((place for place, row in enumerate(rows) if row[1] in tags), None)
    return FleetRows(columns_of(row[2:] for row in rows), own)


def fleet_with(key: SeriesKey, statistics: WearStatistics, asked: Asked) -> tuple[Fleet, int]:
    """Give the fleet with the edge that is asked for as its last ski, and that ski's place.

    The fleet's rate is that of its own skis alone, a whole ski each, so that it is the same for
    each edge and for a look at another shop's ski. An own ski's stored row makes way for the edge,
    or its use would count twice.
    """
    rows, practice = asked.fleet[key.quantity], asked.practice
    learned = fleet_rate(rows.columns, key.quantity, practice)
    columns = _with_last(rows, columns_of([statistics.row]))
    rates, pace = shrink_to_fleet(columns, learned), pace_of(columns, asked.forecast)
    return Fleet(columns, rates, pace, practice.least_mm(key.quantity)), columns.count - 1


def told_of(fleet: Fleet, place: int, asked: Asked) -> SkiWear:
    """Say what one ski of a fleet is told of its wear."""
    calendar = season_calendar(asked.practice.season_first, asked.practice.season_last)
    (told,) = ski_wears(fleet, [place], asked.on, calendar)
    return told


def _with_last(rows: FleetRows, last: WearColumns) -> WearColumns:
    away = [] if rows.own is None else [rows.own]
    others = (np.delete(getattr(rows.columns, name.name), away) for name in fields(WearColumns))
    lasts = (getattr(last, name.name) for name in fields(WearColumns))
    return WearColumns(*(np.append(*pair) for pair in zip(others, lasts, strict=True)))

"""The paths over a large fleet, each beside the same done with a piece of Python for every ski."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace
from datetime import date
from typing import Any, TypeVar

import numpy as np

from apps.api.fleet_columns import cells_of
from apps.api.fleet_due import due_row
from apps.registry.fleet import Selection, fleet_rows
from apps.registry.fleet_columns import kept_columns, order_of
from apps.registry.fleet_due import Asked, due_rows
from apps.registry.fleet_outlook import worn_fleet
from apps.registry.fleet_reasons import KEPT, Kept
from apps.registry.models import Condition
from apps.tuning.outlook import Fleet, outlook
from apps.tuning.practice import Practice
from apps.tuning.season import season_calendar
from apps.tuning.wear_pace import Pace
from apps.tuning.wear_rates import ShrunkRates
from apps.tuning.wear_statistics import WearColumns
from service_registry.benchmark.paths import Path

T = TypeVar("T", WearColumns, ShrunkRates, Pace)
PAGE = 100
SEASONS = (0.5, 1.0, 1.5, 2.0, 2.5, 3.0)
ON = date(2025, 1, 31)


def fleet_paths(handle: str) -> tuple[Path, ...]:
    """Give the paths over the fleet of a shop."""
    practice = Practice()
    return (
        Path(
            "a page of the fleet sorted by steel left",
            "every row made a model and sorted in Python",
            lambda: _page(handle),
            lambda: _sorted_page(handle),
        ),
        Path(
            "a page of what is due, the most urgent first",
            "every ski judged in Python",
            lambda: _due_page(handle, practice),
            lambda: _judged_page(handle, practice),
        ),
    )


def outlook_path(handle: str) -> Path:
    """Give the path of the outlook over the fleet of a shop."""
    practice = Practice()
    return Path(
        "outlook of a fleet over three seasons",
        "the chances of each ski reckoned by itself",
        lambda: _outlook(handle, practice),
        lambda: _outlook_ski_by_ski(handle, practice),
    )


def _page(handle: str) -> int:
    order, columns = order_of("edge_height_least_mm"), kept_columns(ON)
    rows = fleet_rows(Selection().of(handle), order, columns, size=PAGE)
    return len([cells_of(row) for row in rows])


def _sorted_page(handle: str) -> int:
    rows = list(Condition.objects.fleet_of(handle))
    rows.sort(key=lambda row: (row.edge_height_least_um is None, row.edge_height_least_um or 0))
    return len(rows[:PAGE])


def _due_page(handle: str, practice: Practice) -> int:
    asked = Asked(ON, 0, practice)
    rows = due_rows(handle, asked, KEPT, selection=Selection(), size=PAGE)
    return len([due_row(Kept(*row), asked) for row in rows])


def _judged_page(handle: str, practice: Practice) -> int:
    judged = [(_urgency(row, practice), row) for row in Condition.objects.fleet_of(handle)]
    due = [(urgency, row) for urgency, row in judged if urgency >= 1.0]
    due.sort(key=lambda one: (-one[0], one[1].ski_id))
    return len(due[:PAGE])


def _urgency(row: Condition, practice: Practice) -> float:
    return 0.0 if row.status == "retired" else max(_intervals(row, practice))


def _intervals(row: Condition, practice: Practice) -> Iterator[float]:
    calendar = season_calendar(practice.season_first, practice.season_last)
    gone = max(0, calendar.through(ON) - (row.use_season_day or 0))
    days = (row.days_out_since_job_high or 0) + (row.days_out_per_1000 or 0) / 1000 * gone
    yield days / practice.due_after_days_out
    since = row.last_job_day or row.first_day
    yield (ON - since).days / practice.due_after_calendar_days
    if row.due_by_finding is not None:
        yield 1.0 + ((ON - row.due_by_finding).days + 1) / practice.mend_moderate_days


def _outlook(handle: str, practice: Practice) -> int:
    result = outlook(worn_fleet(handle, "edge_height", practice), SEASONS)
    return result.skis + result.unknown


def _outlook_ski_by_ski(handle: str, practice: Practice) -> int:
    fleet = worn_fleet(handle, "edge_height", practice)
    alone = (
        Fleet(
            _of_one(fleet.columns, number),
            _of_one(fleet.rates, number),
            _of_one(fleet.pace, number),
            fleet.least_mm,
        )
        for number in range(fleet.columns.count)
    )
    results = [outlook(one, SEASONS) for one in alone]
    return sum(one.skis + one.unknown for one in results)


def _of_one(columns: T, number: int) -> T:
    """Cut one ski out of what is kept as columns."""
    held = {one.name: getattr(columns, one.name) for one in fields(columns)}
    cut: dict[str, Any] = {
        name: value[number : number + 1]
        for name, value in held.items()
        if isinstance(value, np.ndarray)
    }
    return replace(columns, **cut)

"""The rows of the fleet's list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from django.db.models.expressions import Combinable

from apps.registry.fleet import Row
from apps.registry.fleet_due import DaysSince
from apps.registry.models.ski import shop_and_tag

UM_PER_MM = 1000


class Kept(NamedTuple):
    """What the query gives of a ski; the names are those of `Condition`."""

    ski__apart: str
    status: str
    base_bevel_standing: str
    side_bevel_standing: str
    edge_height_least_um: int | None
    edge_height_low_um: int | None
    edge_height_high_um: int | None
    edge_height_basis: str
    base_thickness_um: int | None
    base_thickness_low_um: int | None
    base_thickness_high_um: int | None
    base_thickness_basis: str
    services_left_low: int | None
    services_left_high: int | None
    open_findings: int
    worst_severity: str
    last_job_day: date | None
    due_on: date | None
    warnings: int


@dataclass(frozen=True, slots=True)
class Left:
    """Material left at the scarcest place, between its limits [mm], and what it rests on."""

    value_mm: Decimal
    low_mm: Decimal
    high_mm: Decimal
    basis: str


@dataclass(frozen=True, slots=True)
class SkiRow:
    """A ski as the list shows it.

    Parameters
    ----------
    key : str
        `handle/TAG`.
    tag : str
        Its tag.
    kept : Kept
        As the query gave it.
    steel, base : Left or None
        Edge height and base thickness; None where nobody knows.
    apart : {"", "contested", "too-many"}
        Why links that would join it with other tags don't.
    days_since_job : int or None
        Days gone since the last job [d]; None where there is none.
    """

    key: str
    tag: str
    kept: Kept
    steel: Left | None
    base: Left | None
    apart: str
    days_since_job: int | None


def columns_for(on: date) -> list[str | Combinable]:
    """Give what the query reads of a ski, days counted to a day."""
    return [DaysSince("last_job_day", on), *Kept._fields]


def ski_row(row: Row) -> SkiRow:
    """Give a row as the list shows it."""
    _, key, since, *values = row
    kept = Kept(*values)
    return SkiRow(
        key,
        shop_and_tag(key)[1],
        kept,
        _left("edge_height_least", "edge_height", kept),
        _left("base_thickness", "base_thickness", kept),
        kept.ski__apart,
        None if since is None else max(0, since),
    )


def ski_rows(rows: Sequence[Row]) -> list[SkiRow]:
    """Give the rows of a page."""
    return [ski_row(row) for row in rows]


def _left(value: str, name: str, kept: Kept) -> Left | None:
    of: Any = kept._asdict()
    if of[f"{value}_um"] is None:
        return None
    names = (f"{value}_um", f"{name}_low_um", f"{name}_high_um")
    value_mm, low_mm, high_mm = (Decimal(of[one]) / UM_PER_MM for one in names)
    return Left(value_mm, low_mm, high_mm, of[f"{name}_basis"])

"""The columns of a fleet: their names, where they are kept, how they are written as data."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models.expressions import Combinable

from apps.records.forms import fault, shown
from apps.registry.conditions import STANDINGS
from apps.registry.fleet import Order, Row
from apps.registry.fleet_due import DaysSince
from apps.registry.models.jobs import SEVERITIES
from apps.registry.models.keeping import STATUSES
from apps.registry.models.ski import shop_and_tag

Cell = str | int | None


def as_it_is(value: Any) -> Cell:
    """Write a word or a whole number; an empty word is unknown."""
    return None if value in (None, "") else value


def millimetres(value: int | None) -> Cell:
    """Write whole micrometres as millimetres."""
    return None if value is None else f"{value // 1000}.{value % 1000:03}"


def day(value: date | None) -> Cell:
    """Write a date."""
    return None if value is None else value.isoformat()


def factor(permille: int) -> Cell:
    """Write thousandths as a number with two decimals, rounded down."""
    return f"{permille // 1000}.{permille % 1000 // 10:02}"


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Parameters
    ----------
    name : str
        On the wire.
    kept : str
        Column of `Condition` that it shows; "" for one that is made of the key or the day.
    write : callable
        From the value that is kept to what is written.
    ranks : tuple of str
        For words, their order from the best to the worst.
    is_sortable : bool
        Whether a fleet may be sorted by it, which an index of `Condition` must carry.
    """

    name: str
    kept: str
    write: Callable[[Any], Cell] = as_it_is
    ranks: tuple[str, ...] = ()
    is_sortable: bool = True


COLUMNS: tuple[Column, ...] = (
    Column("shop", ""),
    Column("tag", "ski"),
    Column("tags", "ski__tag_count", is_sortable=False),
    Column("apart", "ski__apart", is_sortable=False),
    Column("status", "status", ranks=("", *STATUSES)),
    Column("base_bevel_standing", "base_bevel_standing", ranks=STANDINGS[::-1]),
    Column("side_bevel_standing", "side_bevel_standing", ranks=STANDINGS[::-1]),
    Column("open_findings", "open_findings"),
    Column("worst_severity", "worst_severity", ranks=("", *SEVERITIES)),
    Column("worst_finding_day", "worst_finding_day", day),
    Column("edge_height_least_mm", "edge_height_least_um", millimetres),
    Column("edge_height_low_mm", "edge_height_low_um", millimetres),
    Column("edge_height_high_mm", "edge_height_high_um", millimetres),
    Column("edge_height_basis", "edge_height_basis"),
    Column("edge_width_least_mm", "edge_width_least_um", millimetres),
    Column("edge_width_low_mm", "edge_width_low_um", millimetres),
    Column("edge_width_high_mm", "edge_width_high_um", millimetres),
    Column("edge_width_basis", "edge_width_basis"),
    Column("base_thickness_least_mm", "base_thickness_um", millimetres),
    Column("base_thickness_low_mm", "base_thickness_low_um", millimetres),
    Column("base_thickness_high_mm", "base_thickness_high_um", millimetres),
    Column("base_thickness_basis", "base_thickness_basis"),
    Column("services_left", "services_left"),
    Column("services_left_low", "services_left_low"),
    Column("services_left_high", "services_left_high"),
    Column("grinds", "grinds"),
    Column("jobs", "jobs"),
    Column("last_job_day", "last_job_day", day),
    Column("days_since_job", ""),
    Column("days_out", "days_in_use"),
    Column("days_out_since_job_low", "days_out_since_job_low"),
    Column("days_out_since_job_high", "days_out_since_job_high"),
    Column("due_on", "due_on", day),
    Column("warnings", "warnings"),
    Column("folded_on", "folded_on", day),
)
NAMES = tuple(column.name for column in COLUMNS)
SORTABLE: Mapping[str, Column] = {
    column.name: column for column in COLUMNS if column.kept and column.is_sortable
}
SORT_PATTERN = f"^-?({'|'.join(SORTABLE)})$"


def order_of(sort: str) -> Order:
    """Read how a fleet is sorted: a column, with a minus before it for the greatest first.

    Raises
    ------
    PydanticCustomError
        For a name that no column has; the sentence names the nearest one.
    """
    name = sort.removeprefix("-")
    column = SORTABLE.get(name)
    if column is None:
        raise fault("unknown-column", _no_such(name))
    ranks = {word: number for number, word in enumerate(column.ranks)}
    return Order(column.kept, descending=sort.startswith("-"), ranks=ranks)


def _no_such(name: str) -> str:
    near = difflib.get_close_matches(name, SORTABLE, n=1)
    hint = f"did you mean `{near[0]}`?" if near else f"take one of {', '.join(SORTABLE)}."
    return f"A fleet is not sorted by {shown(name)}; {hint}"


def kept_columns(on: date) -> list[str | Combinable]:
    """Give what a query reads for a row, after the value it is sorted by and the key."""
    since = DaysSince("last_job_day", on)
    return [since, *(column.kept for column in _WRITTEN)]


_WRITTEN = tuple(column for column in COLUMNS if column.kept and column.name != "tag")


def cells_of(row: Row) -> dict[str, Cell]:
    """Give the cells of a row by name, in the order of the columns."""
    _, key, since, *values = row
    shop, tag = shop_and_tag(key)
    written = {
        column.name: column.write(value) for column, value in zip(_WRITTEN, values, strict=True)
    }
    made: dict[str, Cell] = {
        "shop": shop,
        "tag": tag,
        "days_since_job": None if since is None else max(0, since),
    }
    return {name: written[name] if name in written else made[name] for name in NAMES}


def known(cells: Mapping[str, Cell]) -> dict[str, Cell]:
    """Leave out what is unknown."""
    return {name: cell for name, cell in cells.items() if cell is not None}

"""What the wear of one ski comes down to: a row of whole numbers a database can keep, and columns.

A node with a hundred thousand skis can't read every history to say when they will be worn out.
Everything the model of `apps.tuning.wear_rates` asks of a ski is in one row of whole numbers,
kept with the ski and read as columns.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from apps.tuning.errors import (
    OutOfRangeError,
    WrongCountError,
    require_finite,
    require_not_negative,
)

Floats = NDArray[np.float64]

UM_A_MM = 1000.0

LEAST_READINGS = 3
"""Two readings give one difference and nothing to judge it by; practice."""

COUNTED = (
    "readings",
    "intervals",
    "services",
    "readings_variance_um2",
    "services_since",
    "spans",
    "span_days",
    "span_squares",
    "days_since",
    "seasons",
    "season_days",
    "season_squares",
)
"""What can't be negative; removals, levels and scatter can, by the readings' uncertainty."""


@dataclass(frozen=True, slots=True)
class WearStatistics:
    """What the readings and the use of one ski come down to, for one quantity; all whole numbers.

    Every field but the two of the level is a number for every ski, 0 where there is nothing. The
    order of the fields is the order of the columns of `WearColumns`.

    Attributes
    ----------
    readings : int
        Readings of the place it is about, of the edge that is on the ski now.
    intervals : int
        Intervals between readings with at least one service in them.
    services : int
        Services in those intervals.
    removed_um : int
        What the readings fell over those intervals, less what other work took [um]; may be
        negative.
    scatter_um2 : int
        ``sum(d**2 / n) - removed**2 / services`` over the intervals, ``d`` what was removed in
        one and ``n`` its services [um2]: how unlike the services were, with what the readings'
        uncertainty adds.
    scatter_of_readings_um2 : int
        What the readings' uncertainty alone is expected to add to `scatter_um2` [um2].
    readings_variance_um2 : int
        Variance of `removed_um` from the readings' uncertainty and other work [um2].
    level_um : int or None
        Last level read, less other work since [um]; None where nothing was read.
    level_variance_um2 : int or None
        Its variance [um2], from standard uncertainties; None with `level_um`.
    shared_variance_um2 : int
        Variance of the last level that is in `removed_um` too, because one reading served for
        both [um2]; 0 where the level is of another place.
    services_since : int
        Services since that level.
    spans, span_days, span_squares : int
        Spans from one service to the next with use on record, their days out, and the sum of the
        squares of the days.
    days_since : int
        Days out since the last service.
    seasons, season_days, season_squares : int
        Past seasons with use on record, their days out, and the sum of the squares of the days.

    Raises
    ------
    OutOfRangeError
        If a count is negative, or a level has no variance or a variance no level.
    """

    readings: int = 0
    intervals: int = 0
    services: int = 0
    removed_um: int = 0
    scatter_um2: int = 0
    scatter_of_readings_um2: int = 0
    readings_variance_um2: int = 0
    level_um: int | None = None
    level_variance_um2: int | None = None
    shared_variance_um2: int = 0
    services_since: int = 0
    spans: int = 0
    span_days: int = 0
    span_squares: int = 0
    days_since: int = 0
    seasons: int = 0
    season_days: int = 0
    season_squares: int = 0

    def __post_init__(self) -> None:
        for name in COUNTED:
            require_not_negative(getattr(self, name), name)
        if (self.level_um is None) != (self.level_variance_um2 is None):
            raise OutOfRangeError(
                "level_um and level_variance_um2 go together. Give both or neither.",
                field="level_variance_um2",
            )
        require_not_negative(self.level_variance_um2 or 0, "level_variance_um2")

    @property
    def row(self) -> tuple[int | None, ...]:
        """The whole numbers in the order of `FIELDS`, as a database keeps them."""
        return tuple(getattr(self, name) for name in FIELDS)


FIELDS: tuple[str, ...] = tuple(one.name for one in fields(WearStatistics))
"""Names of the whole numbers, in order."""


@dataclass(frozen=True, slots=True, eq=False)
class WearColumns:
    """The rows of many skis as columns, each of shape (n,); lengths in mm, an unknown level NaN.

    Attributes are those of `WearStatistics`, with ``_mm`` and ``_mm2`` in place of ``_um`` and
    ``_um2``.
    """

    readings: Floats
    intervals: Floats
    services: Floats
    removed_mm: Floats
    scatter_mm2: Floats
    scatter_of_readings_mm2: Floats
    readings_variance_mm2: Floats
    level_mm: Floats
    level_variance_mm2: Floats
    shared_variance_mm2: Floats
    services_since: Floats
    spans: Floats
    span_days: Floats
    span_squares: Floats
    days_since: Floats
    seasons: Floats
    season_days: Floats
    season_squares: Floats

    @property
    def count(self) -> int:
        """How many skis there are."""
        return int(self.readings.size)


def columns_of(rows: Iterable[tuple[int | None, ...]]) -> WearColumns:
    """Rows as a database gives them, turned into columns.

    Parameters
    ----------
    rows : iterable of tuple of int or None
        One a ski, each in the order of `FIELDS`; None only for an unknown level.

    Returns
    -------
    WearColumns
        Columns of shape (n,), lengths in mm.

    Raises
    ------
    WrongCountError
        If a row has too few or too many numbers.
    NotFiniteError, OutOfRangeError
        If a number but the level is missing, or a count is negative.
    """
    taken = list(rows)
    if any(len(row) != len(FIELDS) for row in taken):
        raise WrongCountError(
            f"A row needs {len(FIELDS)} numbers, in the order of WearStatistics.", field="rows"
        )
    table = np.array(taken, dtype=np.float64).reshape(len(taken), len(FIELDS)).T
    named = dict(zip(FIELDS, table, strict=True))
    for name, column in named.items():
        _require_column(name, column)
    return WearColumns(*(_in_mm(name, column) for name, column in named.items()))


def _require_column(name: str, column: Floats) -> None:
    if not name.startswith("level") and column.size:
        require_finite(float(column.sum()), name)
    if name in COUNTED and column.size:
        require_not_negative(float(column.min()), name)


def _in_mm(name: str, column: Floats) -> Floats:
    if name.endswith("_um2"):
        return column / UM_A_MM**2
    return column / UM_A_MM if name.endswith("_um") else column

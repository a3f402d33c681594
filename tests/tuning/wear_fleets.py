"""Invented rows of skis for the tests of wear: whole numbers as a database keeps them."""

from __future__ import annotations

from collections.abc import Sequence

from apps.tuning.wear_statistics import WearColumns, WearStatistics, columns_of

LEAST_MM = 0.8


def row(
    removed_um: int = 200,
    services: int = 5,
    *,
    intervals: int = 4,
    level_um: int | None = 1200,
    services_since: int = 0,
    spans: tuple[int, ...] = (10, 12, 14),
    seasons: tuple[int, ...] = (40, 44),
    days_since: int = 0,
    reading_um2: int = 100,
    scatter_um2: int = 1200,
) -> WearStatistics:
    """A ski read to 10 um (k = 1), whose services took 40 um each unless said otherwise."""
    return WearStatistics(
        readings=intervals + 1,
        intervals=intervals,
        services=services if intervals else 0,
        removed_um=removed_um if intervals else 0,
        scatter_um2=scatter_um2 if intervals > 1 else 0,
        scatter_of_readings_um2=300 if intervals > 1 else 0,
        readings_variance_um2=2 * reading_um2 if intervals else 0,
        level_um=level_um,
        level_variance_um2=None if level_um is None else reading_um2,
        shared_variance_um2=reading_um2 if intervals and level_um else 0,
        services_since=services_since,
        spans=len(spans),
        span_days=sum(spans),
        span_squares=sum(day * day for day in spans),
        days_since=days_since,
        seasons=len(seasons),
        season_days=sum(seasons),
        season_squares=sum(day * day for day in seasons),
    )


def columns(rows: Sequence[WearStatistics]) -> WearColumns:
    return columns_of(one.row for one in rows)


def fleet() -> WearColumns:
    """Eight skis that wear at 30 to 58 um a service."""
    return columns([row(removed_um=150 + 20 * number) for number in range(8)])

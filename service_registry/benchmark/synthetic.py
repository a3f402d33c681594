"""Fills a fleet with invented rows of the index, without records: to measure reads of any size."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.db import connection
from numpy.random import Generator, default_rng

from apps.registry import models
from apps.registry.models.jobs import SEVERITIES
from apps.registry.storage import ROWS_AT_ONCE
from apps.tuning.season import season_calendar

SEED = 20_250_201
NO_RECORD = "0" * 64
FIRST_DAY = date(2023, 11, 1)
LAST_DAY = date(2025, 1, 31)
STATUSES = ("", "in_service", "in_service", "in_service", "on_bench", "retired")
STANDINGS = ("stands", "stands", "partly_ground_away", "ground_away", "never_stated")


def fill(handle: str, count: int) -> None:
    """Put skis with a condition and wear into a shop's fleet; the same ones every time.

    Parameters
    ----------
    handle : str
        The shop.
    count : int
        How many. A third of them was never read, so that unknown values occur, and the whole
        numbers repeat, so that ties occur.
    """
    rng = default_rng(SEED)
    keys = [f"{handle}/Z-{number:06}" for number in range(count)]
    skis = [models.Ski(key=key, cluster=key) for key in keys]
    models.Ski.objects.bulk_create(skis, batch_size=ROWS_AT_ONCE)
    tags = [_tag(key) for key in keys]
    models.Tag.objects.bulk_create(tags, batch_size=ROWS_AT_ONCE)
    rows = [_condition(key, rng) for key in keys]
    models.Condition.objects.bulk_create(rows, batch_size=ROWS_AT_ONCE)
    wear = [_wear(row, rng) for row in rows]
    models.Wear._default_manager.bulk_create(wear, batch_size=ROWS_AT_ONCE)


def analyse() -> None:
    """Let the database count what is there, as it does by itself on a node that has run a while."""
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def _tag(key: str) -> models.Tag:
    shop, _, tag = key.partition("/")
    return models.Tag(key=key, shop=shop, tag=tag, ski_id=key, registered_by=NO_RECORD)


def _condition(key: str, rng: Generator) -> models.Condition:
    status = str(rng.choice(STATUSES))
    columns = {**_readings(rng), **_findings(rng), **_use(rng)}
    dues = [columns["due_by_use"], columns["due_by_date"], columns["due_by_finding"]]
    due_on = min(one for one in dues if one is not None)
    return models.Condition(
        ski_id=key,
        shop=key.partition("/")[0],
        folded_on=LAST_DAY,
        first_day=FIRST_DAY,
        base_bevel_standing=str(rng.choice(STANDINGS)),
        side_bevel_standing=str(rng.choice(STANDINGS)),
        status=status,
        due_on=None if status == "retired" else due_on,
        state="{}",
        **columns,
    )


def _readings(rng: Generator) -> dict[str, Any]:
    if rng.random() < 1 / 3:
        return {}
    height, base = int(rng.integers(700, 2000)), int(rng.integers(500, 1500))
    services = int(rng.integers(0, 25))
    return {
        **_figure("edge_height", "edge_height_least_um", height),
        "edge_height_uncertainty_um": 40,
        **_figure("base_thickness", "base_thickness_um", base),
        "base_thickness_uncertainty_um": 40,
        "services_left": services,
        "services_left_low": services // 2,
        "services_left_high": services * 2,
    }


def _figure(name: str, value: str, um: int) -> dict[str, Any]:
    around = {f"{name}_low_um": um - 40, f"{name}_high_um": um + 40}
    return {value: um, **around, f"{name}_basis": "readings"}


def _findings(rng: Generator) -> dict[str, Any]:
    if rng.random() < 0.8:
        return {"due_by_finding": None}
    found = _day(rng)
    severity = str(rng.choice(SEVERITIES))
    return {
        "open_findings": 1,
        "worst_severity": severity,
        "worst_finding": NO_RECORD,
        "worst_finding_day": found,
        "due_by_finding": None if severity == "slight" else found,
    }


def _use(rng: Generator) -> dict[str, Any]:
    job, days, pace = _day(rng), int(rng.integers(0, 40)), int(rng.integers(100, 900))
    has_job = bool(rng.random() < 0.9)
    last_use = _day(rng)
    calendar = season_calendar("12-01", "04-15")
    at = calendar.through(last_use)
    forecast = calendar.day_of(at - (-1000 * (20 - days) // pace)) if days < 20 else last_use
    return {
        "jobs": int(has_job),
        "last_job": NO_RECORD if has_job else "",
        "last_job_day": job if has_job else None,
        "days_in_use": days + 10,
        "days_out_since_job_low": days // 2,
        "days_out_since_job_high": days,
        "days_out_per_1000": pace,
        "last_use": NO_RECORD,
        "last_use_day": last_use,
        "use_season_day": at,
        "due_by_use": forecast,
        "due_by_date": (job if has_job else FIRST_DAY) + timedelta(days=365),
    }


def _day(rng: Generator) -> date:
    return FIRST_DAY + timedelta(days=int(rng.integers(0, (LAST_DAY - FIRST_DAY).days)))


def _wear(row: models.Condition, rng: Generator) -> models.Wear:
    services = int(rng.integers(3, 12))
    rate, was_read = int(rng.normal(60, 10)), row.edge_height_least_um is not None
    removed = rate * services
    read = {
        "readings": 4,
        "intervals": 3,
        "services": services,
        "removed_um": removed,
        "scatter_um2": int(rng.gamma(2.0, 400.0)),
        "scatter_of_readings_um2": 300,
        "readings_variance_um2": 800,
        "level_um": row.edge_height_least_um,
        "level_variance_um2": 400,
        "shared_variance_um2": 400,
    }
    unread = {name: 0 for name in read if not name.startswith("level")}
    days = int(rng.integers(10, 25))
    return models.Wear(
        ski_id=row.ski_id,
        quantity="edge_height",
        shop=row.shop,
        in_fleet=row.status != "retired",
        services_since=int(rng.integers(0, 3)),
        spans=2,
        span_days=2 * days,
        span_squares=days * days + (days + 1) ** 2,
        days_since=int(rng.integers(0, 15)),
        seasons=2,
        season_days=4 * days,
        season_squares=2 * (2 * days) ** 2 + 8,
        **(read if was_read else unread),
    )

"""The folded state of a ski as a row: what the fleet views sort by."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, fields, is_dataclass
from datetime import date
from typing import Any

from apps.records.canonical import canonical_bytes
from apps.records.folding import Fold
from apps.registry import models
from apps.registry.histories import read_folds
from apps.registry.models.ski import shop_and_tag
from apps.registry.practices import practices_of
from apps.registry.storage import ROWS_AT_ONCE
from apps.registry.visits import visits_of
from apps.tuning import condition as state
from apps.tuning.due import OUT_OF_FLEET, Due, due_of, worst_finding
from apps.tuning.history import Visit
from apps.tuning.material import MaterialLeft
from apps.tuning.practice import Practice
from apps.tuning.season import season_calendar
from apps.tuning.standing import BevelNow, Standing
from apps.tuning.wear import QUANTITIES, wear_summary
from apps.tuning.wear_statistics import FIELDS

SKIS_AT_ONCE = 200
# Of the standings of several edges and ranges the first of these that occurs is shown: what needs
# a hand comes before what nobody knows, and that before what is well.
STANDINGS: tuple[Standing, ...] = (
    "ground_away",
    "uncertain",
    "partly_ground_away",
    "never_stated",
    "stands",
)
COLUMNS = [
    field.attname for field in models.Condition._meta.concrete_fields if not field.primary_key
]
WEAR_COLUMNS = ["shop", "in_fleet", *FIELDS]


def store_conditions(folds: Mapping[str, Fold]) -> None:
    """Fold skis and store their conditions and wear, new or in place of the ones before."""
    rows = list(folded_rows(folds))
    models.Condition.objects.bulk_create(
        [row for row, _ in rows],
        batch_size=ROWS_AT_ONCE,
        update_conflicts=True,
        unique_fields=["ski"],
        update_fields=COLUMNS,
    )
    models.Wear._default_manager.bulk_create(
        [row for _, wear in rows for row in wear],
        batch_size=ROWS_AT_ONCE,
        update_conflicts=True,
        unique_fields=["ski", "quantity"],
        update_fields=WEAR_COLUMNS,
    )


def refold_shop(handle: str) -> None:
    """Fold the skis anew whose practice is the shop's."""
    skis = models.Ski._default_manager.filter(key__startswith=f"{handle}/")
    keys = list(skis.values_list("cluster", flat=True).order_by("cluster").distinct())
    for start in range(0, len(keys), SKIS_AT_ONCE):
        store_conditions(read_folds(keys[start : start + SKIS_AT_ONCE]))


def folded_rows(
    folds: Mapping[str, Fold],
) -> Iterator[tuple[models.Condition, list[models.Wear]]]:
    """Make the rows of skis: one for each shop that has a tag on the ski, by its practice.

    Each shop keeps the ski in its fleet under its own tag, whoever else has a tag on it.
    """
    skis = _skis_of(folds)
    practices = practices_of({shop_of(ski) for _, ski in skis})
    for cluster, ski in skis:
        fold, practice = folds[cluster], practices[shop_of(ski)]
        visits, days = visits_of(fold.effective), (first_day(fold), last_day(fold))
        row = condition_row(ski, visits, practice, days)
        yield row, list(wear_rows(row, visits, practice))


def _skis_of(clusters: Iterable[str]) -> list[tuple[str, str]]:
    rows = models.Ski._default_manager.filter(cluster__in=list(clusters)).order_by("key")
    return list(rows.values_list("cluster", "key"))


def shop_of(ski_key: str) -> str:
    """Give the handle of the shop whose tag gives a ski its key."""
    return shop_and_tag(ski_key)[0]


def first_day(fold: Fold) -> date:
    """Give the day of the first record: the ski was here by then."""
    return min(one.content.performed_at.day for one in fold.records)


def last_day(fold: Fold) -> date:
    """Give the day of the latest record, so that folding again at any time gives the same row."""
    return max(one.content.performed_at.day for one in fold.records)


def condition_row(
    ski_key: str, visits: Sequence[Visit], practice: Practice, days: tuple[date, date]
) -> models.Condition:
    """Make the row of one ski between the day of its first record and that of its last."""
    since, day = days
    now = state.fold(visits, practice=practice, today=day)
    return models.Condition(
        ski_id=ski_key,
        shop=shop_of(ski_key),
        state=state_text(now),
        first_day=since,
        folded_on=day,
        **_materials(now),
        **_services(now),
        base_bevel_standing=_worst_standing(b for edge in now.bevels for b in edge.base),
        side_bevel_standing=_worst_standing(b for edge in now.bevels for b in edge.side),
        **_findings(now),
        **_jobs(now, visits),
        grinds=now.counts.grinds,
        days_in_use=now.use.total_days,
        status=now.status.status if now.status else "",
        warnings=len(now.warnings),
        **due_columns(due_of(visits, now, practice, since=since), practice),
    )


def wear_rows(
    row: models.Condition, visits: Sequence[Visit], practice: Practice
) -> Iterator[models.Wear]:
    """Make the rows of what one ski's readings and use come down to, a quantity each."""
    summary, key = wear_summary(visits, practice), row.ski_id
    common = {"ski_id": key, "shop": shop_of(key), "in_fleet": row.status not in OUT_OF_FLEET}
    for quantity in QUANTITIES:
        members = asdict(summary.statistics(quantity))
        yield models.Wear(quantity=quantity, **common, **members)


def _materials(now: state.Condition) -> dict[str, int | str | None]:
    height, base = now.material.least("edge_height"), now.material.least("base_thickness")
    return {
        **_limits("edge_height", "edge_height_least_um", height),
        **_limits("edge_width", "edge_width_least_um", now.material.least("edge_width")),
        **_limits("base_thickness", "base_thickness_um", base),
        "edge_height_uncertainty_um": _uncertainty(height),
        "base_thickness_uncertainty_um": _uncertainty(base),
    }


def _limits(name: str, value: str, least: MaterialLeft | None) -> dict[str, int | str | None]:
    columns = (value, f"{name}_low_um", f"{name}_high_um", f"{name}_basis")
    if least is None:
        return dict(zip(columns, (None, None, None, ""), strict=True))
    lengths = (least.left.value_mm, least.left.low_mm, least.left.high_mm)
    return dict(zip(columns, (*map(micrometres, lengths), least.left.basis), strict=True))


def _uncertainty(least: MaterialLeft | None) -> int | None:
    return None if least is None else micrometres(least.left.expanded_uncertainty_mm)


def _services(now: state.Condition) -> dict[str, int | None]:
    """The scarcest place counts; a rate of zero says nothing about the services left."""
    left = [one.services for one in now.material.known]
    return {
        "services_left": _fewest(one.services for one in left),
        "services_left_low": _fewest(one.low for one in left),
        "services_left_high": _fewest(one.high for one in left),
    }


def _fewest(services: Iterable[int | None]) -> int | None:
    return min((one for one in services if one is not None), default=None)


def _findings(now: state.Condition) -> dict[str, Any]:
    worst = worst_finding(now.open_findings)
    return {
        "open_findings": len(now.open_findings),
        "worst_severity": worst.finding.severity if worst else "",
        "worst_finding_day": worst.day if worst else None,
        "worst_finding": worst.finding.key.record if worst else "",
    }


def _jobs(now: state.Condition, visits: Sequence[Visit]) -> dict[str, Any]:
    jobs = [visit.day for visit in visits if visit.kind == "job"]
    return {
        "jobs": len(jobs),
        "last_job_day": max(jobs, default=None),
        "last_job": now.use.last_job or "",
    }


def due_columns(due: Due, practice: Practice) -> dict[str, Any]:
    """Give the days on which a ski is due, and what of its use they rest on."""
    use, season = due.use, season_calendar(practice.season_first, practice.season_last)
    return {
        "due_on": due.on,
        "due_by_use": use.on,
        "due_by_use_earliest": use.earliest,
        "due_by_use_latest": use.latest,
        "due_by_date": due.by_date,
        "due_by_finding": due.by_finding,
        "days_out_since_job_low": use.days_low,
        "days_out_since_job_high": use.days_high,
        "days_out_per_1000": use.pace.per_1000 if use.pace else None,
        "last_use": use.last_report,
        "last_use_day": use.last_day,
        "use_season_day": season.through(use.last_day) if use.last_day else None,
    }


def micrometres(length_mm: float) -> int:
    """Round a computed length to whole micrometres, the step of the readings it rests on."""
    return round(length_mm * 1000)


def _worst_standing(bevels: Iterable[BevelNow]) -> Standing:
    found = {bevel.standing for bevel in bevels}
    return next(standing for standing in STANDINGS if standing in found)


def state_text(now: state.Condition) -> str:
    """Write a folded state as canonical JSON."""
    return canonical_bytes(plain(now)).decode()


def plain(value: Any) -> Any:
    """Give a dataclass of the arithmetic as plain JSON values; absent values are left out.

    Lengths come from a fit in floating point: rounded to a millionth they don't depend on the
    order in which a processor added them up.
    """
    if is_dataclass(value) and not isinstance(value, type):
        members = {field.name: plain(getattr(value, field.name)) for field in fields(value)}
        return {name: member for name, member in members.items() if member is not None}
    if isinstance(value, tuple):
        return [plain(item) for item in value]
    if isinstance(value, float):
        return round(value, 6)
    return value.isoformat() if isinstance(value, date) else value

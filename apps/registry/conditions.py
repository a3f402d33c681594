"""The folded state of a ski as a row: what the fleet views sort by."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import date
from typing import Any

from apps.records.canonical import canonical_bytes
from apps.records.folding import Fold
from apps.registry import models
from apps.registry.histories import read_folds
from apps.registry.practices import practices_of
from apps.registry.storage import ROWS_AT_ONCE
from apps.registry.visits import visits_of
from apps.tuning import condition as state
from apps.tuning.history import MaterialQuantity, Visit
from apps.tuning.practice import Practice
from apps.tuning.standing import BevelNow, Standing

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
SEVERITIES = ("severe", "moderate", "slight")
COLUMNS = [
    field.attname for field in models.Condition._meta.concrete_fields if not field.primary_key
]


def store_conditions(folds: Mapping[str, Fold]) -> None:
    """Fold skis and store their conditions, new or in place of the ones before."""
    models.Condition.objects.bulk_create(
        condition_rows(folds),
        batch_size=ROWS_AT_ONCE,
        update_conflicts=True,
        unique_fields=["ski"],
        update_fields=COLUMNS,
    )


def refold_shop(handle: str) -> None:
    """Fold the skis anew whose practice is the shop's."""
    skis = models.Ski._default_manager.filter(key__startswith=f"{handle}/").order_by("key")
    keys = list(skis.values_list("key", flat=True))
    for start in range(0, len(keys), SKIS_AT_ONCE):
        store_conditions(read_folds(keys[start : start + SKIS_AT_ONCE]))


def condition_rows(folds: Mapping[str, Fold]) -> Iterator[models.Condition]:
    """Make the rows of skis, each by the practice of the shop whose tag gives the ski its key."""
    practices = practices_of({shop_of(key) for key in folds})
    for key, fold in folds.items():
        visits = visits_of(fold.effective)
        yield condition_row(key, visits, practices[shop_of(key)], last_day(fold))


def shop_of(ski_key: str) -> str:
    """Give the handle of the shop whose tag gives a ski its key."""
    return ski_key.partition("/")[0]


def last_day(fold: Fold) -> date:
    """Give the day of the latest record, so that folding again at any time gives the same row."""
    return max(one.content.performed_at.day for one in fold.records)


def condition_row(
    ski_key: str, visits: Sequence[Visit], practice: Practice, day: date
) -> models.Condition:
    """Make the row of one ski as of a day."""
    now = state.fold(visits, practice=practice, today=day)
    jobs = [visit.day for visit in visits if visit.kind == "job"]
    return models.Condition(
        ski_id=ski_key,
        state=state_text(now),
        folded_on=day,
        **_material_columns(
            now, "edge_height", "edge_height_least_um", "edge_height_uncertainty_um"
        ),
        **_material_columns(
            now, "base_thickness", "base_thickness_um", "base_thickness_uncertainty_um"
        ),
        services_left_low=_fewest_services(now),
        base_bevel_standing=_worst_standing(b for edge in now.bevels for b in edge.base),
        side_bevel_standing=_worst_standing(b for edge in now.bevels for b in edge.side),
        open_findings=len(now.open_findings),
        worst_severity=_worst_severity(now),
        grinds=now.counts.grinds,
        jobs=len(jobs),
        last_job_day=max(jobs, default=None),
        days_in_use=now.use.total_days,
        status=now.status.status if now.status else "",
        warnings=len(now.warnings),
    )


def _material_columns(
    now: state.Condition, quantity: MaterialQuantity, value: str, uncertainty: str
) -> dict[str, int | None]:
    least = now.material.least(quantity)
    if least is None:
        return {value: None, uncertainty: None}
    return {
        value: micrometres(least.left.value_mm),
        uncertainty: micrometres(least.left.expanded_uncertainty_mm),
    }


def _fewest_services(now: state.Condition) -> int | None:
    lows = [one.services.low for one in now.material.known]
    return min((low for low in lows if low is not None), default=None)


def micrometres(length_mm: float) -> int:
    """Round a computed length to whole micrometres, the step of the readings it rests on."""
    return round(length_mm * 1000)


def _worst_standing(bevels: Iterable[BevelNow]) -> Standing:
    found = {bevel.standing for bevel in bevels}
    return next(standing for standing in STANDINGS if standing in found)


def _worst_severity(now: state.Condition) -> str:
    found = {one.finding.severity for one in now.open_findings}
    return next((severity for severity in SEVERITIES if severity in found), "")


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

"""Why a ski of a fleet is due, in words; which are due, and how urgently, is the query's to say."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from apps.api.addresses import ski_address
from apps.api.answers.fleet import DueReason, DueRow
from apps.api.fleet_columns import factor
from apps.registry.fleet_due import Asked
from apps.tuning.due import mend_days


class Kept(NamedTuple):
    """What the query gives of a ski that is due."""

    urgency: int
    ski: str
    status: str
    due_on: date
    use_urgency: int
    date_urgency: int
    finding_urgency: int
    due_by_use: date | None
    due_by_use_earliest: date | None
    due_by_use_latest: date | None
    due_by_date: date
    due_by_finding: date | None
    days_out_since_job_low: int | None
    days_out_since_job_high: int | None
    days_out_per_1000: int | None
    last_use: str
    last_job: str
    last_job_day: date | None
    first_day: date
    worst_severity: str
    worst_finding: str


KEPT = Kept._fields[2:]
CSV_NAMES = ("shop", "tag", "status", "due_on", "urgency", "reasons", "why", "condition")


def due_row(kept: Kept, asked: Asked) -> DueRow:
    """Give the answer about a ski."""
    shop, _, tag = kept.ski.partition("/")
    reasons = sorted(_reasons(kept, asked), key=lambda one: (-float(one.urgency), one.code))
    return DueRow.model_validate(
        {
            "shop": shop,
            "tag": tag,
            "status": kept.status or None,
            "due_on": kept.due_on,
            "urgency": factor(kept.urgency),
            "reasons": reasons,
            "condition": f"{ski_address(shop, tag)}/condition",
        }
    )


def csv_cells(row: DueRow) -> list[str | None]:
    """Give the cells of a row, the reasons as their codes and as their sentences."""
    return [
        row.shop,
        row.tag,
        row.status,
        row.due_on.isoformat(),
        row.urgency,
        " ".join(reason.code for reason in row.reasons),
        " ".join(reason.sentence for reason in row.reasons),
        row.condition,
    ]


def _reasons(kept: Kept, asked: Asked) -> Iterator[DueReason]:
    if kept.due_by_finding is not None and kept.due_by_finding <= asked.until:
        yield _by_finding(kept, kept.due_by_finding, asked)
    if kept.due_by_use is not None and kept.due_by_use <= asked.until:
        yield _by_use(kept, kept.due_by_use, asked)
    if kept.due_by_date <= asked.until:
        yield _by_date(kept, asked)


def _by_finding(kept: Kept, found: date, asked: Asked) -> DueReason:
    allowed = mend_days(kept.worst_severity, asked.practice)
    sentence = (
        f"A {kept.worst_severity} finding has been open since {found}; the shop mends such a one "
        f"in {_days(allowed)}."
    )
    return DueReason.model_validate(
        {
            "code": "finding",
            "sentence": sentence,
            "due_on": found,
            "elapsed_days": max(0, (asked.on - found).days + 1),
            "allowed_days": allowed,
            "urgency": factor(kept.finding_urgency),
            "basis": "records",
            "method": "one, and the days open over the days to mend",
            "rests_on": [kept.worst_finding],
        }
    )


def _by_use(kept: Kept, due_on: date, asked: Asked) -> DueReason:
    limit, high = asked.practice.due_after_days_out, kept.days_out_since_job_high or 0
    reached = high >= limit
    sentence = _reached(kept, high, limit) if reached else _forecast(kept, due_on, limit)
    low = kept.days_out_since_job_low
    return DueReason.model_validate(
        {
            "code": "days-out" if reached else "forecast",
            "sentence": sentence,
            "due_on": due_on,
            "earliest": kept.due_by_use_earliest,
            "latest": kept.due_by_use_latest,
            "elapsed_days": high if reached else kept.use_urgency * limit // 1000,
            "elapsed_low_days": low if reached and low != high else None,
            "allowed_days": limit,
            "urgency": factor(kept.use_urgency),
            "basis": "records" if reached else "forecast",
            "method": "days out over the shop's days out"
            if reached
            else "days out, carried on by the ratio of days out to days in season",
            "rests_on": [one for one in (kept.last_job, kept.last_use) if one],
        }
    )


def _reached(kept: Kept, high: int, limit: int) -> str:
    since = f"since the job of {kept.last_job_day}" if kept.last_job_day else "and no job"
    return f"{_days(high)} out are on record {since}; the shop services after {limit}."


def _forecast(kept: Kept, due_on: date, limit: int) -> str:
    often = (kept.days_out_per_1000 or 0) / 1000
    between = ""
    if kept.due_by_use_earliest and kept.due_by_use_latest:
        between = f", between {kept.due_by_use_earliest} and {kept.due_by_use_latest}"
    return (
        f"Out on {often:.2f} of the days in season, it reaches the shop's {_days(limit)} out on "
        f"{due_on}{between}."
    )


def _by_date(kept: Kept, asked: Asked) -> DueReason:
    allowed = asked.practice.due_after_calendar_days
    since = kept.last_job_day or kept.first_day
    what = (
        f"The last job was on {since}"
        if kept.last_job_day
        else f"No job is on record, and the first record is of {since}"
    )
    return DueReason.model_validate(
        {
            "code": "date" if kept.last_job_day else "no-job",
            "sentence": f"{what}; the shop services after {_days(allowed)}.",
            "due_on": kept.due_by_date,
            "elapsed_days": max(0, (asked.on - since).days),
            "allowed_days": allowed,
            "urgency": factor(kept.date_urgency),
            "basis": "records",
            "method": "days since the last job over the shop's days",
            "rests_on": [kept.last_job] if kept.last_job else [],
        }
    )


def _days(count: int) -> str:
    return f"{count} day{'' if count == 1 else 's'}"

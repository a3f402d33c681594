"""Why a ski of a fleet is due, by codes and figures; which are due, the query says."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Literal, NamedTuple

from apps.registry.fleet_due import PERMILLE, Asked
from apps.tuning.due import mend_days

ReasonCode = Literal["finding", "days-out", "forecast", "date", "no-job"]


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


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason why a ski is due.

    Attributes
    ----------
    code : {"finding", "days-out", "forecast", "date", "no-job"}
        An open finding; the shop's days out, on record or by the ski's own use; its days since
        the last job, or since the first record where no job is on record.
    due_on : date
        The day on which the ski became or becomes due by this.
    since : date or None
        The day that the interval counts from: the finding, the last job or the first record. None
        for days out of a ski without a job.
    elapsed_days : int
        Days gone of the interval [d].
    allowed_days : int
        The shop's interval [d], practice.
    urgency : int
        How far the interval is used up [permille]; 1000 is just due.
    rests_on : tuple of str
        Ids of the records behind it.
    severity : str
        Of the finding, else "".
    earliest, latest : date or None
        Limits of a forecast, 90 % between both; None where nothing is said of the spread.
    elapsed_low_days : int or None
        At the least, where one report of use covers days before and after the job [d].
    days_out_per_1000 : int or None
        Of a forecast: days out in a thousand days of season.
    """

    code: ReasonCode
    due_on: date
    since: date | None
    elapsed_days: int
    allowed_days: int
    urgency: int
    rests_on: tuple[str, ...]
    severity: str = ""
    earliest: date | None = None
    latest: date | None = None
    elapsed_low_days: int | None = None
    days_out_per_1000: int | None = None


def reasons_of(kept: Kept, asked: Asked) -> tuple[Reason, ...]:
    """Give every reason why a ski is due, the most urgent first, ties by code.

    Parameters
    ----------
    kept : Kept
        A row of `due_rows` with the columns `KEPT`.
    asked : Asked
        What was asked of the fleet.
    """
    return tuple(sorted(_reasons(kept, asked), key=lambda one: (-shown(one.urgency), one.code)))


def shown(urgency: int) -> int:
    """Give an urgency in hundredths, as it is written everywhere: rounded down."""
    return urgency * 100 // PERMILLE


def _reasons(kept: Kept, asked: Asked) -> Iterator[Reason]:
    if kept.due_by_finding is not None and kept.due_by_finding <= asked.until:
        yield _by_finding(kept, kept.due_by_finding, asked)
    if kept.due_by_use is not None and kept.due_by_use <= asked.until:
        yield _by_use(kept, kept.due_by_use, asked)
    if kept.due_by_date <= asked.until:
        yield _by_date(kept, asked)


def _by_finding(kept: Kept, found: date, asked: Asked) -> Reason:
    return Reason(
        "finding",
        found,
        found,
        elapsed_days=max(0, (asked.on - found).days + 1),
        allowed_days=mend_days(kept.worst_severity, asked.practice),
        urgency=kept.finding_urgency,
        rests_on=(kept.worst_finding,),
        severity=kept.worst_severity,
    )


def _by_use(kept: Kept, due_on: date, asked: Asked) -> Reason:
    limit, high = asked.practice.due_after_days_out, kept.days_out_since_job_high or 0
    low, reached = kept.days_out_since_job_low, high >= limit
    return Reason(
        "days-out" if reached else "forecast",
        due_on,
        kept.last_job_day,
        elapsed_days=high if reached else kept.use_urgency * limit // PERMILLE,
        allowed_days=limit,
        urgency=kept.use_urgency,
        rests_on=tuple(one for one in (kept.last_job, kept.last_use) if one),
        earliest=kept.due_by_use_earliest,
        latest=kept.due_by_use_latest,
        elapsed_low_days=low if reached and low != high else None,
        days_out_per_1000=None if reached else kept.days_out_per_1000,
    )


def _by_date(kept: Kept, asked: Asked) -> Reason:
    since = kept.last_job_day or kept.first_day
    return Reason(
        "date" if kept.last_job_day else "no-job",
        kept.due_by_date,
        since,
        elapsed_days=max(0, (asked.on - since).days),
        allowed_days=asked.practice.due_after_calendar_days,
        urgency=kept.date_urgency,
        rests_on=(kept.last_job,) if kept.last_job else (),
    )

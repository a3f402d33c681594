"""Why a ski is due, in English: what a program is answered and what a table of data holds."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from apps.registry.fleet_reasons import Reason, ReasonCode


def reason_sentence(reason: Reason) -> str:
    """Say a reason to a person who reads English."""
    return _SENTENCES[reason.code](reason)


def _finding(reason: Reason) -> str:
    return (
        f"A {reason.severity} finding has been open since {reason.since}; the shop mends such a "
        f"one in {_days(reason.allowed_days)}."
    )


def _days_out(reason: Reason) -> str:
    since = f"since the job of {reason.since}" if reason.since else "and no job"
    days = f"{_days(reason.elapsed_days)} out are on record {since}"
    return f"{days}; the shop services after {reason.allowed_days}."


def _forecast(reason: Reason) -> str:
    often = (reason.days_out_per_1000 or 0) / 1000
    between = ""
    if reason.earliest and reason.latest:
        between = f", between {reason.earliest} and {reason.latest}"
    return (
        f"Out on {often:.2f} of the days in season, it reaches the shop's "
        f"{_days(reason.allowed_days)} out on {reason.due_on}{between}."
    )


def _date(reason: Reason) -> str:
    return _by_date(reason, f"The last job was on {reason.since}")


def _no_job(reason: Reason) -> str:
    return _by_date(reason, f"No job is on record, and the first record is of {reason.since}")


def _by_date(reason: Reason, what: str) -> str:
    return f"{what}; the shop services after {_days(reason.allowed_days)}."


def _days(count: int) -> str:
    return f"{count} day{'' if count == 1 else 's'}"


_SENTENCES: Mapping[ReasonCode, Callable[[Reason], str]] = MappingProxyType(
    {
        "finding": _finding,
        "days-out": _days_out,
        "forecast": _forecast,
        "date": _date,
        "no-job": _no_job,
    }
)

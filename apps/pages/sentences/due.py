"""Why a ski is due for the bench."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from apps.pages.numbers import plain
from apps.pages.sentences.shown import day_words
from apps.pages.sentences.templates import Templates
from apps.registry.fleet_reasons import Reason, ReasonCode

FINDINGS: Templates = {
    "slight": gettext_lazy("A slight finding has been open since %(day)s."),
    "moderate": gettext_lazy("A moderate finding has been open since %(day)s."),
    "severe": gettext_lazy("A severe finding has been open since %(day)s."),
}


def due_reason_sentence(reason: Reason) -> str:
    """Tell why a ski is due, and the shop's interval."""
    return _SENTENCES[reason.code](reason)


def _finding(reason: Reason) -> str:
    mends = ngettext(
        "This shop mends such a one within %(count)s day.",
        "This shop mends such a one within %(count)s days.",
        reason.allowed_days,
    ) % {"count": reason.allowed_days}
    found = str(FINDINGS[reason.severity]) % {"day": _day(reason)}
    return f"{found} {mends}"


def _days_out(reason: Reason) -> str:
    count = reason.elapsed_days
    out = ngettext(
        "%(count)s day out is on record, and no job.",
        "%(count)s days out are on record, and no job.",
        count,
    )
    if reason.since is not None:
        out = ngettext(
            "%(count)s day out is on record since the job of %(day)s.",
            "%(count)s days out are on record since the job of %(day)s.",
            count,
        )
    told = out % {"count": count, "day": _day(reason)}
    return f"{told} {_services_after(reason, _days_out_limit)}"


def _forecast(reason: Reason) -> str:
    told = ngettext(
        "Out on %(often)s of 100 days in season, it reaches %(count)s day out on %(day)s.",
        "Out on %(often)s of 100 days in season, it reaches %(count)s days out on %(day)s.",
        reason.allowed_days,
    ) % {
        "often": plain((reason.days_out_per_1000 or 0) / 10, 0),
        "count": reason.allowed_days,
        "day": day_words(reason.due_on),
    }
    if reason.earliest is None or reason.latest is None:
        return told
    limits = {"earliest": day_words(reason.earliest), "latest": day_words(reason.latest)}
    likely = _("With 90 %% probability that is between %(earliest)s and %(latest)s.") % limits
    return f"{told} {likely}"


def _date(reason: Reason) -> str:
    told = _("The last job was on %(day)s.") % {"day": _day(reason)}
    return f"{told} {_services_after(reason, _days_limit)}"


def _no_job(reason: Reason) -> str:
    told = _("No job is on record. The first record is of %(day)s.") % {"day": _day(reason)}
    return f"{told} {_services_after(reason, _days_limit)}"


def _services_after(reason: Reason, limit: Callable[[int], str]) -> str:
    return limit(reason.allowed_days) % {"count": reason.allowed_days}


def _days_out_limit(count: int) -> str:
    return ngettext(
        "This shop services after %(count)s day out.",
        "This shop services after %(count)s days out.",
        count,
    )


def _days_limit(count: int) -> str:
    return ngettext(
        "This shop services after %(count)s day.",
        "This shop services after %(count)s days.",
        count,
    )


def _day(reason: Reason) -> str:
    return "" if reason.since is None else day_words(reason.since)


_SENTENCES: Mapping[ReasonCode, Callable[[Reason], str]] = MappingProxyType(
    {
        "finding": _finding,
        "days-out": _days_out,
        "forecast": _forecast,
        "date": _date,
        "no-job": _no_job,
    }
)

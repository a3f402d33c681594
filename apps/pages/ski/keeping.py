"""How a ski is kept: its pair, where it stands in its shop, and the days it was out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apps.pages.ski.names import Mention, Mentions
from apps.pages.ski.said import said
from apps.pages.words import word
from apps.records.keeping import StatusBody
from apps.registry.naming import short_shop
from apps.registry.pairings import Paired
from apps.registry.sight import Sight
from apps.tuning.condition import Use

OUT_OF_USE = frozenset({"quarantined", "retired", "missing"})


@dataclass(frozen=True, slots=True)
class PairShown:
    """The other ski of the pair, and since when.

    Parameters
    ----------
    handle, shop, tag : str
        The shop in full and as addresses name it, and its tag.
    day : date
        Day of the record that pairs them.
    """

    handle: str
    shop: str
    tag: str
    day: date


@dataclass(frozen=True, slots=True)
class Keeping:
    """What is on record of how a ski is kept.

    Parameters
    ----------
    pair : PairShown or None
        None where no record pairs it.
    earlier : tuple of PairShown
        Skis it was paired with before, the latest first.
    status, reason : str
        "" where nobody stated one.
    out_of_use : bool
        Whether the status keeps it from going out.
    status_by : Mention or None
    days, since_job : str
        Days out, and since the last job; sentences, also where nobody reported any.
    """

    pair: PairShown | None
    earlier: tuple[PairShown, ...]
    status: str
    reason: str
    out_of_use: bool
    status_by: Mention | None
    days: str
    since_job: str


def keeping_of(sight: Sight, pairs: tuple[Paired, ...], mentions: Mentions) -> Keeping:
    """Say how a ski is kept."""
    shown = tuple(_pair(one) for one in pairs)
    status = sight.condition.status
    return Keeping(
        shown[0] if shown else None,
        shown[1:],
        "" if status is None else word("status", status.status),
        "" if status is None else _reason(sight, status.record),
        status is not None and status.status in OUT_OF_USE,
        None if status is None else mentions.of(status.record),
        days_text(sight.condition.use),
        since_job_text(sight.condition.use),
    )


def _pair(one: Paired) -> PairShown:
    return PairShown(one.shop, short_shop(one.shop), one.tag, one.day)


def _reason(sight: Sight, record_id: str) -> str:
    for one in sight.effective:
        body = one.content.body
        if one.record_id != record_id or not isinstance(body, StatusBody):
            continue
        # A ski that is sold because it was sold on would say it twice.
        if body.reason and (body.status, body.reason) != ("sold", "sold_on"):
            return said("status_reason", body.reason, body.reason_text)
    return ""


def days_text(use: Use) -> str:
    """Say how many days the ski was out, as far as it was reported."""
    if use.total_days is None:
        return _("Nobody reported days out.")
    days = ngettext(
        "%(days)s day out was reported.", "%(days)s days out were reported.", use.total_days
    )
    return days % {"days": use.total_days}


def since_job_text(use: Use) -> str:
    """Say how many of those days came after the last job."""
    low, high = use.since_job_low_days, use.since_job_high_days
    if low is None or high is None:
        return ""
    if low == high:
        return _("Since the last job: %(days)d.") % {"days": high}
    limits = {"low": low, "high": high}
    return _("Since the last job: between %(low)d and %(high)d.") % limits

"""When the shop's least is reached, by the ski's own readings, its fleet and its use."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apps.pages.far_days import MOST_YEARS, is_far
from apps.registry.sight import Sight
from apps.registry.ski_wear import Asked, fleet_rows, fleet_with, told_of
from apps.tuning.history import Edge, MaterialQuantity
from apps.tuning.material import WANTED
from apps.tuning.series import SeriesKey
from apps.tuning.services import ServicesLeft
from apps.tuning.wear import WearSummary, wear_summary
from apps.tuning.wear_ski import LastDay, SkiWear

Outlooks = Mapping[tuple[MaterialQuantity, Edge | None], SkiWear]


def outlooks_of(sight: Sight, asking: str) -> Outlooks:
    """Reckon the wear of a ski for each quantity and edge that was measured: one query.

    Parameters
    ----------
    sight : Sight
        The ski.
    asking : str
        Handle of the shop whose fleet teaches the rates.
    """
    fleet = fleet_rows(asking, sight.ski.tags)
    asked = Asked(sight.visits, fleet, sight.practice, sight.condition.as_of)
    summary = wear_summary(sight.visits, sight.practice)
    measured = (key for key in WANTED if summary.scarcest(key.quantity, key.edge))
    return {(key.quantity, key.edge): _told(key, summary, asked) for key in measured}


def _told(key: SeriesKey, summary: WearSummary, asked: Asked) -> SkiWear:
    fleet, place = fleet_with(key, summary.statistics(key.quantity, key.edge), asked)
    return told_of(fleet, place, asked)


def services_text(left: ServicesLeft) -> str:
    """Say how many usual services a reserve is good for, between limits."""
    if left.services is None:
        return _("A service takes nothing of it.")
    count = ngettext("%(count)s service", "%(count)s services", left.services) % {
        "count": left.services
    }
    if left.low is None:
        return count
    if left.high is None:
        return _("%(services)s, at least %(low)s") % {"services": count, "low": left.low}
    limits = {"services": count, "low": left.low, "high": left.high}
    return _("%(services)s, between %(low)s and %(high)s") % limits


def last_day_text(last: LastDay, as_of: date) -> str:
    """Say when the shop's least is reached; "" where the use isn't known or no end is in sight."""
    if last.value is None:
        return ""
    if is_far(last.value, as_of):
        return _far_text(last.low, as_of)
    days = {"day": date_format(last.value)}
    if last.low is None or last.high is None:
        return _("The shop's least is reached about %(day)s, if it is used as until now.") % days
    days |= {"low": date_format(last.low), "high": date_format(last.high)}
    told = _(
        "The shop's least is reached about %(day)s, between %(low)s and %(high)s, if it is used as "
        "until now."
    )
    if is_far(last.high, as_of):
        told = _(
            "The shop's least is reached about %(day)s, not before %(low)s, if it is used as until "
            "now."
        )
    return told % days


def _far_text(low: date | None, as_of: date) -> str:
    if low is None or is_far(low, as_of):
        told = _("The shop's least is not reached within %(years)d years by the use so far.")
        return told % {"years": MOST_YEARS}
    told = _(
        "The shop's least is likely not reached within %(years)d years by the use so far, and "
        "not before %(low)s."
    )
    return told % {"years": MOST_YEARS, "low": date_format(low)}

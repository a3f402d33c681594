"""What is to come of a fleet, as the page shows it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apps.pages.fleet.rates import service_row
from apps.pages.numbers import plain
from apps.pages.pictures.outlook_chart import outlook_chart
from apps.pages.pictures.picture import Picture
from apps.registry.fleet_outlook import (
    OutlookAsked,
    Reckoned,
    as_now,
    by_month,
    reckon,
    services_a_season,
)
from apps.tuning.outlook import Counted, Fleet, Outlook
from apps.tuning.shrinkage import LEAST_GROUPS
from apps.tuning.wear_policy import AS_NOW

EXPECTED_PLACES = 1


@dataclass(frozen=True, slots=True)
class Number:
    """A number of skis between whole limits; the mean is written by the locale."""

    expected: str
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class Month:
    """Skis below the least at the end of a month.

    Parameters
    ----------
    end : date
        Its last day.
    now : Number
        Serviced as now.
    then, spared : Number or None
        Serviced as asked, and how many fewer that is; None where nothing else was asked.
    """

    end: date
    now: Number
    then: Number | None
    spared: Number | None


@dataclass(frozen=True, slots=True)
class OutlookShown:
    """The outlook of a fleet.

    Parameters
    ----------
    quantity : str
        What runs out.
    least_mm : float
        The shop's least [mm], practice.
    skis, unknown : int
        Skis that are reckoned with, and those of which nobody knows enough.
    months : tuple of Month
        In order.
    chart : Picture
        The same, drawn.
    rate, use : str
        Sentences: what the rate of a service and the use rest on.
    rate_basis : {"readings", "practice"}
        The same of the rate.
    mean_mm, low_mm, high_mm : float
        What a service takes off, and its limits [mm].
    services_a_season : str
        Written by the locale; "" where nobody knows.
    """

    quantity: str
    least_mm: float
    skis: int
    unknown: int
    months: tuple[Month, ...]
    chart: Picture
    rate: str
    use: str
    rate_basis: str
    mean_mm: float
    low_mm: float
    high_mm: float
    services_a_season: str

    @property
    def last(self) -> Month:
        """The last month that was asked for."""
        return self.months[-1]


def outlook_of(handle: str, asked: OutlookAsked) -> OutlookShown:
    """Reckon the outlook of a shop's fleet: two queries, whatever its size."""
    reckoned = reckon(handle, asked)
    fleet, result = reckoned.fleet, reckoned.result
    rate, often = service_row(fleet.rates.fleet), services_a_season(fleet)
    now, then = _both(reckoned)
    return OutlookShown(
        asked.quantity,
        fleet.least_mm,
        result.skis,
        result.unknown,
        tuple(_months(reckoned.ends, now, then)),
        outlook_chart(now, reckoned.ends, other=then),
        rate.sentence,
        use_sentence(fleet),
        rate.basis,
        rate.usual_mm,
        rate.low_mm,
        rate.high_mm,
        "" if often is None else plain(often, EXPECTED_PLACES),
    )


def _both(reckoned: Reckoned) -> tuple[Outlook, Outlook | None]:
    """As now, and as asked for where that is something else, each month by month."""
    now = by_month(as_now(reckoned), reckoned)
    if reckoned.result.policy == AS_NOW:
        return now, None
    return now, by_month(reckoned.result, reckoned)


def _months(ends: Sequence[date], now: Outlook, then: Outlook | None) -> Iterator[Month]:
    for place, end in enumerate(ends):
        number = _number(now.below, place)
        if then is None:
            yield Month(end, number, None, None)
        else:
            yield Month(end, number, _number(then.below, place), _number(then.spared, place))


def _number(counted: Counted, place: int) -> Number:
    expected = plain(float(counted.expected[place]), EXPECTED_PLACES)
    return Number(expected, int(counted.low[place]), int(counted.high[place]))


def use_sentence(fleet: Fleet) -> str:
    """Say what is expected of the use."""
    sentences = {
        "readings": _("The use to come is taken from the days out on record."),
        "stated": _("The use to come is as you expect it."),
        "unknown": ngettext(
            "The records tell the days out of a season and between services of fewer than "
            "%(count)d ski. Report the days out at each service, or say below what you expect.",
            "The records tell the days out of a season and between services of fewer than "
            "%(count)d skis. Report the days out at each service, or say below what you expect.",
            LEAST_GROUPS,
        )
        % {"count": LEAST_GROUPS},
    }
    return sentences[fleet.pace.basis]

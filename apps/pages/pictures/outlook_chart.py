"""How many skis of a fleet will be below the least, month by month, between limits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apps.pages.numbers import plain
from apps.pages.pictures.months import month_words
from apps.pages.pictures.picture import Area, Line, Part, Path, Picture, Point, Row, Text, together
from apps.pages.pictures.scales import Scale, first_days, ticks
from apps.tuning.outlook import Counted, Outlook

WIDTH, HEIGHT = 360.0, 224.0
LEFT_AT, RIGHT_AT, TOP_AT, FOOT_AT = 44.0, 330.0, 26.0, 194.0
CAPTION_AT, TICK, DAY_AT = 14.0, 4.0, 18.0
MOST_TICKS, MOST_DAYS = 5, 4
PLACES = 1


def outlook_chart(
    now: Outlook,
    days: Sequence[date],
    *,
    other: Outlook | None = None,
    name: str = "outlook",
) -> Picture:
    """Draw how many skis will be below the shop's least.

    Parameters
    ----------
    now : Outlook
        As the shop services its skis now.
    days : sequence of date
        The day of each time in it, in order; two at least, and the last after the first.
    other : Outlook, optional
        The same skis and times under another policy, drawn dashed.
    name : str
        Names the picture: letters, digits and dashes, once on a page.

    Returns
    -------
    Picture
        The band lies between the limits, the line is what is expected. A row for each day.

    Raises
    ------
    ValueError
        If there are not as many days as times, fewer than two, or no time between them.
    """
    _require_pairs(now, days, other)
    chart = _Chart(now, tuple(days), other)
    return Picture(
        name,
        WIDTH,
        HEIGHT,
        _("Skis below the shop's least"),
        _says(now, other),
        together(_axes(chart), _drawn(chart)),
        tuple(_rows(chart)),
    )


@dataclass(frozen=True, slots=True)
class _Chart:
    now: Outlook
    days: tuple[date, ...]
    other: Outlook | None

    @property
    def across(self) -> Scale:
        return Scale(self.days[0].toordinal(), self.days[-1].toordinal(), LEFT_AT, RIGHT_AT)

    @property
    def up(self) -> Scale:
        shown = [self.now] if self.other is None else [self.now, self.other]
        most = max(float(one.below.high.max()) for one in shown)
        return Scale(0.0, max(1.0, most), FOOT_AT, TOP_AT)

    def line(self, skis: Sequence[float]) -> tuple[Point, ...]:
        return tuple(
            (self.across.at(day.toordinal()), self.up.at(float(count)))
            for day, count in zip(self.days, skis, strict=True)
        )


def _require_pairs(now: Outlook, days: Sequence[date], other: Outlook | None) -> None:
    shown = [now] if other is None else [now, other]
    if len(days) < 2 or any(len(one.seasons) != len(days) for one in shown):
        raise ValueError("An outlook needs one day for each of its times, and two at least.")
    if days[-1] <= days[0]:
        raise ValueError("The last day of an outlook has to come after the first.")


def _axes(chart: _Chart) -> Iterator[Part]:
    yield Line((LEFT_AT, TOP_AT), (LEFT_AT, FOOT_AT), "axis")
    yield Line((LEFT_AT, FOOT_AT), (RIGHT_AT, FOOT_AT), "axis")
    yield Text((LEFT_AT, CAPTION_AT), _("skis"), "caption", "end")
    for count in ticks(0.0, chart.up.high, MOST_TICKS):
        if count == int(count):
            place = chart.up.at(count)
            yield Line((LEFT_AT - TICK, place), (LEFT_AT, place), "axis")
            yield Text((LEFT_AT - 2 * TICK, place + TICK), plain(count, 0), "caption", "end")
    for day in first_days(chart.days[0], chart.days[-1], MOST_DAYS):
        place = chart.across.at(day.toordinal())
        yield Line((place, FOOT_AT), (place, FOOT_AT + TICK), "axis")
        yield Text((place, FOOT_AT + DAY_AT), month_words(day), "caption", "middle")


def _drawn(chart: _Chart) -> Iterator[Part]:
    below = chart.now.below
    low, high = chart.line(list(below.low)), chart.line(list(below.high))
    yield Area((*low, *reversed(high)), "band")
    yield Path(chart.line(list(below.expected)), "fit")
    if chart.other is not None:
        yield Path(chart.line(list(chart.other.below.expected)), "planned")


def _says(now: Outlook, other: Outlook | None) -> str:
    reckoned = ngettext(
        "%(count)d ski reckoned with.", "%(count)d skis reckoned with.", now.skis
    ) % {"count": now.skis}
    lines = _("The line is what is expected, the band where it lies in %(percent)s of 100 cases.")
    said = [lines % {"percent": plain(100.0 * now.confidence, 0)}, reckoned]
    if other is not None:
        said.append(_("Dashed: serviced otherwise."))
    return " ".join(said)


def _rows(chart: _Chart) -> Iterator[Row]:
    for number, day in enumerate(chart.days):
        value = _counted(chart.now.below, number)
        if chart.other is not None:
            parts = {"now": value, "other": _counted(chart.other.below, number)}
            value = _("%(now)s; serviced otherwise %(other)s") % parts
        yield Row(date_format(day), value)
    if chart.now.unknown:
        yield Row(_("Not reckoned with"), _unknown(chart.now.unknown))


def _counted(below: Counted, number: int) -> str:
    figures = {
        "expected": plain(float(below.expected[number]), PLACES),
        "low": plain(float(below.low[number]), 0),
        "high": plain(float(below.high[number]), 0),
    }
    return _("%(expected)s, between %(low)s and %(high)s") % figures


def _unknown(skis: int) -> str:
    return ngettext(
        "%(count)d ski whose steel, base or use nobody knows",
        "%(count)d skis whose steel, base or use nobody knows",
        skis,
    ) % {"count": skis}

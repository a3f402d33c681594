"""Steel or base over time: readings with their uncertainty, the fit, the least, the outlook."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from apps.pages.numbers import Unit, bare_length, plain, unit_name
from apps.pages.pictures.material_rows import GoneEdge, material_rows, material_title
from apps.pages.pictures.months import month_words
from apps.pages.pictures.picture import (
    Anchor,
    Area,
    Dot,
    Line,
    Part,
    Path,
    Picture,
    Point,
    Text,
    together,
)
from apps.pages.pictures.scales import Scale, first_days, places_of, tick_step, ticks
from apps.tuning.material import MaterialLeft, MaterialReading
from apps.tuning.wear_left import SURE
from apps.tuning.wear_ski import LastDay

__all__ = ["GoneEdge", "material_chart"]

WIDTH, HEIGHT = 360.0, 232.0
LEFT_AT, RIGHT_AT, TOP_AT, FOOT_AT = 50.0, 330.0, 26.0, 202.0
CAPTION_AT, TICK, DAY_AT = 14.0, 4.0, 18.0
MOST_TICKS, MOST_DAYS = 6, 4
ROOM = 0.06
DOT, CAP = 2.5, 3.5
NO_LAST_DAY = LastDay(None, None, None)
LEAST_SPAN_DAYS = 90
YEAR_DAYS = 365
UM_A_MM = 1000.0


def material_chart(
    left: MaterialLeft,
    *,
    name: str,
    as_of: date,
    last_day: LastDay = NO_LAST_DAY,
    confidence: float = SURE,
    gone: Sequence[GoneEdge] = (),
    unit: Unit = "mm",
) -> Picture:
    """Draw the readings of one quantity at one place over time.

    Parameters
    ----------
    left : MaterialLeft
        One of `Material.known`.
    name : str
        Names the picture: letters, digits and dashes, once on a page.
    as_of : date
        The day up to which `left` holds.
    last_day : LastDay
        When the least is reached, if an outlook was reckoned: `SkiWear.exhausted_on`.
    confidence : float
        That it lies between its limits [1].
    gone : sequence of GoneEdge
        Readings of edges that were replaced, in order of time; nothing joins them to the others.
    unit : {"mm", "um"}
        In which lengths are written.

    Returns
    -------
    Picture
        Bars are the expanded uncertainties (k = 2), cut at nothing. The line goes through what
        the fit makes of each reading, and dashed to what is left now where later work took some.
        The axis need not begin at nothing.
    """
    chart = _Chart(left, as_of, last_day, tuple(gone), unit)
    return Picture(
        name,
        WIDTH,
        HEIGHT,
        material_title(left),
        _says(chart),
        together(
            _axes(chart),
            _outlook(chart),
            _least(chart),
            _gone(chart),
            _fit(chart),
            _readings(chart, left.readings),
            _now(chart),
        ),
        material_rows(left, last_day, chart.gone, as_of=as_of, confidence=confidence, unit=unit),
    )


@dataclass(frozen=True, slots=True)
class _Chart:
    left: MaterialLeft
    as_of: date
    last_day: LastDay
    gone: tuple[GoneEdge, ...]
    unit: Unit

    @property
    def days(self) -> Scale:
        first = min(self._first(), self.as_of)
        last = max(self._last(first), self.left.readings[-1].day)
        last = max(last, date.fromordinal(first.toordinal() + LEAST_SPAN_DAYS))
        return Scale(first.toordinal(), last.toordinal(), LEFT_AT + 2 * DOT, RIGHT_AT)

    @property
    def lengths(self) -> Scale:
        readings = [*self.left.readings, *(one for edge in self.gone for one in edge.readings)]
        limits = [limit for one in readings for limit in bar_mm(one)]
        shown = [*limits, self.left.left.low_mm, self.left.left.high_mm, self.left.least_mm]
        low, high = min(shown), max(shown)
        room = ROOM * (high - low) or ROOM
        return Scale(max(0.0, low - room), high + room, FOOT_AT, TOP_AT)

    def at(self, day: date, length_mm: float) -> Point:
        return (self.days.at(day.toordinal()), self.lengths.at(length_mm))

    def _first(self) -> date:
        begun = [one.day for edge in self.gone for one in edge.readings]
        return min([*begun, *(one.day for one in self.left.readings)])

    def _last(self, first: date) -> date:
        """The end of the axis: not so far ahead that the readings are pressed together."""
        if self.last_day.low is None:
            return self.as_of
        seen = (self.as_of - first).days
        furthest = self.as_of.toordinal() + max(2 * seen, 2 * YEAR_DAYS)
        ahead = max(one or date.max for one in (self.last_day.low, self.last_day.high))
        return date.fromordinal(min(furthest, ahead.toordinal()))


def bar_mm(reading: MaterialReading) -> tuple[float, float]:
    """Ends of the bar of a reading [mm]; there is no less than nothing."""
    reach = reading.expanded_uncertainty_mm
    return (max(0.0, reading.value_mm - reach), reading.value_mm + reach)


def _axes(chart: _Chart) -> Iterator[Part]:
    yield Line((LEFT_AT, TOP_AT), (LEFT_AT, FOOT_AT), "axis")
    yield Line((LEFT_AT, FOOT_AT), (RIGHT_AT, FOOT_AT), "axis")
    yield Text((LEFT_AT, CAPTION_AT), unit_name(chart.unit), "caption", "end")
    scale, factor = chart.lengths, UM_A_MM if chart.unit == "um" else 1.0
    low, high = scale.low * factor, scale.high * factor
    places = places_of(tick_step(high - low, MOST_TICKS))
    for figure in ticks(low, high, MOST_TICKS):
        up = scale.at(figure / factor)
        yield Line((LEFT_AT - TICK, up), (LEFT_AT, up), "axis")
        yield Text((LEFT_AT - 2 * TICK, up + TICK), plain(figure, places), "caption", "end")
    yield from _day_ticks(chart.days)


def _day_ticks(days: Scale) -> Iterator[Part]:
    first, last = date.fromordinal(int(days.low)), date.fromordinal(int(days.high))
    marked = first_days(first, last, MOST_DAYS)
    whole_years = all(day.month == 1 for day in marked)
    for day in marked:
        across = days.at(day.toordinal())
        words = date_format(day, "Y") if whole_years else month_words(day)
        yield Line((across, FOOT_AT), (across, FOOT_AT + TICK), "axis")
        yield Text((across, FOOT_AT + DAY_AT), words, "caption", "middle")


def _least(chart: _Chart) -> Iterator[Part]:
    up = chart.lengths.at(chart.left.least_mm)
    yield Line((LEFT_AT, up), (RIGHT_AT, up), "least")
    shown = {"least": bare_length(chart.left.least_mm, chart.unit)}
    # Lengths fall, so above the left end of the line nothing is drawn that the words could hide.
    yield Text((LEFT_AT + TICK, up - TICK), _("least %(least)s") % shown, "note")


def _readings(chart: _Chart, readings: Sequence[MaterialReading]) -> Iterator[Part]:
    for one in readings:
        yield from _bar(chart, one.day, bar_mm(one), assumed=one.uncertainty_assumed)
        yield Dot(chart.at(one.day, one.value_mm), DOT, "rise" if one.rises else "reading")


def _bar(
    chart: _Chart, day: date, limits_mm: tuple[float, float], *, assumed: bool
) -> Iterator[Part]:
    low, high = (chart.at(day, limit) for limit in limits_mm)
    yield Line(low, high, "bar-assumed" if assumed else "bar")
    for x, y in (low, high):
        yield Line((x - CAP, y), (x + CAP, y), "bar")


def _fit(chart: _Chart) -> Iterator[Part]:
    fitted = [(one.day, one.fitted_mm) for one in chart.left.readings if one.fitted_mm is not None]
    points = tuple(chart.at(day, length_mm) for day, length_mm in fitted)
    yield Path(points, "fit")
    now = chart.at(chart.as_of, chart.left.left.value_mm)
    worked = chart.left.taken_since.steps > 0
    yield Path((points[-1], now), "expected" if worked else "fit")


def _now(chart: _Chart) -> Iterator[Part]:
    left = chart.left.left
    limits = (left.low_mm, left.high_mm)
    yield from _bar(chart, chart.as_of, limits, assumed=left.basis != "readings")
    yield Dot(chart.at(chart.as_of, left.value_mm), DOT + 1.0, "now")


def _gone(chart: _Chart) -> Iterator[Part]:
    for edge in chart.gone:
        yield from _readings(chart, edge.readings)
        across = chart.days.at(edge.replaced_on.toordinal())
        yield Line((across, TOP_AT), (across, FOOT_AT), "renewed")
        inwards: Anchor = "end" if across > WIDTH / 2.0 else "start"
        yield Text((across, TOP_AT - TICK), _("new edge"), "note", inwards)


def _outlook(chart: _Chart) -> Iterator[Part]:
    left, last, least = chart.left.left, chart.last_day, chart.left.least_mm
    if last.low is None or left.value_mm <= least:
        return
    low = _falling(chart, left.low_mm, last.low)
    high = _falling(chart, left.high_mm, last.high)
    yield Area((*low, *reversed(high)), "band")
    if last.value is not None:
        yield Path(_falling(chart, left.value_mm, last.value), "expected")


def _falling(chart: _Chart, from_mm: float, on: date | None) -> tuple[Point, ...]:
    """From what is left now to the least on a day, cut off where the axis ends."""
    end, least = int(chart.days.high), chart.left.least_mm
    start = chart.at(chart.as_of, max(from_mm, least))
    if on is None:
        return (start, (RIGHT_AT, start[1]))
    at_least = (chart.days.at(on.toordinal()), chart.lengths.at(least))
    if on.toordinal() <= end:
        return (start, at_least, (RIGHT_AT, at_least[1]))
    share = (RIGHT_AT - start[0]) / (at_least[0] - start[0])
    return (start, (RIGHT_AT, start[1] + share * (at_least[1] - start[1])))


def _says(chart: _Chart) -> str:
    readings = chart.left.readings
    count = len(readings)
    shown = {
        "count": count,
        "first": date_format(readings[0].day),
        "last": date_format(readings[-1].day),
    }
    if count == 1:
        return _("One reading with its uncertainty, of %(first)s, and what is left now.") % shown
    return (
        _(
            "%(count)d readings with their uncertainty, from %(first)s to %(last)s, the line that "
            "only falls through them, and what is left now."
        )
        % shown
    )

"""How a ski is used: days out from one service to the next, and in past seasons."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from apps.tuning.history import Visit
from apps.tuning.practice import Practice
from apps.tuning.season import SeasonCalendar, season_calendar

DAYS_A_YEAR = 365


@dataclass(frozen=True, slots=True)
class Tally:
    """A count, a sum and a sum of squares of days: all that a mean and its scatter need."""

    count: int = 0
    total: int = 0
    squares: int = 0


@dataclass(frozen=True, slots=True)
class Use:
    """How a ski was used, as far as use is on record.

    Attributes
    ----------
    spans : Tally
        Days out from each service to the next; a span without use on record is not counted.
    days_since : int
        Days out since the last service, since ever where there was none.
    seasons : Tally
        Days out in each season before that of the last record, which may not be over.
    rests_on : tuple of str
        Records of the use.
    """

    spans: Tally
    days_since: int
    seasons: Tally
    rests_on: tuple[str, ...]


def use_of(ordered: Sequence[Visit], served: Iterable[int], practice: Practice) -> Use:
    """How a ski was used between the visits that were a service.

    Parameters
    ----------
    ordered : sequence of Visit
        As `apps.tuning.history.in_order` gives them.
    served : iterable of int
        Places in time of the services, in order.
    practice : Practice
        Says when the shop's season is.

    Returns
    -------
    Use
        Days on record of the day of a service count as days before it.
    """
    used = [(one.day, one.usage_days or 0) for one in ordered if one.usage_days is not None]
    days = sorted({ordered[number].day for number in served})
    between: dict[int, int] = {}
    for day, out in used:
        span = bisect_left(days, day)
        between[span] = between.get(span, 0) + out
    spans = [between[span] for span in sorted(between) if 0 < span < len(days)]
    return Use(
        tally(spans),
        between.get(len(days), 0),
        tally(_past_seasons(ordered, used, practice)),
        tuple(one.record for one in ordered if one.usage_days is not None),
    )


def days_between(ordered: Sequence[Visit], first: Visit, last: Visit) -> int | None:
    """Days out on record after the day of one visit up to that of another, None without any."""
    out = [
        one.usage_days
        for one in ordered
        if one.usage_days is not None and first.day < one.day <= last.day
    ]
    return sum(out) if out else None


def season_of(day: date, calendar: SeasonCalendar) -> int:
    """Number of the season nearest to a day: a year parts in the middle of the summer break."""
    length = calendar.ends_at[1] - calendar.ends_at[0]
    return bisect_right(calendar.starts, day.toordinal() + (DAYS_A_YEAR - length) // 2)


def tally(days: Iterable[int]) -> Tally:
    """Count, sum and sum of squares of some days."""
    taken = list(days)
    return Tally(len(taken), sum(taken), sum(day * day for day in taken))


def _past_seasons(
    ordered: Sequence[Visit], used: Iterable[tuple[date, int]], practice: Practice
) -> list[int]:
    calendar = season_calendar(practice.season_first, practice.season_last)
    found: dict[int, int] = {}
    for day, out in used:
        season = season_of(day, calendar)
        found[season] = found.get(season, 0) + out
    last = season_of(ordered[-1].day, calendar) if ordered else None
    return [out for season, out in sorted(found.items()) if season != last]

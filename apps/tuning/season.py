"""The season of a shop as a calendar that can be counted: days in season up to a day, and back."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from datetime import date
from functools import cache
from itertools import accumulate

from apps.tuning.errors import OutOfRangeError

FIRST_YEAR = 1900
LAST_YEAR = 2200


@dataclass(frozen=True, slots=True)
class SeasonCalendar:
    """Every season from 1900 to 2200, so that a day in season has a number of its own.

    Attributes
    ----------
    starts : tuple of int
        First day of each season, as `date.toordinal` gives it.
    ends_at : tuple of int
        Days in season up to and with the last day of each [d].
    """

    starts: tuple[int, ...]
    ends_at: tuple[int, ...]

    def through(self, day: date) -> int:
        """Days in season from 1900 on, up to and with a day [d]."""
        number = bisect_right(self.starts, day.toordinal()) - 1
        if number < 0:
            return 0
        before = self._before(number)
        return min(before + day.toordinal() - self.starts[number] + 1, self.ends_at[number])

    def day_of(self, count: int) -> date | None:
        """Day on which so many days in season have gone by; None outside of the calendar."""
        if not 1 <= count <= self.ends_at[-1]:
            return None
        number = bisect_left(self.ends_at, count)
        return date.fromordinal(self.starts[number] + count - self._before(number) - 1)

    def _before(self, number: int) -> int:
        return self.ends_at[number - 1] if number else 0


@cache
def season_calendar(first: str, last: str) -> SeasonCalendar:
    """Lay out the seasons between two days of the year.

    Parameters
    ----------
    first, last : str
        First and last day of the season as ``MM-DD``, both in it; a last day that lies before
        the first one is in the next year.

    Returns
    -------
    SeasonCalendar
        Leap days count where a season holds one.

    Raises
    ------
    OutOfRangeError
        If a day is not in every year.

    Notes
    -----
    Source: the Gregorian calendar.
    """
    begins, ends = _month_and_day(first, "first"), _month_and_day(last, "last")
    over_new_year = ends < begins
    starts, lengths = [], []
    for year in range(FIRST_YEAR, LAST_YEAR + 1):
        start = date(year, *begins).toordinal()
        starts.append(start)
        lengths.append(date(year + over_new_year, *ends).toordinal() - start + 1)
    return SeasonCalendar(tuple(starts), tuple(accumulate(lengths)))


def _month_and_day(text: str, field: str) -> tuple[int, int]:
    try:
        # A year without a leap day, since a season needs its ends every year.
        day = date.fromisoformat(f"2001-{text}")
    except ValueError:
        day = None
    # A week, such as W05-1, is a date to Python too.
    if day is None or f"{day:%m-%d}" != text:
        raise OutOfRangeError(
            f"{field} is {text!r}, and no day of every year is written so. Give MM-DD.",
            field=field,
        )
    return day.month, day.day

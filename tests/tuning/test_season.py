"""The season as a calendar that can be counted."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.errors import OutOfRangeError
from apps.tuning.season import FIRST_YEAR, LAST_YEAR, SeasonCalendar, season_calendar

WINTER = season_calendar("12-01", "04-15")
SOUTH = season_calendar("06-15", "09-30")
ALL_YEAR = season_calendar("01-01", "12-31")
DAYS = st.dates(date(1900, 1, 1), date(2200, 12, 31))
CALENDARS = st.sampled_from([WINTER, SOUTH, ALL_YEAR])


# Gregorian calendar: December 31, January 31, February 28 or 29, March 31, April 15 days.
@pytest.mark.parametrize(("year", "days"), [(2022, 136), (2023, 137), (2099, 136)])
def test_a_winter_has_so_many_days(year: int, days: int) -> None:
    before, last = date(year, 11, 30), date(year + 1, 4, 15)
    assert WINTER.through(last) - WINTER.through(before) == days


# Gregorian calendar: June 16, July 31, August 31, September 30 days.
def test_a_season_within_one_year() -> None:
    assert SOUTH.through(date(2025, 12, 31)) - SOUTH.through(date(2025, 1, 1)) == 108


def test_days_between_seasons_add_nothing() -> None:
    assert WINTER.through(date(2025, 4, 15)) == WINTER.through(date(2025, 11, 30))
    assert WINTER.through(date(2025, 12, 1)) == WINTER.through(date(2025, 11, 30)) + 1


def test_before_and_after_the_calendar() -> None:
    assert WINTER.through(date(FIRST_YEAR - 1, 5, 1)) == 0
    assert WINTER.day_of(0) is None
    assert WINTER.day_of(1) == date(FIRST_YEAR, 12, 1)
    last = WINTER.through(date.max)
    assert WINTER.day_of(last) == date(LAST_YEAR + 1, 4, 15)
    assert WINTER.day_of(last + 1) is None


@given(calendar=CALENDARS, day=DAYS)
def test_a_day_more_adds_one_or_nothing(calendar: SeasonCalendar, day: date) -> None:
    more = calendar.through(day + timedelta(days=1)) - calendar.through(day)
    assert more in {0, 1}


@given(calendar=CALENDARS, day=DAYS)
def test_there_and_back(calendar: SeasonCalendar, day: date) -> None:
    count = calendar.through(day)
    back = calendar.day_of(count)
    if back is not None:
        assert back <= day
        assert calendar.through(back) == count


@given(day=DAYS)
def test_a_season_of_the_whole_year_counts_every_day(day: date) -> None:
    assert ALL_YEAR.through(day) == (day - date(1899, 12, 31)).days


@pytest.mark.parametrize("text", ["02-29", "13-01", "1-12", "12-1", "", "W05-1", "1201", "12-01 "])
def test_no_day_of_every_year(text: str) -> None:
    with pytest.raises(OutOfRangeError, match="MM-DD") as refused:
        season_calendar(text, "04-15")
    assert refused.value.field == "first"
    with pytest.raises(OutOfRangeError):
        season_calendar("12-01", text)

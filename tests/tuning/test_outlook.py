"""How many skis fall below the least by each month, and what another policy spares."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from apps.tuning.errors import OutOfRangeError, ProfileNotOrderedError, ProfileTooShortError
from apps.tuning.outlook import (
    Fleet,
    day_after,
    month_ends,
    outlook,
    season_length,
    seasons_until,
)
from apps.tuning.practice import Practice
from apps.tuning.season import season_calendar
from apps.tuning.wear_left import course_by_seasons
from apps.tuning.wear_pace import UseForecast, pace_of
from apps.tuning.wear_policy import AS_NOW, Policy
from apps.tuning.wear_rates import shrink
from apps.tuning.wear_statistics import WearColumns
from tests.tuning.wear_fleets import LEAST_MM, columns, row

WINTER = season_calendar("12-01", "04-15")
SEASONS = (0.0, 0.5, 1.0, 2.0, 3.0, 6.0)


def skis(count: int = 40) -> WearColumns:
    rows = [row(removed_um=150 + 5 * n, level_um=900 + 20 * n) for n in range(count)]
    return columns([*rows, row(level_um=None)])


def fleet(known: WearColumns, forecast: UseForecast | None = None) -> Fleet:
    rates = shrink(known, "edge_height", Practice())
    return Fleet(known, rates, pace_of(known, forecast or UseForecast()), LEAST_MM)


def test_the_number_expected_is_the_sum_of_the_chances() -> None:
    one = fleet(skis())
    found = outlook(one, SEASONS)
    course = course_by_seasons(one.columns, one.rates, one.pace, LEAST_MM)
    chances = [np.nansum(course.below_at(x)) for x in SEASONS]
    assert found.below.expected == pytest.approx(chances)
    assert (found.skis, found.unknown, found.policy) == (40, 1, AS_NOW)
    assert np.all(np.diff(found.below.expected) >= 0.0)
    assert np.all(found.below.low <= found.below.expected)
    assert np.all(found.below.expected <= found.below.high + 1e-6)
    assert np.all(found.below.high <= 40.0)
    assert found.spared.expected == pytest.approx(np.zeros(6))
    assert np.all(found.spared.high == 0.0)


# Reference: the same chances drawn by hand 20 000 times, nothing shared.
def test_the_limits_hold_the_number_of_skis_as_often_as_they_say() -> None:
    known = skis()
    one = fleet(known, UseForecast(days_a_season=42.0, days_a_service=12.0, shared_season=0.0))
    found = outlook(one, (2.0,))
    course = course_by_seasons(known, one.rates, one.pace, LEAST_MM)
    chances = course.below_at(2.0)[:-1]
    drawn = (np.random.default_rng(4).random((20_000, 40)) < chances).sum(axis=1)
    held = np.mean((found.below.low[0] <= drawn) & (drawn <= found.below.high[0]))
    assert 0.90 <= held <= 0.995


def test_what_is_shared_widens_the_limits() -> None:
    known = skis()
    apart = outlook(fleet(known, UseForecast(shared_season=0.0)), SEASONS).below
    shared = outlook(fleet(known, UseForecast(shared_season=0.5)), SEASONS).below
    assert shared.high[3] - shared.low[3] > apart.high[3] - apart.low[3]


@pytest.mark.parametrize("policy", [Policy(removal_factor=0.7), Policy(services_factor=0.7)])
def test_grinding_less_spares_skis(policy: Policy) -> None:
    one = fleet(skis())
    now, less = outlook(one, SEASONS), outlook(one, SEASONS, policy=policy)
    spared = now.below.expected - less.below.expected
    assert less.spared.expected == pytest.approx(spared, abs=1e-9)
    assert spared[2] > 0.5
    assert np.all(less.spared.low <= less.spared.expected)
    assert less.policy == policy
    more = outlook(one, SEASONS, policy=Policy(removal_factor=1.5))
    assert more.below.expected[2] > now.below.expected[2]
    assert more.spared.expected[2] == 0.0


def test_no_time_passes_out_of_season() -> None:
    found = outlook(fleet(skis()), (0.5, 0.5, 1.0), policy=Policy(removal_factor=0.5))
    assert found.below.expected[0] == found.below.expected[1] < found.below.expected[2]
    assert found.spared.high.shape == (3,)


def test_skis_below_the_least_already_stay_below() -> None:
    worn = columns([row(level_um=700)] * 5)
    found = outlook(fleet(worn), SEASONS)
    assert found.below.expected == pytest.approx([5.0] * 6, abs=2e-2)


def test_an_unknown_fleet_has_no_outlook() -> None:
    unread = outlook(fleet(columns([row(level_um=None)] * 4)), SEASONS)
    assert (unread.skis, unread.unknown) == (0, 4)
    assert np.all(unread.below.high == 0.0)
    unused = outlook(fleet(columns([row(spans=(), seasons=())] * 4)), SEASONS)
    assert (unused.skis, unused.unknown) == (0, 4)
    assert outlook(fleet(columns([])), SEASONS).skis == 0


def test_bad_times_are_refused() -> None:
    one = fleet(skis(4))
    with pytest.raises(ProfileTooShortError):
        outlook(one, ())
    with pytest.raises(ProfileNotOrderedError):
        outlook(one, (1.0, 0.5))
    with pytest.raises(OutOfRangeError):
        outlook(one, (-1.0, 1.0))


# The calendar.
def test_months_end_where_they_end() -> None:
    ends = month_ends(date(2027, 11, 30), 5)
    assert ends[:2] == (date(2027, 11, 30), date(2027, 12, 31))
    assert ends[3:] == (date(2028, 2, 29), date(2028, 3, 31))
    with pytest.raises(OutOfRangeError):
        month_ends(date(2027, 1, 1), 0)


# Derived: from 1 December to 15 April are 31 + 31 + 28 + 31 + 15 days.
def test_seasons_pass_in_season_only() -> None:
    assert season_length(WINTER) == 136
    days = [date(2026, 11, 30), date(2026, 12, 1), date(2027, 4, 15), date(2027, 11, 1)]
    found = seasons_until(days, date(2026, 7, 1), WINTER)
    assert found == pytest.approx([0.0, 1 / 136, 1.0, 1.0])
    assert seasons_until([date(2020, 1, 1)], date(2026, 7, 1), WINTER) == [0.0]


def test_a_number_of_seasons_is_a_day() -> None:
    today = date(2026, 7, 1)
    assert day_after(0.0, today, WINTER) == today
    assert day_after(1.0, today, WINTER) == date(2027, 4, 15)
    assert day_after(0.001, today, WINTER) == date(2026, 12, 1)
    for unknown in (float("nan"), float("inf"), 1e9, 290.0):
        assert day_after(unknown, today, WINTER) is None

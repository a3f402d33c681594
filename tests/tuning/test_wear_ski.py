"""What one ski of a fleet is told of its wear."""

from __future__ import annotations

from datetime import date

import pytest

from apps.tuning.outlook import Fleet
from apps.tuning.practice import Practice
from apps.tuning.season import season_calendar
from apps.tuning.wear_left import services_left_of
from apps.tuning.wear_pace import pace_of
from apps.tuning.wear_rates import shrink
from apps.tuning.wear_ski import LastDay, SkiWear, ski_wears
from apps.tuning.wear_statistics import WearColumns, WearStatistics
from tests.tuning.wear_fleets import LEAST_MM, columns, row

TODAY = date(2026, 7, 1)
WINTER = season_calendar("12-01", "04-15")
KNOWN = [row(removed_um=150 + 20 * number) for number in range(8)]


def told(*more: WearStatistics) -> tuple[WearColumns, Fleet, tuple[SkiWear, ...]]:
    skis = columns([*KNOWN, *more])
    fleet = Fleet(skis, shrink(skis, "edge_height", Practice()), pace_of(skis), LEAST_MM)
    return skis, fleet, ski_wears(fleet, range(skis.count), TODAY, WINTER)


def test_a_ski_is_told_what_the_arrays_say() -> None:
    skis, fleet, found = told()
    first = found[0]
    left = services_left_of(skis, fleet.rates, LEAST_MM)
    assert first.services_left.value == pytest.approx(left.value[0])
    assert first.services_left.low == pytest.approx(left.low[0])
    assert first.own_rate_mm == pytest.approx(0.03)
    assert first.rate_mm.low is not None
    assert first.rate_mm.high is not None
    assert first.rate_mm.low < fleet.rates.mean_mm[0] < first.rate_mm.high
    assert first.readings == 5
    assert first.sentence.startswith("5 readings of its own count for ")
    assert first.exhausted_on.low is not None
    assert first.exhausted_on.value is not None
    assert first.exhausted_on.high is not None
    assert TODAY < first.exhausted_on.low < first.exhausted_on.value < first.exhausted_on.high
    assert first.confidence == 0.9


def test_few_readings_and_none_say_so() -> None:
    _, fleet, found = told(row(intervals=1, services=1, removed_um=40), WearStatistics())
    assert found[8].sentence.startswith("Fewer than three readings of its own (2)")
    unread = found[9]
    assert (unread.own_rate_mm, unread.weight, unread.readings) == (None, 0.0, 0)
    assert unread.services_left.value is None
    assert unread.exhausted_on == LastDay(None, None, None)
    assert unread.rate_mm.value == pytest.approx(fleet.rates.fleet.centre.mean)

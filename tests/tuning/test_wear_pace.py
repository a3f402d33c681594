"""Services a season from days out on record, and from a shop's forecast."""

from __future__ import annotations

import numpy as np
import pytest

from apps.tuning.errors import NotFiniteError, OutOfRangeError
from apps.tuning.wear_pace import UseForecast, pace_of, shrink_tallies
from apps.tuning.wear_policy import AS_NOW, Policy, under
from tests.tuning.wear_fleets import columns, fleet, row


# Derived: 42 days a season over 12 a service are 3.5 services.
def test_days_a_season_over_days_a_service() -> None:
    pace = pace_of(fleet())
    assert pace.services == pytest.approx([3.5] * 8)
    assert pace.basis == "readings"
    # Renewal theory (Cox 1962, recalled): days a service of variance 4 about 12, and 8 of a season.
    assert pace.process == pytest.approx([3.5 * 4 / 144 + 8 / 144] * 8)
    # Half a service less what unevenness gives back.
    assert pace.ahead == pytest.approx([-(1 - 4 / 144) / 2] * 8)
    assert np.all(pace.variance > 0.0)


def test_days_since_the_last_service_bring_the_next_one_nearer() -> None:
    since = pace_of(columns([row(days_since=6)] * 4)).ahead - pace_of(columns([row()] * 4)).ahead
    assert since == pytest.approx([0.5] * 4)


def test_unlike_skis_keep_their_own_pace_in_part() -> None:
    hard, easy = row(spans=(6, 7, 8)), row(spans=(18, 20, 22))
    pace = pace_of(columns([hard, hard, easy, easy, row(spans=(), seasons=())]))
    assert pace.services[0] > pace.services[4] > pace.services[2]
    # A ski without use on record gets the fleet's, and is less sure.
    assert pace.variance[4] / pace.services[4] ** 2 > pace.variance[0] / pace.services[0] ** 2


def test_too_little_use_on_record_is_unknown_and_says_so() -> None:
    pace = pace_of(columns([row(), row(), row(spans=(), seasons=())]))
    assert pace.basis == "unknown"
    assert "days out a season and days out a service" in pace.sentence
    assert np.all(np.isnan(pace.services))
    idle = pace_of(columns([row(spans=(), seasons=(0, 0))] * 4))
    assert idle.basis == "unknown"
    assert pace_of(columns([])).services.size == 0


def test_a_forecast_takes_the_place_of_the_records() -> None:
    forecast = UseForecast(days_a_season=60.0, days_uncertainty=6.0)
    pace = pace_of(fleet(), forecast)
    assert pace.services == pytest.approx([5.0] * 8)
    assert pace.basis == "stated"
    assert pace.shared == pytest.approx(np.hypot(0.1, 0.0), rel=0.1)
    both = pace_of(
        columns([row(spans=(), seasons=())]),
        UseForecast(days_a_season=60.0, days_a_service=20.0, service_uncertainty=2.0),
    )
    assert both.services == pytest.approx([3.0])
    assert both.variance == pytest.approx([9.0 * 0.01])
    assert both.process == pytest.approx([0.0])


# Practice: where no ski has two seasons behind it, they are taken as a quarter uneven.
def test_one_season_a_ski_says_little_but_something() -> None:
    first = [row(seasons=(40 + number,)) for number in range(5)]
    pace = pace_of(columns(first))
    assert pace.services == pytest.approx([3.5] * 5, rel=0.02)
    assert pace.process[0] == pytest.approx(3.5 * 4 / 144 + (42 / 4) ** 2 / 144, rel=0.02)


def test_a_ski_that_was_hardly_out_is_due_some_day() -> None:
    seldom = [row(seasons=(0, 0)), *[row(seasons=(80, 82))] * 6]
    assert pace_of(columns(seldom)).services[0] > 0.0


def test_tallies_of_whole_days_are_never_surer_than_a_day() -> None:
    alike = np.full(4, 3.0), np.full(4, 36.0), np.full(4, 432.0)
    shrunk = shrink_tallies(*alike)
    assert shrunk is not None
    assert shrunk.mean == pytest.approx([12.0] * 4)
    assert np.all(shrunk.variance > 0.0)


def test_impossible_forecasts_are_refused() -> None:
    with pytest.raises(OutOfRangeError):
        UseForecast(days_a_season=0.0)
    with pytest.raises(OutOfRangeError):
        UseForecast(days_a_service=-3.0)
    with pytest.raises(OutOfRangeError):
        UseForecast(shared_season=-0.1)


def test_a_policy_changes_what_is_to_come() -> None:
    pace = pace_of(fleet())
    rarer = under(Policy(services_factor=0.5), pace)
    assert rarer.services == pytest.approx(pace.services / 2)
    assert rarer.variance == pytest.approx(pace.variance / 4)
    assert rarer.process == pytest.approx(pace.process / 2)
    assert under(AS_NOW, pace).services == pytest.approx(pace.services)
    with pytest.raises(OutOfRangeError):
        Policy(removal_factor=-1.0)
    with pytest.raises(NotFiniteError):
        Policy(services_factor=float("nan"))

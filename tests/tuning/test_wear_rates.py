"""Rates of a fleet: drawn to its mean, by practice where it is too small, kept as whole numbers."""

from __future__ import annotations

import numpy as np
import pytest

from apps.tuning.errors import NotFiniteError, OutOfRangeError, WrongCountError
from apps.tuning.practice import Practice
from apps.tuning.wear_rates import fleet_rate, practice_centre, shrink, shrink_to_fleet
from apps.tuning.wear_statistics import FIELDS, WearStatistics, columns_of
from tests.tuning.wear_fleets import columns, fleet, row

PRACTICE = Practice()


def test_each_rate_lies_between_its_own_and_the_fleets() -> None:
    rates = shrink(fleet(), "edge_height", PRACTICE)
    centre = rates.fleet.centre.mean
    assert centre == pytest.approx(np.mean(rates.own_mm), rel=1e-6)
    assert np.all(np.abs(rates.mean_mm - centre) < np.abs(rates.own_mm - centre))
    assert np.all((rates.weight > 0.0) & (rates.weight < 1.0))
    assert rates.own_mm[0] == pytest.approx(0.030)
    assert (rates.fleet.basis, rates.fleet.scatter_basis) == ("readings", "readings")
    assert (rates.fleet.skis, rates.fleet.readings, rates.fleet.services) == (8, 40, 40)
    assert "40 services of 8 skis" in rates.fleet.sentence


# Derived: the scatter is the squares less what the readings add, over the intervals less one.
def test_scatter_between_services_is_what_the_readings_do_not_explain() -> None:
    rate = fleet_rate(fleet(), "edge_height", PRACTICE)
    assert rate.scatter_mm2 == pytest.approx((1200 - 300) / 3 * 1e-6)
    assert 1.0 <= rate.scatter_degrees <= 24.0


def test_a_ski_nobody_read_gets_the_fleets_rate_and_says_so() -> None:
    known = [row(removed_um=150 + 20 * number) for number in range(8)]
    rates = shrink(columns([*known, row(intervals=0)]), "edge_height", PRACTICE)
    assert rates.weight[-1] == 0.0
    assert rates.mean_mm[-1] == rates.fleet.centre.mean
    assert np.isnan(rates.own_mm[-1])
    assert rates.variance_mm2[-1] > rates.variance_mm2[:-1].max()
    assert rates.few.tolist() == [False] * 8 + [True]
    assert rates.covariance_mm2[-1] == 0.0
    assert np.all(rates.covariance_mm2[:-1] < 0.0)


HAVE = ["0 skis have readings", "1 ski has readings", "2 skis have readings"]


# Practice of the defaults: a usual service takes 0.02 .. 0.06 .. 0.15 mm of edge height.
@pytest.mark.parametrize("skis", [0, 1, 2])
def test_fewer_than_three_skis_are_drawn_to_the_shops_practice(skis: int) -> None:
    rates = shrink(columns([row()] * skis), "edge_height", PRACTICE)
    assert rates.fleet.basis == "practice"
    assert rates.fleet.centre.mean == pytest.approx(0.06)
    assert rates.fleet.centre.between_variance == pytest.approx((0.13 / 4) ** 2)
    assert rates.fleet.sentence.startswith(HAVE[skis])
    assert np.all((rates.mean_mm > 0.04) & (rates.mean_mm < 0.05))
    assert rates.mean_mm.shape == (skis,)


def test_too_few_intervals_leave_the_scatter_to_practice() -> None:
    single = columns([row(intervals=1, services=2, removed_um=80 + n) for n in range(5)])
    rate = fleet_rate(single, "edge_height", PRACTICE)
    assert (rate.basis, rate.scatter_basis) == ("readings", "practice")
    assert rate.scatter_mm2 == practice_centre("edge_height", PRACTICE).between_variance


def test_a_ski_from_elsewhere_is_drawn_to_a_known_fleet() -> None:
    known = fleet_rate(fleet(), "edge_height", PRACTICE)
    alone = shrink_to_fleet(columns([row(removed_um=150)]), known)
    within = shrink(fleet(), "edge_height", PRACTICE)
    assert alone.mean_mm[0] == pytest.approx(within.mean_mm[0])
    assert alone.fleet is known


def test_identical_readings_give_the_one_rate() -> None:
    rates = shrink(columns([row(scatter_um2=0)] * 5), "edge_height", PRACTICE)
    assert rates.mean_mm == pytest.approx([0.04] * 5)
    assert rates.fleet.scatter_mm2 == 0.0
    assert np.all(rates.variance_mm2 > 0.0)


def test_rows_and_columns() -> None:
    table = columns([row(), WearStatistics()])
    assert table.count == 2
    assert table.level_mm[0] == pytest.approx(1.2)
    assert np.isnan(table.level_mm[1])
    assert table.scatter_mm2[0] == pytest.approx(1200e-6)
    assert columns_of([]).count == 0
    assert len(FIELDS) == len(row().row) == 18


def test_impossible_rows_are_refused() -> None:
    with pytest.raises(WrongCountError, match="18 numbers"):
        columns_of([(1, 2)])
    missing = list(row().row)
    missing[FIELDS.index("services")] = None
    with pytest.raises(NotFiniteError) as refused:
        columns_of([tuple(missing)])
    assert refused.value.field == "services"
    negative = list(row().row)
    negative[FIELDS.index("intervals")] = -1
    with pytest.raises(OutOfRangeError):
        columns_of([tuple(negative)])
    with pytest.raises(OutOfRangeError):
        WearStatistics(readings=-1)
    with pytest.raises(OutOfRangeError, match="go together"):
        WearStatistics(level_um=1)
    with pytest.raises(OutOfRangeError):
        WearStatistics(level_um=1, level_variance_um2=-1)

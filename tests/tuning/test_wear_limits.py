"""Limits of a fleet's rate, by readings and by practice."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from apps.tuning.practice import Practice
from apps.tuning.wear_limits import fleet_limits_mm, own_weight
from apps.tuning.wear_rates import shrink
from tests.tuning.wear_fleets import columns, fleet

PRACTICE = Practice()


# NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2: upper critical values, 0.05.
@pytest.mark.parametrize(("degrees", "t"), [(5.0, 2.015), (10.0, 1.812), (30.0, 1.697)])
def test_readings_have_the_limits_of_student(degrees: float, t: float) -> None:
    rate = shrink(fleet(), "edge_height", PRACTICE).fleet
    centre = replace(rate.centre, degrees_of_freedom=degrees, variance=4e-6)
    low, high = fleet_limits_mm(replace(rate, centre=centre))
    assert (low + high) / 2.0 == pytest.approx(centre.mean)
    assert (high - centre.mean) / 2e-3 == pytest.approx(t, abs=0.0006)


# Practice of the defaults: a usual service takes 0.02 .. 0.06 .. 0.15 mm of edge height.
def test_practice_states_its_limits_itself() -> None:
    rate = shrink(columns([]), "edge_height", PRACTICE).fleet
    low, high = fleet_limits_mm(rate)
    assert low == 0.0
    assert high == pytest.approx(0.06 + 0.13 / 2.0)


def test_the_own_weight_is_the_mean_of_the_skis_that_have_one() -> None:
    rates = shrink(fleet(), "edge_height", PRACTICE)
    assert own_weight(rates) == pytest.approx(float(np.mean(rates.weight)))
    assert own_weight(shrink(columns([]), "edge_height", PRACTICE)) is None

"""Forecasts of use hold what they promise, on simulated skis whose days out are known."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from numpy.random import Generator, default_rng

from apps.tuning.condition import fold
from apps.tuning.due import UseDue, due_of
from apps.tuning.history import Visit
from apps.tuning.practice import Practice

FIRST = date(2024, 1, 1)
WEEK, LIMIT, CASES = 7, 147, 400
PRACTICE = Practice(season_first="01-01", season_last="12-31", due_after_days_out=LIMIT)


def forecast_and_truth(weeks: int, rng: Generator) -> tuple[UseDue, date]:
    """A ski that is out each day by its own chance and is reported weekly: own simulation."""
    out = rng.random(1500) < rng.uniform(0.2, 0.8)
    reports = [
        Visit(
            f"r{week:02}",
            "usage",
            "bench@hill.example",
            FIRST + timedelta(days=WEEK * (week + 1) - 1),
            usage_days=int(out[WEEK * week : WEEK * (week + 1)].sum()),
        )
        for week in range(weeks + 1)
    ]
    now = fold(reports, practice=PRACTICE, today=reports[-1].day)
    use = due_of(reports, now, PRACTICE, since=FIRST).use
    return use, FIRST + timedelta(days=int(np.argmax(np.cumsum(out) >= LIMIT)))


@pytest.mark.parametrize("weeks", [3, 6, 12])
def test_nine_of_ten_limits_hold_the_true_day(weeks: int) -> None:
    rng = default_rng(weeks)
    held = []
    for _ in range(CASES):
        use, truth = forecast_and_truth(weeks, rng)
        if use.earliest is not None and use.latest is not None:
            held.append(use.earliest <= truth <= use.latest)
    assert len(held) > 0.95 * CASES
    assert 0.85 <= sum(held) / len(held) <= 0.95

"""The rises of a series, found in one pass, are those of the plain definition."""

from __future__ import annotations

import math
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from apps.tuning.history import Place, Reading, Visit, in_order
from apps.tuning.practice import Practice
from apps.tuning.series import Series, rises_of, series_of

FIRST = date(2020, 1, 1)
# Few different values and uncertainties, so that ties and readings that outdo others are usual.
READINGS = st.lists(
    st.tuples(st.sampled_from([1.5, 1.6, 1.7, 1.8]), st.sampled_from([0.02, 0.05, 0.2])),
    min_size=1,
    max_size=12,
)


def series(readings: list[tuple[float, float]]) -> Series:
    visits = [
        Visit(
            f"{number:064x}",
            "measurement",
            "bench",
            FIRST + timedelta(days=number),
            readings=(Reading("edge_height", value, Place(edge="left"), uncertainty),),
        )
        for number, (value, uncertainty) in enumerate(readings)
    ]
    (found,) = series_of(in_order(visits), Practice()).values()
    return found


@settings(max_examples=200)
@given(READINGS)
def test_each_rise_is_the_one_that_uncertainty_explains_least(
    readings: list[tuple[float, float]],
) -> None:
    for number, rise in enumerate(rises_of(series(readings))):
        value, uncertainty = readings[number]
        excesses = [
            (value - earlier) / math.hypot(uncertainty, other)
            for earlier, other in readings[:number]
        ]
        greatest = max(excesses, default=0.0)
        if rise is None:
            assert greatest <= 1.0 + 1e-9
        else:
            assert math.isclose(rise.rise_mm / rise.limit_mm, greatest, rel_tol=1e-9)

"""Axes: places and figures, round ticks, first days of months and years."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.pages.pictures.scales import Scale, first_days, places_of, tick_step, ticks
from tests.pages.pictures.reading_back import figure_at


def test_a_scale_reaches_from_end_to_end() -> None:
    scale = Scale(1.0, 3.0, 200.0, 20.0)
    assert [scale.at(value) for value in (1.0, 2.0, 3.0)] == [200.0, 110.0, 20.0]


@given(value=st.floats(-1e3, 1e3))
def test_a_place_gives_its_figure_back(value: float) -> None:
    scale = Scale(-5.0, 3.0, 200.0, 20.0)
    assert figure_at(scale, scale.at(value)) == pytest.approx(value, abs=1e-9)


@pytest.mark.parametrize(
    ("low", "high", "most", "marked"),
    [
        (0.0, 10.0, 5, [0, 2, 4, 6, 8, 10]),
        (0.7, 2.1, 6, [1.0, 1.5, 2.0]),
        (0.03, 0.31, 6, [0.05, 0.1, 0.15, 0.2, 0.25, 0.3]),
        (700.0, 2100.0, 6, [1000, 1500, 2000]),
        (0.0, 1.0, 5, [0, 0.2, 0.4, 0.6, 0.8, 1.0]),
    ],
)
def test_ticks_are_round(low: float, high: float, most: int, marked: list[float]) -> None:
    assert ticks(low, high, most) == pytest.approx(marked)


@given(low=st.floats(0.0, 1e3), span=st.floats(1e-3, 1e4), most=st.integers(2, 8))
def test_there_are_never_too_many_ticks_nor_any_off_the_axis(
    low: float, span: float, most: int
) -> None:
    found = ticks(low, low + span, most)
    assert len(found) <= most + 1
    assert all(low - 1e-6 * span <= one <= low + span * (1 + 1e-6) for one in found)
    mantissa = tick_step(span, most)
    while mantissa < 0.999:
        mantissa *= 10.0
    while mantissa > 9.99:
        mantissa /= 10.0
    assert any(mantissa == pytest.approx(one) for one in (1.0, 2.0, 5.0))


@pytest.mark.parametrize(
    ("step", "places"), [(0.5, 1), (0.1, 1), (0.02, 2), (0.001, 3), (1.0, 0), (200.0, 0)]
)
def test_ticks_are_written_with_the_places_they_need(step: float, places: int) -> None:
    assert places_of(step) == places


@pytest.mark.parametrize(
    ("first", "last", "days"),
    [
        (
            date(2024, 1, 1),
            date(2026, 6, 1),
            [date(2024, 1, 1), date(2025, 1, 1), date(2026, 1, 1)],
        ),
        (
            date(2025, 3, 2),
            date(2025, 6, 1),
            [date(2025, 4, 1), date(2025, 5, 1), date(2025, 6, 1)],
        ),
        (
            date(2024, 2, 1),
            date(2025, 1, 9),
            [date(2024, 4, 1), date(2024, 7, 1), date(2024, 10, 1), date(2025, 1, 1)],
        ),
        (
            date(2020, 5, 1),
            date(2027, 1, 1),
            [date(2022, 1, 1), date(2024, 1, 1), date(2026, 1, 1)],
        ),
        (date(1001, 1, 1), date(9999, 1, 1), None),
    ],
)
def test_days_are_marked_at_round_months(first: date, last: date, days: list[date] | None) -> None:
    found = first_days(first, last, 4)
    if days is None:
        assert all(day.year % 50 == 0 for day in found)
    else:
        assert list(found) == days

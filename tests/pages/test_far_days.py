"""Which days lie too far ahead to be named."""

from __future__ import annotations

from datetime import date

import pytest

from apps.pages.far_days import is_far


@pytest.mark.parametrize(
    ("day", "as_of", "far"),
    [
        (date(2046, 6, 1), date(2026, 6, 1), False),
        (date(2046, 6, 2), date(2026, 6, 1), True),
        (date(2044, 2, 29), date(2024, 2, 29), False),
        (date(2044, 3, 1), date(2024, 2, 29), True),
        (date(2027, 1, 1), date(2026, 6, 1), False),
        (date(9999, 12, 31), date(2026, 6, 1), True),
    ],
)
def test_more_than_twenty_years_are_far(day: date, as_of: date, *, far: bool) -> None:
    assert is_far(day, as_of) is far

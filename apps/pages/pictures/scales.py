"""From figures to places in a picture, and the round figures an axis is marked with."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

STEPS = (1.0, 2.0, 5.0, 10.0)
MONTH_STEPS = (1, 2, 3, 6, 12, 24, 60, 120, 240, 600)
MONTHS_A_YEAR = 12
# A last tick that rounding moved by its last bit is still on the axis.
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight line from figures to places: `low` is drawn at `low_at`, `high` at `high_at`."""

    low: float
    high: float
    low_at: float
    high_at: float

    def at(self, value: float) -> float:
        """Where a figure is drawn."""
        share = (value - self.low) / (self.high - self.low)
        return self.low_at + share * (self.high_at - self.low_at)


def tick_step(span: float, most: int) -> float:
    """Least step of 1, 2 or 5 times a power of ten that parts a span into at most `most`."""
    rough = span / most
    power = 10.0 ** math.floor(math.log10(rough))
    return next(step * power for step in STEPS if step * power >= rough * (1.0 - _ROUNDING))


def ticks(low: float, high: float, most: int) -> tuple[float, ...]:
    """Round figures on an axis: every multiple of the step that lies on it.

    Parameters
    ----------
    low, high : float
        Ends of the axis, the second above the first.
    most : int
        Steps there may be at most [1].

    Returns
    -------
    tuple of float
        In order; the ends are among them only where they are round.
    """
    step = tick_step(high - low, most)
    first = math.ceil(low / step - _ROUNDING)
    last = math.floor(high / step + _ROUNDING)
    return tuple(number * step for number in range(first, last + 1))


def places_of(step: float) -> int:
    """Decimal places that a step of 1, 2 or 5 needs."""
    return max(0, -math.floor(math.log10(step) + _ROUNDING))


def first_days(first: date, last: date, most: int) -> tuple[date, ...]:
    """First days of months or years between two days, at most `most` of them and one more.

    Parameters
    ----------
    first, last : date
        Ends of the axis of time.
    most : int
        Steps there may be at most [1].

    Returns
    -------
    tuple of date
        In order, each a round number of months from the beginning of the calendar.
    """
    low, high = _months(first), _months(last)
    step = next((one for one in MONTH_STEPS if (high - low) <= one * most), MONTH_STEPS[-1])
    return tuple(_round_days(low, high, step, first))


def _round_days(low: int, high: int, step: int, first: date) -> Iterator[date]:
    for month in range(-(-low // step) * step, high + 1, step):
        day = date(month // MONTHS_A_YEAR, month % MONTHS_A_YEAR + 1, 1)
        if day >= first:
            yield day


def _months(day: date) -> int:
    return day.year * MONTHS_A_YEAR + day.month - 1

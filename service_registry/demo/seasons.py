"""The winters of the scenario: the last ones that are over on the day it is made."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

SEASONS = 3
# By then the last ski of the winter is put away, and the last record of the scenario is written.
OVER_FROM = (5, 20)
FIRST_MONTH = 8


@dataclass(frozen=True, slots=True)
class Season:
    """One winter, named by the two years it lies in."""

    first_year: int

    def day(self, month: int, day: int) -> date:
        """Give a day of this winter, which runs from August to July."""
        return date(self.first_year + (month < FIRST_MONTH), month, day)

    def __str__(self) -> str:
        return f"{self.first_year}/{(self.first_year + 1) % 100:02d}"

    @classmethod
    def of(cls, day: date) -> Season:
        """Give the winter that a day lies in."""
        return cls(day.year - (day.month < FIRST_MONTH))


def seasons_until(today: date) -> tuple[Season, ...]:
    """Give the last winters that are over, the oldest first.

    Parameters
    ----------
    today : date
        The day the scenario is made on.
    """
    last = today.year - 1 - ((today.month, today.day) < OVER_FROM)
    return tuple(Season(year) for year in range(last - SEASONS + 1, last + 1))

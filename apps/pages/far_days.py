"""Days too far ahead to be named, since nobody uses a ski alike for so long."""

from __future__ import annotations

from datetime import date

# Practice: longer than any ski is in service.
MOST_YEARS = 20


def is_far(day: date, as_of: date) -> bool:
    """Say whether a day lies too far ahead to be named.

    Parameters
    ----------
    day : date
        The day to come.
    as_of : date
        The day from which it is seen.
    """
    # Compared by parts, since 29 February has no day of its own twenty years later or earlier.
    return (day.year - MOST_YEARS, day.month, day.day) > (as_of.year, as_of.month, as_of.day)

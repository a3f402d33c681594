"""When a message that could not be delivered is tried again, and when trying ends."""

from __future__ import annotations

import secrets
from datetime import timedelta

# Practice, no source: it reaches past a weekend's night without hammering a receiver that is down.
WAITS = (
    timedelta(seconds=5),
    timedelta(minutes=1),
    timedelta(minutes=10),
    timedelta(hours=1),
    timedelta(hours=4),
    timedelta(hours=12),
    timedelta(hours=24),
)
MOST_TRIES = len(WAITS) + 1
LONGEST_WAIT = WAITS[-1]
# Up to a tenth more, so that receivers that went down together are not all tried at once.
SPREAD = 0.1


def is_last(tries: int) -> bool:
    """Say whether this many tries are all that a message gets."""
    return tries >= MOST_TRIES


def wait_after(tries: int, *, asked: timedelta | None = None) -> timedelta:
    """Give the wait before the next try.

    Parameters
    ----------
    tries : int
        Tries so far, at least one and fewer than the most.
    asked : timedelta, optional
        What the receiver asked for by ``Retry-After``; at most a day of it is granted.
    """
    usual = WAITS[tries - 1] * (1 + SPREAD * secrets.SystemRandom().random())
    return max(usual, min(asked or timedelta(0), LONGEST_WAIT))

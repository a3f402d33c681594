"""Tries are bounded, and the waits between them grow."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from apps.exchange.webhook_schedule import (
    LONGEST_WAIT,
    MOST_TRIES,
    SPREAD,
    WAITS,
    is_last,
    wait_after,
)


def test_waits_grow_beyond_any_spread() -> None:
    for shorter, longer in pairwise(WAITS):
        assert shorter * (1 + SPREAD) < longer


def test_a_message_ends_after_its_last_try() -> None:
    assert [tries for tries in range(1, MOST_TRIES + 3) if not is_last(tries)] == list(
        range(1, MOST_TRIES)
    )


@given(st.integers(1, MOST_TRIES - 1), st.integers(0, 10**9))
def test_a_receiver_may_ask_for_more_up_to_a_day(tries: int, seconds: int) -> None:
    asked = timedelta(seconds=seconds)
    wait = wait_after(tries, asked=asked)
    assert WAITS[tries - 1] <= wait
    assert min(asked, LONGEST_WAIT) <= wait
    assert wait <= max(WAITS[tries - 1] * (1 + SPREAD), min(asked, LONGEST_WAIT))


def test_waits_are_spread() -> None:
    assert len({wait_after(1) for _ in range(20)}) > 1

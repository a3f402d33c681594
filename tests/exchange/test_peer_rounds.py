"""The loop: every peer in turn, and one in trouble is left alone for longer and longer."""

from __future__ import annotations

from threading import Event

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.exchange.peers.errors import PeerTrouble, What
from apps.exchange.peers.looping import LONGEST_PAUSE_S, Rounds, pause_s, turns

TROUBLE = PeerTrouble(What.CUT, "Cut.")


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def rounds(clock: Clock, every_s: float = 60) -> Rounds:
    """Rounds without chance."""
    return Rounds(every_s, clock=clock, chance=lambda: 0.0)


@pytest.mark.parametrize(
    ("failures", "pause"), [(0, 60), (1, 120), (2, 240), (5, 1920), (6, 3600), (5000, 3600)]
)
def test_each_failure_doubles_the_pause_up_to_an_hour(failures: int, pause: float) -> None:
    assert pause_s(60, failures) == pause


def test_a_pause_is_never_shorter_than_what_the_peer_asks_for() -> None:
    assert pause_s(60, 1, asked_s=900) == 900
    assert pause_s(60, 0, asked_s=900) == 900


@given(st.floats(1, 86400), st.integers(1, 10_000), st.floats(-1, 1))
def test_a_pause_is_spread_by_a_tenth_at_most(every: float, failures: int, spread: float) -> None:
    plain = pause_s(every, failures)
    assert 0.9 * plain <= pause_s(every, failures, spread=spread) * (1 + 1e-9)
    assert pause_s(every, failures, spread=spread) <= 1.1 * plain * (1 + 1e-9)
    assert plain <= max(LONGEST_PAUSE_S, every)


def test_a_new_peer_has_its_turn_at_once_and_then_every_round() -> None:
    clock = Clock()
    loop = rounds(clock)
    assert loop.due(["a.example", "b.example"]) == ["a.example", "b.example"]
    loop.went_well("a.example")
    assert loop.due(["a.example", "b.example"]) == ["b.example"]
    loop.went_well("b.example")
    assert loop.until_next(["a.example", "b.example"]) == 60
    clock.now += 60
    assert loop.due(["a.example", "b.example"]) == ["a.example", "b.example"]


def test_a_peer_in_trouble_waits_longer_and_is_forgiven() -> None:
    clock = Clock()
    loop = rounds(clock)
    assert [loop.failed("a.example", TROUBLE) for _ in range(3)] == [120, 240, 480]
    assert loop.due(["a.example"]) == []
    clock.now += 480
    assert loop.due(["a.example"]) == ["a.example"]
    loop.went_well("a.example")
    assert loop.failed("a.example", TROUBLE) == 120


def test_a_peer_that_asks_for_time_gets_it() -> None:
    slow = PeerTrouble(What.SLOW_DOWN, "Slow down.", wait_s=1800)
    assert rounds(Clock()).failed("a.example", slow) == 1800


def test_the_loop_ends_between_two_peers_when_told_to() -> None:
    ended = Event()
    seen = []
    for host in turns(rounds(Clock(), every_s=0.01), lambda: ["a.example", "b.example"], ended):
        seen.append(host)
        if len(seen) == 3:
            ended.set()
    assert seen == ["a.example", "b.example", "a.example"]


def test_without_a_peer_the_loop_waits_for_one() -> None:
    clock = Clock()
    assert rounds(clock).until_next([]) == 60
    assert rounds(clock).due([]) == []

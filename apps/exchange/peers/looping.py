"""Pulls again and again, and leaves a peer in trouble alone for longer and longer."""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from threading import Event

from apps.exchange.peers.errors import PeerTrouble

LONGEST_PAUSE_S = 3600.0
# Peers that failed together do not come back together.
SPREAD = 0.1


def pause_s(every_s: float, failures: int, *, asked_s: float = 0.0, spread: float = 0.0) -> float:
    """Say how long to leave a peer alone.

    Parameters
    ----------
    every_s : float
        Between two pulls when all is well [s].
    failures : int
        Pulls in a row that came to nothing; each doubles the pause, up to an hour.
    asked_s : float
        What the peer asked for [s].
    spread : float
        Between -1 and 1: moves a pause after a failure by up to a tenth.
    """
    if not failures:
        return max(every_s, asked_s)
    # The exponent is bounded, since a peer may stay away for years.
    longer = min(every_s * 2.0 ** min(failures, 20), max(LONGEST_PAUSE_S, every_s))
    return max(longer * (1 + SPREAD * spread), asked_s)


@dataclass(slots=True)
class Rounds:
    """When each peer's turn is.

    Parameters
    ----------
    every_s : float
        Between two pulls of one peer [s].
    clock : callable
        Gives seconds that only grow.
    chance : callable
        Gives a number between -1 and 1.
    """

    every_s: float
    clock: Callable[[], float] = time.monotonic
    chance: Callable[[], float] = field(default=lambda: random.uniform(-1, 1))  # noqa: S311
    due_at: dict[str, float] = field(default_factory=dict)
    failures: dict[str, int] = field(default_factory=dict)

    def due(self, hosts: Sequence[str]) -> list[str]:
        """Give the peers whose turn it is, the longest waiting first; a new one at once."""
        now = self.clock()
        waiting = [host for host in hosts if self.due_at.get(host, now) <= now]
        return sorted(waiting, key=lambda host: self.due_at.get(host, now))

    def went_well(self, host: str) -> None:
        """Note a pull that went well."""
        self.failures.pop(host, None)
        self.due_at[host] = self.clock() + self.every_s

    def failed(self, host: str, error: Exception) -> float:
        """Note a pull that failed; gives the seconds until the next."""
        self.failures[host] = self.failures.get(host, 0) + 1
        asked = error.wait_s if isinstance(error, PeerTrouble) else None
        pause = pause_s(
            self.every_s, self.failures[host], asked_s=asked or 0.0, spread=self.chance()
        )
        self.due_at[host] = self.clock() + pause
        return pause

    def until_next(self, hosts: Sequence[str]) -> float:
        """Give the seconds until the next turn; peers added meanwhile are seen within a round."""
        now = self.clock()
        nexts = [self.due_at.get(host, now) - now for host in hosts]
        return max(0.0, min([self.every_s, *nexts]))


def turns(rounds: Rounds, hosts: Callable[[], Sequence[str]], ended: Event) -> Iterator[str]:
    """Give the peer whose turn it is, again and again until told to end."""
    while not ended.is_set():
        for host in rounds.due(hosts()):
            if ended.is_set():
                return
            yield host
        ended.wait(rounds.until_next(hosts()))

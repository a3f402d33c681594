"""Runs the same call in many threads at once and collects what each came to."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from typing import TypeVar

from django.db import connections

T = TypeVar("T")
THREADS = 16


def at_once(call: Callable[[int], T], *, threads: int = THREADS) -> list[T | Exception]:
    """Call with each number from 0 in a thread of its own, all starting together."""
    barrier = Barrier(threads)

    def run(number: int) -> T | Exception:
        try:
            barrier.wait(timeout=30)
            return call(number)
        except Exception as error:
            return error
        finally:
            # Each thread has opened a connection of its own, and nobody else closes it.
            connections.close_all()

    with ThreadPoolExecutor(threads) as pool:
        return list(pool.map(run, range(threads)))

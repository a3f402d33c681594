"""Calls that may hang in code without a time limit of its own, such as a look-up of a name."""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable
from typing import TypeVar

T = TypeVar("T")


class TookTooLong(Exception):
    """The call has not ended in time; whatever it still comes to is thrown away."""


def within(seconds: float, call: Callable[[], T]) -> T:
    """Give what a call comes to, or stop waiting for it.

    Parameters
    ----------
    seconds : float
        The longest wait [s].
    call : callable
        Runs in a thread of its own and must not use the database.

    Raises
    ------
    TookTooLong
    Exception
        What the call raises.
    """
    answer: queue.Queue[tuple[T | None, Exception | None]] = queue.Queue()

    def run() -> None:
        try:
            answer.put((call(), None))
        except Exception as error:
            answer.put((None, error))

    # A daemon, so that a call that never ends does not keep the process from ending.
    threading.Thread(target=run, daemon=True).start()
    try:
        value, error = answer.get(timeout=seconds)
    except queue.Empty as none:
        raise TookTooLong(f"No answer within {seconds:.0f} seconds.") from none
    if error is not None:
        raise error
    return value  # type: ignore[return-value]

"""The command that tells webhooks that the log has grown: once, or for as long as it runs."""

from __future__ import annotations

import argparse
import signal
import sys
import threading
from typing import TYPE_CHECKING

from django.db import OperationalError, close_old_connections

from apps.exchange.delivering import deliver_due
from apps.registry.errors import StorageBusy, StorageFull
from service_registry.commands.places import whole_number

if TYPE_CHECKING:
    from argparse import _SubParsersAction

LONGEST_S = 3600
MOST_FAILURES = 6


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add ``deliver``."""
    deliver = commands.add_parser("deliver", help="tell the webhooks that the log has grown")
    deliver.add_argument("--loop", action="store_true", help="go on until told to end (SIGTERM)")
    deliver.add_argument(
        "--every",
        type=whole_number(1, LONGEST_S),
        default=5,
        metavar="SECONDS",
        help="how long a loop waits between two looks at the log, 5 unless told otherwise",
    )
    deliver.set_defaults(command=run_deliver)


def run_deliver(options: argparse.Namespace) -> int:
    """Deliver what is due; a message that failed is no failure of the command."""
    if not options.loop:
        deliver_once()
        return 0
    over = threading.Event()
    signal.signal(signal.SIGTERM, lambda *_: over.set())
    deliver_until(over, every_s=options.every)
    return 0


def deliver_once() -> None:
    """Deliver what is due now, and say what became of each message."""
    for told in deliver_due():
        print(f"{told.webhook} {told.outcome}: {told.sentence}", flush=True)


def deliver_until(over: threading.Event, *, every_s: float) -> None:
    """Deliver in rounds; a database that is away for a while only makes the waits longer."""
    failures = 0
    while not over.is_set():
        try:
            deliver_once()
            failures = 0
        except (StorageBusy, StorageFull, OperationalError) as error:
            failures = min(failures + 1, MOST_FAILURES)
            print(f"service-registry: {error}", file=sys.stderr, flush=True)
        # A connection that broke would else be kept and fail for ever.
        close_old_connections()
        over.wait(every_s * 2**failures)

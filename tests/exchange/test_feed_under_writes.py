"""A follower sees each record of the log once, whoever writes meanwhile and however slowly."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from functools import partial
from threading import Event, Semaphore

import pytest
from django.core.cache import cache
from django.db import connections, transaction
from pytest_django import Settings

from apps.registry.actors import Actor
from apps.registry.errors import StorageBusy
from apps.registry.models import Record
from tests.exchange.following import Follower
from tests.registry.making import a_draft, a_shop, write
from tests.registry.threads import at_once

# Keeping coverage would make these runs half as long again; what they run is covered elsewhere.
pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.no_cover]

RECORDS = 5000
WRITERS = 8
# So many are written while the whole is paged; the others stand before.
WRITTEN_MEANWHILE = 2000
AT_ONCE = 25
HELD_S = 5.0
PATIENCE_S = 500.0


@pytest.fixture(autouse=True)
def _no_rates(settings: Settings) -> Iterator[None]:
    rates = dict.fromkeys(("read", "write", "compute", "unknown"), "1000000/minute")
    settings.REST_FRAMEWORK = {**settings.REST_FRAMEWORK, "DEFAULT_THROTTLE_RATES": rates}
    cache.clear()
    yield
    cache.clear()


@pytest.fixture
def writer() -> Actor:
    """A shop that threads can see."""
    return a_shop()


def write_before(by: Actor, count: int) -> None:
    """Register skis while nobody else writes."""
    for start in range(0, count, AT_ONCE):
        write(by, *(a_draft("description", tag=f"B{start + i}") for i in range(AT_ONCE)))


def write_some(by: Actor, number: int, count: int) -> int:
    """Register skis under tags of this writer's own, some at a time."""
    for start in range(0, count, AT_ONCE):
        drafts = [a_draft("description", tag=f"W{number}-{start + i}") for i in range(AT_ONCE)]
        patiently(partial(write, by, *drafts))
        # Longer than SQLite sleeps between two looks at its lock: else one writer keeps the others
        # out until it has written all.
        time.sleep(0.15)
    return count


def patiently(call: Callable[[], object]) -> None:
    """Call again while the database is busy, as a client does that is answered 503.

    SQLite lets writers in by chance, so that one of eight may wait longer than it is let.
    """
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        try:
            call()
        except StorageBusy:
            continue
        return
    raise AssertionError("The database was busy all the time.")


def logged() -> list[str]:
    """The ids of the log, in its order."""
    return list(Record.objects.order_by("log_index").values_list("id", flat=True))


@pytest.mark.timeout(1200)
def test_each_record_is_paged_once_while_eight_write(writer: Actor) -> None:
    write_before(writer, RECORDS - WRITTEN_MEANWHILE)
    before = len(logged())
    follower, left = Follower(), Semaphore(0)

    def run(number: int) -> int:
        if number < WRITERS:
            try:
                return write_some(writer, number, WRITTEN_MEANWHILE // WRITERS)
            finally:
                left.release()
        ended = 0
        while ended < WRITERS:
            # Threads take turns at the interpreter, and this one would take most of them.
            ended += left.acquire(timeout=0.02)
            follower.follow()
        return follower.rounds

    *written, rounds = at_once(run, threads=WRITERS + 1)
    assert written == [WRITTEN_MEANWHILE // WRITERS] * WRITERS
    assert isinstance(rounds, int)
    assert rounds > 1
    assert follower.ids == logged()
    assert len(set(follower.ids)) == len(follower.ids) == before + WRITTEN_MEANWHILE


def test_a_writer_that_takes_its_time_loses_nothing_for_a_follower(writer: Actor) -> None:
    follower = Follower()
    before = follower.follow()
    holds, let_go = Event(), Event()

    def slow() -> int:
        with transaction.atomic():
            (kept,) = write(writer, a_draft("description", tag="SLOW"))
            holds.set()
            time.sleep(HELD_S)
        let_go.set()
        return kept.log_index

    def quick(number: int) -> int:
        assert holds.wait(PATIENCE_S)
        (kept,) = write(writer, a_draft("description", tag=f"QUICK-{number}"))
        return kept.log_index

    def follow() -> int:
        assert holds.wait(PATIENCE_S)
        while not let_go.is_set():
            follower.follow()
            # Nothing past the open transaction may be seen before it.
            assert len(follower.ids) == before or let_go.wait(PATIENCE_S)
            time.sleep(0.05)
        return follower.rounds

    def run(number: int) -> int:
        return {0: slow, 1: follow}.get(number, lambda: quick(number))()

    first, rounds, *later = at_once(run, threads=5)
    assert first == before
    assert sorted(map(int, later)) == [before + 1, before + 2, before + 3]  # type: ignore[arg-type]
    assert isinstance(rounds, int)
    assert rounds > 2
    follower.follow()
    assert follower.ids == logged()
    connections.close_all()

"""The database's own refusals under their names."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event, Thread

import psycopg
import pytest
from django.db import IntegrityError, OperationalError, connection, connections, transaction

from apps.registry.actors import Actor
from apps.registry.door import lock_log
from apps.registry.errors import StorageBusy, StorageFull
from apps.registry.fsck import fsck
from apps.registry.models import Record
from apps.registry.storage import storage_errors
from tests.registry.making import a_draft, a_shop, a_ski, write


def refused(error: Exception, cause: Exception | None = None) -> type[Exception]:
    with pytest.raises(Exception) as caught, storage_errors():  # noqa: PT011 - told apart below
        raise error from cause
    return caught.type


@pytest.mark.parametrize(
    ("cause", "expected"),
    [
        (psycopg.errors.DiskFull(), StorageFull),
        (psycopg.errors.LockNotAvailable(), StorageBusy),
        (psycopg.errors.SerializationFailure(), StorageBusy),
        (psycopg.errors.DeadlockDetected(), StorageBusy),
        (psycopg.errors.TooManyConnections(), StorageBusy),
        (psycopg.errors.CannotConnectNow(), StorageBusy),
        (psycopg.errors.UndefinedFile(), OperationalError),
    ],
)
def test_postgresql_says_it_by_sqlstate(cause: psycopg.Error, expected: type[Exception]) -> None:
    """PostgreSQL's manual, appendix A."""
    assert refused(OperationalError("whatever the language of the server"), cause) is expected


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("database is locked", StorageBusy),
        ("database table is locked: registry_record", StorageBusy),
        ("database schema is locked: main", StorageBusy),
        ("database or disk is full", StorageFull),
        ("unable to open database file", OperationalError),
    ],
)
def test_sqlite_says_it_in_words(words: str, expected: type[Exception]) -> None:
    """The texts of SQLITE_BUSY, SQLITE_LOCKED and SQLITE_FULL in SQLite's source."""
    assert refused(OperationalError(words)) is expected


def test_other_refusals_pass_as_they_are() -> None:
    assert refused(IntegrityError("twice")) is IntegrityError


@contextmanager
def log_locked_elsewhere() -> Iterator[None]:
    """Hold the lock of the log in another thread, with a connection of its own."""
    locked, done = Event(), Event()

    def hold() -> None:
        with transaction.atomic():
            lock_log()
            locked.set()
            done.wait(timeout=30)
        connections.close_all()

    thread = Thread(target=hold)
    thread.start()
    assert locked.wait(timeout=30)
    yield
    done.set()
    thread.join()


def short_patience() -> None:
    with connection.cursor() as cursor:
        cursor.execute(
            {
                "sqlite": "PRAGMA busy_timeout = 50",
                "postgresql": "SET lock_timeout = '50ms'",
            }[connection.vendor]
        )


@pytest.mark.django_db(transaction=True)
def test_a_writer_that_waits_too_long_is_told_to_come_again() -> None:
    shop: Actor = a_shop()
    a_ski(shop)
    short_patience()
    with log_locked_elsewhere(), pytest.raises(StorageBusy, match="again"):
        write(shop, a_draft("usage"))
    connection.close()
    assert Record.objects.of_kind("description").count() == 1


def leave_no_room() -> None:
    """SQLite is held to the pages it has; in PostgreSQL a trigger says what a full disk says."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            # Tests before this one leave free pages, which would be room.
            cursor.execute("VACUUM")
            cursor.execute("PRAGMA page_count")
            (pages,) = cursor.fetchone()
            cursor.execute(f"PRAGMA max_page_count = {pages}")
        else:
            cursor.execute(
                "CREATE FUNCTION no_room() RETURNS trigger LANGUAGE plpgsql AS "
                "$$ BEGIN RAISE EXCEPTION 'no room' USING ERRCODE = '53100'; END $$"
            )
            cursor.execute(
                "CREATE TRIGGER no_room AFTER INSERT ON registry_job "
                "FOR EACH STATEMENT EXECUTE FUNCTION no_room()"
            )


def make_room() -> None:
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("DROP FUNCTION no_room() CASCADE")
    connection.close()


@pytest.mark.django_db(transaction=True)
def test_a_full_disk_leaves_nothing_half_written() -> None:
    shop: Actor = a_shop()
    a_ski(shop)
    jobs = [a_draft("job", body={"remarks": "long " * 390}) for _ in range(100)]
    leave_no_room()
    with pytest.raises(StorageFull, match="make room"):
        write(shop, *jobs)
    make_room()
    assert Record.objects.of_kind("description").count() == 1
    assert fsck().is_sound

"""The database's own refusals, translated once, and the lock that orders the log."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import OperationalError, connection, transaction

from apps.registry.errors import StorageBusy, StorageFull

BUSY = "The database is busy with other writes. Send the same request again in a few seconds."
# PostgreSQL takes at most 65535 parameters in a statement.
ROWS_AT_ONCE = 500

FULL = "The node has no storage left, so nothing was written. The operator must make room."

# SQLSTATE classes of PostgreSQL's manual, appendix A.
BUSY_STATES = frozenset(
    {
        "40001",  # serialization_failure
        "40P01",  # deadlock_detected
        "53300",  # too_many_connections
        "55P03",  # lock_not_available
        "57P03",  # cannot_connect_now
    }
)
FULL_STATES = frozenset({"53100"})  # disk_full
# SQLite gives Django no code to go by, only these words (SQLITE_BUSY, SQLITE_LOCKED, SQLITE_FULL).
BUSY_WORDS = ("database is locked", "database table is locked", "database schema is locked")
FULL_WORDS = ("database or disk is full",)


def is_busy(error: OperationalError) -> bool:
    """Say whether the same call may succeed later."""
    state = getattr(error.__cause__, "sqlstate", None)
    return state in BUSY_STATES or any(words in str(error) for words in BUSY_WORDS)


def is_full(error: OperationalError) -> bool:
    """Say whether the storage has no room left."""
    state = getattr(error.__cause__, "sqlstate", None)
    return state in FULL_STATES or any(words in str(error) for words in FULL_WORDS)


@contextmanager
def storage_errors() -> Iterator[None]:
    """Translate the database's refusals; stands outside of the transaction it watches.

    Raises
    ------
    StorageBusy
        If the database is locked, deadlocked or out of connections.
    StorageFull
        If its disk is full.
    """
    try:
        yield
    except OperationalError as error:
        if is_full(error):
            raise StorageFull(FULL) from error
        if is_busy(error):
            raise StorageBusy(BUSY) from error
        raise


@contextmanager
def writing() -> Iterator[None]:
    """One transaction that writes, with the database's refusals translated."""
    with storage_errors(), transaction.atomic():
        yield


@contextmanager
def snapshot() -> Iterator[None]:
    """One transaction that reads a single state of everything, whatever is written meanwhile.

    SQLite lets no writer in while it lasts; PostgreSQL lets them write.
    """
    is_outermost = not connection.in_atomic_block
    with storage_errors(), transaction.atomic():
        # The level can only be set before the first query of a transaction.
        if is_outermost and connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield


def emptied_write_ahead_log() -> bool:
    """Empty SQLite's write-ahead log, which keeps what was overwritten.

    Returns
    -------
    bool
        False where somebody uses the database just now, also this process, so that it could not
        be emptied. True also for PostgreSQL, whose log is kept by other rules.
    """
    if connection.vendor != "sqlite":
        return True
    try:
        with storage_errors(), connection.cursor() as cursor:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            busy, *_ = cursor.fetchone()
    except StorageBusy:
        return False
    return not busy

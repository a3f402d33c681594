"""A locked database and a full disk: the right status, and nothing half written."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import psycopg
import pytest
from django.db import connection

from apps.registry.models import Job, LogHead, Record
from tests.api.client import ApiClient
from tests.api.making import a_client, draft, register, write
from tests.registry.making import FIRST

WAIT_MS = 200


@pytest.fixture
def fellbench(transactional_db: None) -> ApiClient:
    """A client with a registered ski; its records are committed, so that others see them."""
    client = a_client("fellbench")
    register(client, "FB-0042")
    return client


@contextmanager
def locked() -> Iterator[None]:
    """Another connection holds the log, and this one waits for it only shortly."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute(f"PRAGMA busy_timeout = {WAIT_MS}")
        else:
            cursor.execute(f"SET lock_timeout = {WAIT_MS}")
    try:
        with holding_sqlite() if connection.vendor == "sqlite" else holding_postgresql():
            yield
    finally:
        connection.close()


@contextmanager
def holding_sqlite() -> Iterator[None]:
    """Hold the write lock of the file."""
    holder = sqlite3.connect(str(connection.settings_dict["NAME"]), isolation_level=None)
    try:
        holder.execute("BEGIN IMMEDIATE")
        yield
    finally:
        holder.close()


@contextmanager
def holding_postgresql() -> Iterator[None]:
    """Hold the row that whoever appends must lock."""
    parameters = connection.get_connection_params()
    wanted = {name: parameters.get(name) for name in ("dbname", "user", "host", "port")}
    with psycopg.connect(**{k: v for k, v in wanted.items() if v}) as holder:
        holder.execute("SELECT 1 FROM registry_loghead FOR UPDATE")
        yield


@contextmanager
def full() -> Iterator[None]:
    """The database has no page left: a limit on SQLite, the server's own error on PostgreSQL."""
    fill, empty = FULL[connection.vendor]
    fill()
    try:
        yield
    finally:
        empty()


def run(*statements: str) -> None:
    """Run statements on the tests' connection."""
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def fill_sqlite() -> None:
    """Allow no page more than the file has, and leave none of them free."""
    run("VACUUM")
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA page_count")
        pages = cursor.fetchone()[0]
        cursor.execute(f"PRAGMA max_page_count = {pages}")


# SQLSTATE 53100 is disk_full (PostgreSQL manual, appendix A); a trigger lets the server raise it.
NO_ROOM = """
CREATE FUNCTION no_room() RETURNS trigger AS $$
BEGIN RAISE EXCEPTION 'could not extend file' USING ERRCODE = '53100'; END
$$ LANGUAGE plpgsql
"""
FULL: dict[str, tuple[Callable[[], None], Callable[[], None]]] = {
    "sqlite": (fill_sqlite, lambda: run("PRAGMA max_page_count = 1073741823")),
    "postgresql": (
        lambda: run(
            NO_ROOM,
            "CREATE TRIGGER full_disk BEFORE INSERT ON registry_job "
            "FOR EACH ROW EXECUTE FUNCTION no_room()",
        ),
        lambda: run("DROP TRIGGER full_disk ON registry_job", "DROP FUNCTION no_room()"),
    ),
}


def test_a_locked_database(fellbench: ApiClient) -> None:
    with locked():
        answer = fellbench.post("jobs", draft("job"))
        assert (answer.status, answer.slug) == (503, "storage-busy")
        assert int(answer.headers["Retry-After"]) > 0
        assert Record.objects.of_kind("job").count() == 0
    assert fellbench.post("jobs", draft("job")).status == 201


def test_reading_goes_on_while_the_log_is_locked(fellbench: ApiClient) -> None:
    with locked():
        assert fellbench.get("skis/fellbench/FB-0042/history").status == 200


def test_a_locked_database_with_an_idempotency_key(fellbench: ApiClient) -> None:
    with locked():
        answer = fellbench.post("jobs", draft("job"), Idempotency_Key="k-1")
        assert answer.status in {409, 503}
        assert int(answer.headers["Retry-After"]) > 0
    again = fellbench.post("jobs", draft("job"), Idempotency_Key="k-1")
    assert again.status == 201
    assert "Idempotency-Replayed" not in again.headers


def test_a_full_disk(fellbench: ApiClient) -> None:
    big = draft("job", body={"remarks": "worn " * 390})
    with full():
        answers = [fellbench.post("jobs", big) for _ in range(40)]
        refused = [answer for answer in answers if answer.status != 201]
        assert {(one.status, one.slug) for one in refused} == {(507, "storage-full")}
        written = len(answers) - len(refused)
        # What was refused left neither a record nor a row of the index nor a hole in the log.
        assert Record.objects.of_kind("job").count() == written == Job._default_manager.count()
        assert LogHead.objects.get().size == FIRST + 1 + written
        assert fellbench.get("jobs").status == 200
    assert write(fellbench, "jobs", big).json["log_index"] == FIRST + 1 + written

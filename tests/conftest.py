"""What all tests share: a database that threads can share, and the mark of those that use it."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from typing import Any

import pytest
from django.db import connection
from django.test import TransactionTestCase, override_settings

DATABASE_FIXTURES = frozenset(
    {"db", "transactional_db", "django_db_reset_sequences", "live_server"}
)
append_only = import_module("apps.registry.migrations.0008_erasure")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark every test that touches the database, so that it runs on PostgreSQL too."""
    for item in items:
        if touches_database(item):
            item.add_marker(pytest.mark.database)


def touches_database(item: pytest.Item) -> bool:
    """Say whether a test asks for the database in any of the ways there are."""
    if item.get_closest_marker("django_db"):
        return True
    if DATABASE_FIXTURES & set(getattr(item, "fixturenames", ())):
        return True
    owner = getattr(item, "cls", None)
    return owner is not None and issubclass(owner, TransactionTestCase)


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    django_db_modify_db_settings_parallel_suffix: None,
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    """Keep SQLite's test database in a file: threads can't share one in memory with its locks."""
    if connection.vendor == "sqlite":
        settings = connection.settings_dict
        settings["TEST"]["NAME"] = str(tmp_path_factory.mktemp("database") / "test.sqlite3")
        options = settings["OPTIONS"]
        options["init_command"] = options["init_command"].replace(
            "synchronous=FULL", "synchronous=OFF"
        )


@pytest.fixture(autouse=True, scope="session")
def passwords_hash_quickly() -> Iterator[None]:
    """Spare the tests the slow hash: it is the point of passwords, and of no test."""
    with override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"]):
        yield


@pytest.fixture(autouse=True, scope="session")
def records_can_be_flushed() -> Iterator[None]:
    """Let the tests empty the database between them, which the append-only triggers refuse."""
    ops = connection.ops
    plain = ops.sql_flush

    def sql_flush(*args: Any, **kwargs: Any) -> list[str]:
        statements: list[str] = plain(*args, **kwargs)
        vendor = connection.vendor
        return [*append_only.DROP[vendor], *statements, *append_only.MAKE[vendor]]

    ops.sql_flush = sql_flush  # type: ignore[method-assign]
    yield
    del ops.sql_flush

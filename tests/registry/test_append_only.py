"""The database refuses to change, drop or replace a record, whoever asks."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction

from apps.registry.models import Record

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    "change",
    [
        {"document": b"{}"},
        {"log_index": 7},
        {"author": "someone@node.example"},
    ],
)
def test_a_record_is_not_changed(ski: str, change: dict[str, Any]) -> None:
    before = list(Record.objects.values())
    with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
        Record.objects.filter(kind="description").update(**change)
    assert list(Record.objects.values()) == before


def test_a_record_is_not_dropped(ski: str) -> None:
    before = Record.objects.count()
    with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
        Record.objects.filter(kind="description").delete()
    assert Record.objects.count() == before


def test_a_record_is_not_replaced(ski: str) -> None:
    """SQLite replaces a row without firing a delete trigger; PostgreSQL has no such statement."""
    row = Record.objects.get(kind="description")
    row.document = b"{}"
    write_again = replace if connection.vendor == "sqlite" else insert
    with pytest.raises(IntegrityError), transaction.atomic():
        write_again(row)
    assert bytes(Record.objects.get(kind="description").document) != b"{}"


def insert(row: Record) -> None:
    row.save(force_insert=True)


def replace(row: Record) -> None:
    names = [str(field.column) for field in Record._meta.concrete_fields]
    values = [getattr(row, field.attname) for field in Record._meta.concrete_fields]
    marks = ", ".join(["%s"] * len(names))
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT OR REPLACE INTO registry_record ({', '.join(names)}) VALUES ({marks})",  # noqa: S608
            [
                str(v) if name in {"performed_day", "received_at"} else v
                for name, v in zip(names, values, strict=True)
            ],
        )


@pytest.mark.django_db(transaction=True)
def test_the_triggers_can_be_taken_back_and_made_again() -> None:
    call_command("migrate", "registry", "0001", verbosity=0)
    try:
        assert triggers() == set()
    finally:
        call_command("migrate", "registry", verbosity=0)
    assert {"record_no_update", "record_no_delete"} < triggers()


def triggers() -> set[str]:
    statement = {
        "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
        "postgresql": "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal",
    }[connection.vendor]
    with connection.cursor() as cursor:
        cursor.execute(statement)
        return {name for (name,) in cursor.fetchall()}

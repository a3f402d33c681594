"""The database lets a record be erased once, by an erasure record, and lets nothing else change."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction
from django.db.models import Field

from apps.registry.actions import replace_signing_key
from apps.registry.actors import OPERATOR, Actor
from apps.registry.erased import KEPT_KINDS
from apps.registry.erasing import erase_record
from apps.registry.models import Record
from tests.conftest import append_only
from tests.registry.making import NOW, a_draft, a_shop, a_ski, write
from tests.registry.test_append_only import triggers

pytestmark = pytest.mark.django_db

CHANGED = {"document", "erased_by"}
OTHERS = [field for field in Record._meta.concrete_fields if field.attname not in CHANGED]


@pytest.fixture
def job(ski: str, shop: Actor) -> str:
    """A job on a ski; gives its id."""
    (appended,) = write(shop, a_draft("job"))
    return appended.record_id


def a_reason(target: str, *, kind: str = "erasure", number: int = 0) -> str:
    """A row that names a record; put in beside the door, so that nothing is carried out."""
    row = Record.objects.get(id=target)
    row.id, row.kind, row.target = f"{number:064x}", kind, target
    row.log_index = Record.objects.count() + number
    row.save(force_insert=True)
    return row.id


def erase(record_id: str, **change: Any) -> None:
    Record.objects.filter(id=record_id).update(**{"document": b"", **change})


def refused(record_id: str, **change: Any) -> None:
    """See the database refuse a change, and leave the record as it was."""
    before = Record.objects.filter(id=record_id).values().get()
    with pytest.raises(IntegrityError), transaction.atomic():
        Record.objects.filter(id=record_id).update(**change)
    after = Record.objects.filter(id=record_id).values().get()
    assert {**after, "document": bytes(after["document"])} == {
        **before,
        "document": bytes(before["document"]),
    }


def test_the_bytes_go_by_an_erasure_record_that_names_the_record(job: str) -> None:
    before = Record.objects.filter(id=job).values().get()
    reason = a_reason(job)
    erase(job, erased_by=reason)
    after = Record.objects.filter(id=job).values().get()
    assert bytes(after["document"]) == b""
    assert after == {**before, "document": after["document"], "erased_by": reason}


def test_no_bytes_go_without_a_record_that_says_why(job: str, ski: str) -> None:
    refused(job, document=b"")
    refused(job, document=b"", erased_by="f" * 64)


def test_no_bytes_go_by_a_record_that_is_about_another(job: str, ski: str) -> None:
    description = Record.objects.get(kind="description").id
    refused(job, document=b"", erased_by=a_reason(description))


def test_no_bytes_go_by_a_record_of_another_kind(job: str) -> None:
    refused(job, document=b"", erased_by=a_reason(job, kind="retraction"))


def test_the_bytes_are_not_exchanged_for_others(job: str) -> None:
    reason = a_reason(job)
    refused(job, document=b"{}", erased_by=reason)
    refused(job, document=b"{}")
    refused(job, erased_by=reason)


@pytest.mark.parametrize("field", OTHERS, ids=lambda field: field.attname)
def test_nothing_else_changes_with_it(job: str, field: Field[Any, Any]) -> None:
    """Every column but the two; a column that is added later comes into this test by itself."""
    reason = a_reason(job)
    refused(job, document=b"", erased_by=reason, **{field.attname: another(field, job)})


def another(field: Field[Any, Any], record_id: str) -> Any:
    """A value that the column could hold, if the trigger let it."""
    value = getattr(Record.objects.get(id=record_id), field.attname)
    if field.attname in {"rank", "kind"}:
        return {"rank": "node-signed", "kind": "usage"}[field.attname]
    if isinstance(value, int):
        return value + 1000
    if isinstance(value, str):
        return "0" * len(value) if value else "other.example"
    return NOW.date() if field.attname == "performed_day" else NOW.replace(year=2030)


@pytest.mark.parametrize("kind", sorted(KEPT_KINDS))
def test_keys_and_erasures_stay(job: str, kind: str) -> None:
    erase_record(record_id=job, reason="author_asked", by=OPERATOR, now=NOW)
    if kind == "key-end":
        replace_signing_key(shop=a_handle(), by=OPERATOR)
    kept = Record.objects.filter(kind=kind).values_list("id", flat=True)[0]
    reason = Record.objects.get(id=job)
    reason.id, reason.kind, reason.target, reason.erased_by = "1" * 64, "erasure", kept, ""
    reason.document, reason.log_index = b"{}", Record.objects.count()
    reason.save(force_insert=True)
    refused(kept, document=b"", erased_by=reason.id)


def a_handle() -> str:
    return Record.objects.get(kind="description").author


def test_what_was_erased_is_neither_filled_nor_erased_again(job: str) -> None:
    data = bytes(Record.objects.get(id=job).document)
    first, second = a_reason(job), a_reason(job, number=1)
    erase(job, erased_by=first)
    refused(job, document=data, erased_by="")
    refused(job, document=data)
    refused(job, erased_by=second)
    refused(job, document=b"", erased_by=second)


@pytest.mark.parametrize("members", [{"document": b""}, {"erased_by": "1" * 64}])
def test_a_row_has_its_bytes_or_the_record_that_erased_them(
    job: str, members: dict[str, Any]
) -> None:
    row = Record.objects.get(id=job)
    row.id, row.log_index = "2" * 64, Record.objects.count()
    for name, value in members.items():
        setattr(row, name, value)
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save(force_insert=True)


@pytest.mark.django_db(transaction=True)
def test_the_change_of_tables_can_be_taken_back_while_nothing_is_erased() -> None:
    call_command("migrate", "registry", "0007", verbosity=0)
    try:
        with connection.cursor() as cursor:
            columns = connection.introspection.get_table_description(cursor, "registry_record")
        assert "erased_by" not in {column.name for column in columns}
    finally:
        call_command("migrate", "registry", verbosity=0)
    assert "record_no_update" in triggers()


@pytest.mark.django_db(transaction=True)
def test_a_log_with_erased_records_does_not_go_back() -> None:
    shop = a_shop()
    a_ski(shop)
    (job,) = write(shop, a_draft("job"))
    erase_record(record_id=job.record_id, reason="author_asked", by=OPERATOR, now=NOW)
    with pytest.raises(append_only.CannotMigrate, match="erased"):
        call_command("migrate", "registry", "0007", verbosity=0)
    call_command("migrate", "registry", verbosity=0)
    assert "record_no_update" in triggers()

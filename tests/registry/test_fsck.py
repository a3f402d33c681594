"""A check of everything stored names the first row that is not as it should be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

import pytest
from django.db import connection

from apps.records.canonical import record_id
from apps.registry import models
from apps.registry.fsck import Problem, fsck
from apps.registry.reindexing import new_tag
from tests.conftest import append_only
from tests.registry.making import FIRST, a_shop, key_of
from tests.registry.season import played

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def season() -> None:
    """Two shops with a season of records."""
    played(a_shop(), a_shop("tarnedge"))


@contextmanager
def without_triggers() -> Iterator[None]:
    """Let a test break what the database protects."""
    with connection.cursor() as cursor:
        for statement in append_only.DROP[connection.vendor]:
            cursor.execute(statement)
        yield
        for statement in append_only.MAKE[connection.vendor]:
            cursor.execute(statement)


def broken(log_index: int, changes: Mapping[str, Any]) -> tuple[models.Record, list[Problem]]:
    row = models.Record.objects.get(log_index=log_index)
    with without_triggers():
        models.Record.objects.filter(log_index=log_index).update(**changes)
    report = fsck()
    assert not report.is_sound
    return row, list(report.problems)


def test_what_is_sound_has_no_problems() -> None:
    report = fsck()
    assert report.is_sound
    assert (report.records, report.skis) == (models.Record.objects.count(), 3)


def test_a_flipped_byte() -> None:
    data = bytearray(models.Record.objects.get(log_index=4).document)
    data[20] ^= 1
    row, problems = broken(4, {"document": bytes(data)})
    assert [(p.code, p.table, p.row) for p in problems] == [("wrong-id", "record", row.id)]


def test_bytes_that_a_hand_changed_by_a_text() -> None:
    row = models.Record.objects.get(log_index=4)
    changed = bytes(row.document).decode().replace("fellbench", "tarnedge")
    with without_triggers(), connection.cursor() as cursor:
        # SQLite then keeps a text in the place of the bytes.
        sql = "UPDATE registry_record SET document = %s WHERE log_index = 4"
        cursor.execute(sql, [changed])
    assert [(p.code, p.row) for p in fsck().problems] == [("wrong-id", row.id)]


def test_bytes_that_are_no_record_under_the_right_id() -> None:
    data = b'{"kind":"nonsense"}'
    _, problems = broken(FIRST + 1, {"document": data, "id": record_id(data)})
    assert ("unreadable", record_id(data)) in [(p.code, p.row) for p in problems]


def test_a_flipped_signature() -> None:
    signature = models.Record.objects.get(log_index=4).signature
    flipped = ("B" if signature[0] != "B" else "C") + signature[1:]
    row, problems = broken(4, {"signature": flipped})
    assert [(p.code, p.row) for p in problems] == [("bad-signature", row.id)]


def test_a_key_that_no_record_brought_in() -> None:
    begins = models.SigningKey.objects.get(key_id=key_of("tarnedge").key_id).record
    with without_triggers():
        models.Record.objects.filter(id=begins.id).update(kind="job", subject_id="")
        models.Record.objects.filter(id=begins.id).update(document=b"{}")
    problems = fsck().problems
    foreign = models.Record.objects.written_by(a_handle("tarnedge")).order_by("log_index")
    signed = [p.row for p in problems if p.code == "bad-signature"]
    assert problems[0].row == begins.id
    assert signed == list(foreign.values_list("id", flat=True))


def test_a_changed_row_of_a_key() -> None:
    key = models.SigningKey.objects.get(key_id=key_of("tarnedge").key_id)
    models.SigningKey.objects.filter(key_id=key.key_id).update(valid_from=99)
    (problem,) = fsck().problems
    assert (problem.code, problem.table, problem.row) == ("wrong-row", "signingkey", key.key_id)
    assert "valid_from" in problem.sentence


def test_a_kept_key_that_no_record_brought_in() -> None:
    key = key_of("stray")
    kept = models.KeptKey.objects.filter(key_id=key_of("tarnedge").key_id)
    kept.update(key_id=key.key_id, private=key.seed)
    (problem,) = fsck().problems
    assert (problem.code, problem.row) == ("wrong-kept-key", key.key_id)


def a_handle(code: str) -> str:
    return models.Shop._default_manager.get(code=code).handle


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("author", "someone@node.example"),
        ("rank", "shop-signed"),
        ("order_key", "2025-01-01T12:00:00/9"),
    ],
)
def test_a_column_that_says_something_else(column: str, value: str) -> None:
    row, problems = broken(4, {column: value})
    assert [(p.code, p.row) for p in problems] == [("wrong-column", row.id)]
    assert column in problems[0].sentence


def test_a_hole_in_the_log() -> None:
    last = models.Record.objects.count() - 1
    _, problems = broken(last, {"log_index": last + 5})
    assert [(p.code, p.row) for p in problems] == [
        ("hole-in-log", str(last)),
        ("wrong-log-size", "1"),
    ]


def test_a_record_that_is_gone() -> None:
    last = models.Record.objects.filter(kind="usage").order_by("log_index").last()
    assert last is not None
    place = last.log_index
    with without_triggers():
        models.Usage._default_manager.filter(record=last).delete()
        last.delete()
    assert fsck().problems[0].code == "hole-in-log"
    assert fsck().problems[0].row == str(place)


def test_a_head_that_is_gone() -> None:
    models.LogHead._default_manager.all().delete()
    (problem,) = fsck().problems
    assert (problem.code, problem.table) == ("wrong-log-size", "loghead")


def test_a_changed_index_row() -> None:
    row = models.Usage._default_manager.order_by("record")[0]
    models.Usage._default_manager.filter(record=row.record_id).update(days=399)
    (problem,) = fsck().problems
    assert (problem.code, problem.table, problem.row) == ("wrong-row", "usage", row.record_id)
    assert "days" in problem.sentence


def test_a_missing_index_row() -> None:
    row = models.Finding._default_manager.order_by("record")[0]
    models.Finding._default_manager.filter(record=row.record_id, number=row.number).delete()
    (problem,) = fsck().problems
    assert (problem.code, problem.table) == ("missing-row", "finding")
    assert problem.row == f"{row.record_id}/{row.number}"


def test_an_index_row_that_no_record_says() -> None:
    row = models.Measurement._default_manager.order_by("record")[0]
    row.number = 77
    row.save(force_insert=True)
    (problem,) = fsck().problems
    assert (problem.code, problem.row) == ("extra-row", f"{row.record_id}/77")


def test_a_condition_that_no_longer_follows() -> None:
    ski = models.Condition.objects.order_by("ski")[0].ski_id
    models.Condition.objects.filter(ski=ski).update(grinds=55)
    (problem,) = fsck().problems
    assert (problem.code, problem.table, problem.row) == ("wrong-row", "condition", ski)


def test_a_tag_that_another_record_registered() -> None:
    models.Tag.objects.filter(tag="T-1").update(registered_by="ab" * 32)
    (problem,) = fsck().problems
    assert (problem.code, problem.table) == ("wrong-row", "tag")


def test_a_tag_that_no_record_registered() -> None:
    key = f"{a_handle('fellbench')}/STRAY-1"
    models.Ski._default_manager.create(key=key, cluster=key)
    (stray,) = fsck().problems
    assert (stray.code, stray.table, stray.row) == ("extra-row", "ski", key)
    new_tag(key, "ab" * 32).save(force_insert=True)
    problems = [(p.code, p.table, p.row) for p in fsck().problems]
    assert problems == [("extra-row", "tag", key), ("extra-row", "ski", key)]


def test_a_tag_that_is_gone() -> None:
    (tag,) = models.Tag.objects.filter(tag="FB-0043")
    models.Condition.objects.filter(ski=tag.ski_id).delete()
    models.Wear._default_manager.filter(ski=tag.ski_id).delete()
    models.Likeness._default_manager.filter(ski=tag.ski_id).delete()
    models.Tag.objects.filter(key=tag.key).delete()
    models.Ski._default_manager.filter(key=tag.ski_id).delete()
    problems = [(p.code, p.table, p.row) for p in fsck().problems]
    assert problems == [("missing-row", "tag", tag.key), ("missing-row", "ski", tag.ski_id)]


def test_a_ski_that_no_link_joins() -> None:
    models.Ski._default_manager.filter(key__endswith="T-1").update(tag_count=2)
    (problem,) = fsck().problems
    assert (problem.code, problem.table) == ("wrong-row", "ski")


def test_a_changed_row_of_wear() -> None:
    wear = models.Wear._default_manager.filter(quantity="edge_height").order_by("ski")[:1].get()
    same = models.Wear._default_manager.filter(ski=wear.ski_id, quantity="edge_height")
    same.update(days_since=99)
    (problem,) = fsck().problems
    assert (problem.code, problem.table) == ("wrong-row", "wear")
    assert problem.row == f"{wear.ski_id}/edge_height"
    assert "days_since" in problem.sentence


def test_it_stops_after_so_many(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("apps.registry.fsck.MOST_PROBLEMS", 3)
    with without_triggers():
        models.Record.objects.update(rank="shop-signed")
    first = models.Record.objects.order_by("log_index").values_list("id", flat=True)[:3]
    assert [p.row for p in fsck().problems] == list(first)

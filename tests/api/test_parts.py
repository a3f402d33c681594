"""Parts of the API that a request through the front door does not reach, or not every branch."""

from __future__ import annotations

import io
from datetime import UTC, datetime
from typing import Any

import pytest
from django.db import OperationalError

from apps.api.answers.history import RecordState
from apps.api.history import Row, item_members, items_of
from apps.api.parsing import ONE_RECORD_BYTES, StrictJSONParser
from apps.api.problems import CHALLENGE, problem_of
from apps.records.canonical import canonical_bytes, record_id
from apps.records.errors import TooLarge
from apps.records.examples import example_record
from apps.registry.errors import NotKnown, StorageBusy, StorageFull

NOW = datetime(2025, 3, 1, tzinfo=UTC)


def row(number: int, kind: str, **members: Any) -> Row:
    """A stored record that no door looked at."""
    document = {**example_record(kind), **members}
    data = canonical_bytes(document)
    target = "".join(document["refers_to"])
    return Row(
        id=record_id(data),
        document=data,
        signature="s",
        author=document["author"],
        format=1,
        rank="node-attested",
        target=target,
        performed_at="2025-01-31",
        order_key="2025-01-31T12:00:00/2",
        received_at=NOW,
        log_index=number,
        erased_by="",
    )


def test_a_body_longer_than_announced_is_read_one_byte_too_far() -> None:
    stream = io.BytesIO(b" " * (ONE_RECORD_BYTES + 100))
    with pytest.raises(TooLarge) as caught:
        StrictJSONParser().parse(stream)
    assert stream.tell() == ONE_RECORD_BYTES + 1
    problem = problem_of(caught.value)
    assert problem is not None
    assert problem.kind.slug == "too-large"


@pytest.mark.parametrize(
    ("words", "slug"),
    [("database is locked", "storage-busy"), ("database or disk is full", "storage-full")],
)
def test_a_read_that_the_database_refuses(words: str, slug: str) -> None:
    problem = problem_of(OperationalError(words))
    assert problem is not None
    assert problem.kind.slug == slug


def test_any_other_failure_of_the_database_is_a_failure_of_the_node() -> None:
    assert problem_of(OperationalError("no such column")) is None


def test_what_may_be_sent_again_says_when() -> None:
    busy, full = problem_of(StorageBusy("Busy.")), problem_of(StorageFull("Full."))
    assert busy is not None
    assert full is not None
    assert int(busy.headers["Retry-After"]) > 0
    assert "Retry-After" not in full.headers


def test_an_unknown_key_is_challenged() -> None:
    problem = problem_of(NotKnown("Who?"))
    assert problem is not None
    assert problem.headers == {"WWW-Authenticate": CHALLENGE}
    assert problem.mistakes == ()


def test_a_correction_by_another_author_is_shown_without_effect() -> None:
    # No door lets it in; a record that another node accepted may still be here one day.
    original = row(0, "usage")
    foreign = row(1, "correction", author="tarnedge@node.example", refers_to=[original.id])
    items = items_of([original, foreign])
    assert {item.row.log_index: item.state for item in items} == {
        0: RecordState.STANDS,
        1: RecordState.WITHOUT_EFFECT,
    }
    shown = [item_members(item) for item in items]
    assert all("corrections" not in members for members in shown)


def test_a_retraction_whose_target_is_not_here_is_shown_as_pending() -> None:
    (item,) = items_of([row(0, "retraction")])
    assert item.state is RecordState.PENDING

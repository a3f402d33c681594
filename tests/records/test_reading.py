"""The strict reader, records of a later format, and making a record from a draft."""

from __future__ import annotations

import json
from typing import Any

import pytest

from apps.records.canonical import canonical_bytes
from apps.records.errors import InvalidRecord, NotCanonical
from apps.records.examples import KEY, NODE, RECORD, SALT, SKI, example_draft, example_record
from apps.records.kinds import KINDS
from apps.records.reading import (
    FutureRecord,
    compose,
    read_draft,
    read_record,
    record_bytes,
)
from tests.records.refusals import HOST, coded, read_any_draft

AUTHOR = SKI["shop"]


def later_format(**changes: Any) -> dict[str, Any]:
    """Give a record of a format that is still to come, with fields nobody knows yet."""
    body = {"new": None, "list": [{"deep": "x"}]}
    extra = {"format": 2, "kind": "x-ray", "body": body, "more": True}
    return {**example_record("usage"), **extra, **changes}


@pytest.mark.parametrize("kind", KINDS)
def test_every_example_is_a_record_and_a_draft(kind: str) -> None:
    data = canonical_bytes(example_record(kind))
    record = read_record(data)
    assert isinstance(record, KINDS[kind].record)
    assert record_bytes(record) == data
    draft = read_any_draft(kind, example_draft(kind))
    assert canonical_bytes(compose(draft, author=record.author, key=KEY, salt=SALT)) == data


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'{"author"', b' {"author"'),
        (b'","', b'", "'),
        (b"FB-0042", b"FB\\u002d0042"),
    ],
)
def test_other_bytes_of_the_same_document_are_refused(old: bytes, new: bytes) -> None:
    data = canonical_bytes(example_record("usage"))
    with pytest.raises(NotCanonical, match="RFC 8785"):
        read_record(data.replace(old, new))


def test_members_in_another_order_are_refused() -> None:
    members = reversed(json.loads(canonical_bytes(example_record("usage"))).items())
    with pytest.raises(NotCanonical, match="RFC 8785"):
        read_record(json.dumps(dict(members), separators=(",", ":")).encode())


def test_a_record_of_a_later_format_is_kept_byte_for_byte() -> None:
    data = canonical_bytes(later_format())
    record = read_record(data)
    assert isinstance(record, FutureRecord)
    assert record.data == data
    envelope = record.envelope
    assert (envelope.format, envelope.kind, envelope.author) == (2, "x-ray", AUTHOR)
    assert envelope.ski is not None
    assert (envelope.ski.shop, envelope.ski.tag) == (SKI["shop"], SKI["tag"])
    assert envelope.performed_at.day.isoformat() == "2025-01-31"


def test_a_record_of_a_later_format_may_be_about_no_ski_and_by_a_node() -> None:
    document = later_format(author=NODE)
    del document["ski"]
    record = read_record(canonical_bytes(document))
    assert isinstance(record, FutureRecord)
    assert (record.envelope.ski, record.envelope.author) == (None, NODE)


@pytest.mark.parametrize(
    ("changes", "pointer", "code"),
    [
        ({"author": "x"}, "/author", "not-a-handle"),
        ({"key": None}, "/key", "not-a-string"),
        ({"kind": "X"}, "/kind", "not-a-kind"),
        ({"ski": "FB-1"}, "/ski", "not-an-object"),
        ({"refers_to": [RECORD] * 17}, "/refers_to", "too-many"),
        ({"performed_at": "soon"}, "/performed_at", "not-a-date"),
    ],
)
def test_a_later_format_must_still_say_who_what_and_when(
    changes: dict[str, Any], pointer: str, code: str
) -> None:
    with pytest.raises(InvalidRecord) as caught:
        read_record(canonical_bytes(later_format(**changes)))
    assert coded(caught.value.errors) == [(pointer, code)]


def test_a_later_format_must_be_canonical_too() -> None:
    with pytest.raises(NotCanonical):
        read_record(json.dumps(later_format()).encode())


@pytest.mark.parametrize("version", [0, -1, True, "2", [2]])
def test_what_is_no_later_format_is_read_as_this_one(version: object) -> None:
    with pytest.raises(InvalidRecord) as caught:
        read_record(canonical_bytes({**example_record("usage"), "format": version}))
    assert coded(caught.value.errors) == [("/format", "unknown-word")]


def test_a_draft_names_no_other_author() -> None:
    draft = read_draft("usage", example_draft("usage") | {"author": "other"}, node_host=HOST)
    with pytest.raises(InvalidRecord) as caught:
        compose(draft, author=AUTHOR, key=KEY)
    assert coded(caught.value.errors) == [("/author", "another-author")]
    own = read_draft("usage", example_draft("usage") | {"author": "fellbench"}, node_host=HOST)
    assert compose(own, author=AUTHOR, key=KEY)["author"] == AUTHOR


def test_a_salt_is_new_each_time() -> None:
    draft = read_draft("usage", example_draft("usage"), node_host=HOST)
    salts = {compose(draft, author=AUTHOR, key=KEY)["salt"] for _ in range(20)}
    assert len(salts) == 20
    assert all(len(salt) == 32 for salt in salts)


def test_a_record_is_frozen() -> None:
    record = read_record(canonical_bytes(example_record("usage")))
    with pytest.raises(ValueError, match="frozen"):
        record.salt = "0" * 32  # type: ignore[union-attr, misc]


def test_a_draft_may_have_its_own_size_limit() -> None:
    data = json.dumps(example_draft("usage")).encode()
    assert read_draft("usage", data, node_host=HOST, max_bytes=len(data)).kind == "usage"
    with pytest.raises(InvalidRecord, match="split it"):
        read_draft("usage", data, node_host=HOST, max_bytes=len(data) - 1)

"""Bundles: the golden one, what is read, and that no byte of one can be changed."""

from __future__ import annotations

import json
from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest

from apps.records.bundle import verify_bundle
from apps.records.bundle_file import read_bundle, tag_text
from apps.records.canonical import canonical_bytes
from apps.records.errors import InvalidRecord
from tests.records.make_bundle import GOLDEN
from tests.records.small_log import (
    BOTH,
    FOREIGN_HOST,
    NODE_KEY,
    SKI,
    SmallLog,
    started,
    story,
)

NODE_VKEY = "node.example/log+50fb68c0+AYinRXpjheobIIZPZlwm19HO2QgGg62Az329HUq4fGl+"


def smallest() -> SmallLog:
    log = started()
    log.write("usage", {"days": 12})
    return log


SMALLEST = smallest().bundle()
STRIPE = 8


def resealed(body: dict[str, Any]) -> bytes:
    """Sign a changed body again, as a node that lies would."""
    signature = NODE_KEY.sign_text(canonical_bytes(body))
    return canonical_bytes({"bundle": body, "signature": signature})


def body_of(data: bytes) -> dict[str, Any]:
    body: dict[str, Any] = json.loads(data)["bundle"]
    return body


def changes_of(value: Any) -> Iterator[Any]:
    """Yield a value with each of its parts changed in turn."""
    if isinstance(value, dict):
        for name, part in value.items():
            yield from ({**value, name: changed} for changed in changes_of(part))
    elif isinstance(value, list):
        for number, part in enumerate(value):
            rest = value[:number], value[number + 1 :]
            yield from ([*rest[0], changed, *rest[1]] for changed in changes_of(part))
            yield [*rest[0], *rest[1]]
    elif isinstance(value, str):
        yield value[:-1] + ("0" if value[-1:] != "0" else "1")
        yield ("0" if value[:1] != "0" else "1") + value[1:]
    else:
        yield value + 1


def test_the_golden_bundle_comes_out_the_same() -> None:
    assert story().bundle(BOTH) == GOLDEN.read_bytes()


def test_the_golden_bundle_holds_and_says_what_it_holds() -> None:
    report = verify_bundle(GOLDEN.read_bytes(), NODE_VKEY)
    assert (report.faults, report.holds) == ((), True)
    facts = report.facts
    assert facts is not None
    assert facts.tags == tuple(map(tag_text, read_bundle(GOLDEN.read_bytes()).bundle.tags))
    assert (facts.size, facts.records, facts.erased, facts.later) == (18, 10, 1, 1)
    assert facts.ranks == {"shop-signed": 4, "node-attested": 4, "node-signed": 1}
    assert facts.first_seen == (FOREIGN_HOST,)


def test_the_report_is_in_plain_words() -> None:
    words = "\n".join(verify_bundle(GOLDEN.read_bytes(), NODE_VKEY).lines)
    for said in (
        "This bundle holds.",
        "10 records about the ski fellbench@node.example/FB-0042",
        "Joined by mutual links: fellbench@node.example/FB-0042, tarnside@lake.example/TS-7.",
        "1 erased",
        "1 of a later format",
        "Compare it with lake.example.",
        "The node's key is the one that you gave",
        "can't show that nothing was left out",
    ):
        assert said in words


def test_a_small_bundle_says_less() -> None:
    words = "\n".join(verify_bundle(SMALLEST).lines)
    assert "It has 1 record about the ski" in words
    assert "taken from the file itself" in words
    for unsaid in ("Joined", "erased", "later format", "first key"):
        assert unsaid not in words


@pytest.mark.parametrize("stripe", range(STRIPE))
def test_every_flipped_byte_fails(stripe: int) -> None:
    assert verify_bundle(SMALLEST).holds
    for position in range(stripe, len(SMALLEST), STRIPE):
        flipped = bytearray(SMALLEST)
        flipped[position] ^= 1 << (position // STRIPE) % 8
        report = verify_bundle(bytes(flipped))
        assert not report.holds
        assert report.lines[0].startswith("This bundle does NOT hold")


@pytest.mark.parametrize("change", ["cut", "longer", "blank", "twice"])
def test_a_file_of_another_length_fails(change: str) -> None:
    changed = {
        "cut": SMALLEST[:-1],
        "longer": SMALLEST + b"\n",
        "blank": SMALLEST.replace(b":", b": ", 1),
        "twice": SMALLEST * 2,
    }
    report = verify_bundle(changed[change])
    assert (report.holds, report.facts) == (False, None)


@pytest.mark.parametrize("name", ["records", "keys"])
def test_a_node_that_lies_about_a_row_is_found_out(name: str) -> None:
    # The node signs the changed file again, so that only the proofs, ids and signatures inside
    # can tell.
    body = body_of(SMALLEST)
    for rows in changes_of(body[name]):
        if rows:
            changed = resealed({**body, name: rows})
            assert not verify_bundle(changed).holds, rows


@pytest.mark.parametrize("name", ["ski", "tags", "checkpoint", "node_key", "format"])
def test_a_node_that_lies_about_the_rest_is_found_out(name: str) -> None:
    body = body_of(SMALLEST)
    for value in changes_of(body[name]):
        assert not verify_bundle(resealed({**body, name: value})).holds, value


def test_what_a_node_leaves_out_can_not_be_seen() -> None:
    # This is the limit that the report names, so it must be true.
    assert verify_bundle(resealed({**body_of(SMALLEST), "records": []})).holds


def test_a_row_that_is_both_or_neither_is_refused() -> None:
    body = body_of(SMALLEST)
    row = body["records"][0]
    bare = {name: row[name] for name in ("id", "index", "proof")}
    for wrong in (
        bare,
        {**row, "erased_by": row["id"]},
        {**bare, "record": row["record"]},
        {**bare, "erased_by": row["id"], "signature": row["signature"]},
    ):
        with pytest.raises(InvalidRecord, match="erased_by"):
            read_bundle(resealed({**body, "records": [wrong]}))


@pytest.mark.parametrize(
    ("member", "value", "pointer"),
    [
        ("format", True, "/bundle/format"),
        ("format", 2, "/bundle/format"),
        ("links", "some", "/bundle/links"),
        ("tags", [], "/bundle/tags"),
        ("tags", [{**SKI, "tag": f"T{n}"} for n in range(9)], "/bundle/tags"),
        ("more", 1, "/bundle/more"),
        ("checkpoint", 1, "/bundle/checkpoint"),
        ("node_key", None, "/bundle/node_key"),
        ("records", [{"index": 2**53 - 1, "id": "x"}], "/bundle/records/0/id"),
        ("records", [{"index": "1"}], "/bundle/records/0/index"),
    ],
)
def test_what_has_another_shape_is_refused(member: str, value: Any, pointer: str) -> None:
    report = verify_bundle(resealed({**deepcopy(body_of(SMALLEST)), member: value}))
    assert report.facts is None
    assert pointer in {fault.place for fault in report.faults}
    assert f"{pointer}: " in "\n".join(report.lines)


def test_a_bundle_is_an_object() -> None:
    report = verify_bundle(b"[]")
    assert [fault.code for fault in report.faults] == ["not-an-object"]
    assert report.lines[1] == "A bundle is an object in braces."

"""A reader written from the specification alone reads the golden records, tree and notes."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.format.documents import (
    Unreadable,
    canonical,
    id_of,
    parse,
    read_record,
    unbase64url,
)
from tests.format.keys import holds, is_weak, key_id, private, proof_bytes, public
from tests.format.log import consistency, grew, included, inclusion, root
from tests.format.notes import COSIGNATURE, key_hash, read_checkpoint, read_note, read_vkey
from tests.format.pages import (
    LOG,
    NODE_SEED,
    ORIGIN,
    RECORDS,
    SEEN_AT_S,
    WITNESS,
    WITNESS_SEED,
    cosignature,
    golden,
    ids,
    node_vkey,
    signed_checkpoint,
)

NAMES = sorted(path.stem for path in RECORDS.glob("*.json"))
USAGE = canonical(golden("usage")["document"])

# RFC 8032 section 5.1: the eight points whose order divides the cofactor, as encoded there; the
# two of order 8 were computed from the curve, with either sign of x.
ORDER_EIGHT = (
    "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
    "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
)


@pytest.mark.parametrize("name", NAMES)
def test_a_golden_record_is_made_and_checked(name: str) -> None:
    kept = golden(name)
    data = canonical(kept["document"])
    assert data.hex() == kept["canonical_hex"]
    assert id_of(data) == kept["id"]
    assert read_record(parse(data)) == kept["document"]
    raw = unbase64url(kept["public_key"], 32)
    assert key_id(raw) == kept["document"]["key"]
    assert holds(raw, data, kept["signature"])
    assert not holds(raw, data + b" ", kept["signature"])


def test_the_proof_of_the_golden_key_holds_for_its_shop_only() -> None:
    body = golden("key")["document"]["body"]
    raw = unbase64url(body["public"], 32)
    assert holds(raw, proof_bytes(body["shop"]), body["proof"])
    assert not holds(raw, proof_bytes("tarnside@node.example"), body["proof"])


# RFC 8785 section 3.2.3: names in the order of UTF-16 code units, which is not that of code points.
def test_names_are_sorted_as_rfc_8785_sorts_them() -> None:
    names = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]
    ordered = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]
    assert list(json.loads(canonical(dict.fromkeys(names, 1)))) == ordered


@pytest.mark.parametrize(
    "data",
    [
        b"\xef\xbb\xbf{}",
        b'{"a":1,"\\u0061":2}',
        b'{"a":1.0}',
        b'{"a":1e2}',
        b'{"a":NaN}',
        b'{"a":9007199254740992}',
        b'{"a":"\\ud800"}',
        b'{"a":"\xff"}',
        b"[" * 17 + b"]" * 17,
        b'{"a":"' + b"x" * 32_768 + b'"}',
    ],
)
def test_json_that_could_mean_two_things_is_refused(data: bytes) -> None:
    with pytest.raises(Unreadable):
        parse(data)


def changed(**members: Any) -> dict[str, Any]:
    document: dict[str, Any] = {**golden("usage")["document"], **members}
    return {name: value for name, value in document.items() if value is not None}


WRONG: dict[str, dict[str, Any]] = {
    "a member more": {"later": 1},
    "a member less": {"salt": None},
    "true for a format": {"format": True},
    "an unknown kind": {"kind": "scan"},
    "a capital in a handle": {"author": "Fellbench@node.example"},
    "a host of one label": {"author": "fellbench@node"},
    "the node as author of a shop's kind": {"author": "node@node.example"},
    "a tag in lower case": {"ski": {"shop": "fellbench@node.example", "tag": "fb-0042"}},
    "more about the ski": {"ski": {"shop": "fellbench@node.example", "tag": "FB-0042", "x": 1}},
    "a moment without seconds": {"performed_at": "2025-01-31T14:30+01:00"},
    "a year out of range": {"performed_at": "1949-12-31"},
    "a reference too many": {"refers_to": ["0" * 64]},
}


@pytest.mark.parametrize("members", WRONG.values(), ids=list(WRONG))
def test_an_envelope_of_another_shape_is_refused(members: dict[str, Any]) -> None:
    read_record(changed())
    with pytest.raises(Unreadable):
        read_record(changed(**members))


def test_a_later_format_may_say_more() -> None:
    more = {"shop": "fellbench@node.example", "tag": "FB-0042", "side": "left"}
    read_record(changed(format=2, kind="scan", later={"a": None}, ski=more, body=None))
    with pytest.raises(Unreadable):
        read_record(changed(format=2, salt=None))


@pytest.mark.parametrize("sign", [0, 0x80])
@pytest.mark.parametrize(
    "encoded", ["01" + "00" * 31, "00" * 32, "ec" + "ff" * 30 + "7f", *ORDER_EIGHT]
)
def test_points_of_small_order_are_weak_keys(encoded: str, sign: int) -> None:
    raw = bytearray.fromhex(encoded)
    raw[31] |= sign
    assert is_weak(bytes(raw))
    assert not is_weak(public(private(NODE_SEED)))


def test_every_proof_of_the_small_log_holds_and_no_other() -> None:
    known = ids()
    for size in range(1, len(known) + 1):
        part = known[:size]
        for index in range(size):
            proof = inclusion(index, part)
            assert included(part[index], index, size, proof, root(part))
            assert not included(
                part[index], index, size, [*proof, proof[0] if proof else root([])], root(part)
            )
            assert not included(part[index], index + 1, size, proof, root(part))
        for old in range(1, size):
            proof = consistency(old, part)
            assert grew(old, size, proof, root(part[:old]), root(part))
            assert not grew(old, size, proof[:-1], root(part[:old]), root(part))
            assert not grew(old, size, proof, root(part[: old - 1]), root(part))


def test_the_checkpoint_of_the_pages_is_signed_by_its_log() -> None:
    name, raw = read_vkey(node_vkey())
    note = read_note(f"{signed_checkpoint()}\n")
    assert note.signed_by(name, raw)
    assert read_checkpoint(note.text) == (ORIGIN, len(LOG), root(ids()))
    assert not read_note(f"{signed_checkpoint()}\n".replace("\n5\n", "\n6\n")).signed_by(name, raw)


def test_the_cosignature_of_the_pages_says_when_it_was_seen() -> None:
    line = cosignature().rpartition("line   ")[2]
    note = read_note(f"{signed_checkpoint()}\n{line}\n")
    witness = public(private(WITNESS_SEED))
    assert note.seen_by(WITNESS, witness) == [SEEN_AT_S]
    assert not note.signed_by(WITNESS, witness)
    assert note.signed_by(ORIGIN, public(private(NODE_SEED)))


# C2SP signed-note, its own example.
def test_the_example_of_signed_note_holds() -> None:
    name, raw = read_vkey("example.com/foo+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k")
    signature = (
        "Uw2QOkn8srV1yJGh2VYRlL1Tnagv1YEq6TfXppzi2ONncAlTgK7Ztg1ERYNZXsYjOBH3mFXmRKuwHjG1Yu72"
        "IneyaQM="
    )
    note = read_note(f"This is an example message.\n\n\u2014 {name} {signature}\n")
    assert note.signed_by(name, raw)
    assert key_hash(name, raw, COSIGNATURE) != key_hash(name, raw)


READER = ("documents", "keys", "log", "notes", "bundle", "pages")


@pytest.mark.parametrize("module", READER)
def test_the_reader_uses_nothing_of_the_applications(
    module: str, imports: Callable[[Path], set[str]]
) -> None:
    used = imports(Path(__file__).with_name(f"{module}.py"))
    assert not {
        name for name in used if name.split(".")[0] in {"apps", "service_registry", "rfc8785"}
    }
    assert {name for name in used if name.startswith("tests.")} <= {
        f"tests.format.{one}" for one in READER
    }

"""Both readers give the same verdict: the one of the pages, and the one of this repository."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from apps.records.bundle import verify_bundle
from apps.records.canonical import canonical_bytes
from apps.records.errors import InvalidRecord, MalformedJson
from apps.records.reading import read_record
from apps.records.signing import PublicKey
from apps.records.strict_json import loads_strict
from apps.records.tree import verify_consistency, verify_inclusion
from apps.records.weak_keys import is_weak as is_weak_here
from tests.format.bundle import holds_bundle
from tests.format.documents import Unreadable, canonical, parse
from tests.format.documents import read_record as read_again
from tests.format.keys import is_weak
from tests.format.log import consistency, grew, included, inclusion, leaf, root
from tests.format.pages import BUNDLE, golden
from tests.records.small_log import BOTH, SmallLog, started, story
from tests.records.test_bundle import SMALLEST, body_of, resealed
from tests.records.test_bundle_checks import KEYS, joined


def same(data: bytes) -> bool:
    """Give the verdict of both, which must be one."""
    verdict = verify_bundle(data).holds
    assert holds_bundle(data) is verdict
    return verdict


@pytest.mark.parametrize("tell", [tell for _, tell, _ in KEYS], ids=[name for name, _, _ in KEYS])
def test_on_keys_that_do_not_speak(tell: Callable[[SmallLog], object]) -> None:
    log = started()
    assert same(log.bundle())
    tell(log)
    assert not same(log.bundle())


@pytest.mark.parametrize("links", ["mutual", "all", "none"])
@pytest.mark.parametrize("retracted", [False, True])
@pytest.mark.parametrize("mutual", [False, True])
def test_on_tags_that_are_joined_or_not(links: Any, *, retracted: bool, mutual: bool) -> None:
    log = joined(mutual=mutual, retracted=retracted)
    assert same(log.bundle(BOTH, links)) is (
        (links == "all" and (mutual or not retracted))
        or (links == "mutual" and mutual and not retracted)
    )


def test_on_a_whole_story() -> None:
    assert same(story().bundle(BOTH))
    assert not same(story().bundle(BOTH, "none"))


def altered(document: Any) -> Iterator[Any]:
    """Yield a document with each member, one after the other, left out, doubled or changed."""
    if isinstance(document, dict):
        yield from _altered_members(document)
    elif isinstance(document, list):
        yield from _altered_items(document)
    elif isinstance(document, str):
        words = ("", document + "0", document.swapcase(), 1, None)
        yield from (one for one in words if one != document)
    elif isinstance(document, int):
        yield from (document + 1, -document - 1, str(document), True, None)


def _altered_members(document: dict[str, Any]) -> Iterator[Any]:
    for name, value in document.items():
        rest = {key: one for key, one in document.items() if key != name}
        yield rest
        yield {**rest, f"{name}x": value}
        for one in altered(value):
            yield {**rest, name: one}


def _altered_items(document: list[Any]) -> Iterator[Any]:
    for place, value in enumerate(document):
        yield document[:place] + document[place + 1 :]
        yield [*document, value]
        for one in altered(value):
            yield [*document[:place], one, *document[place + 1 :]]


def test_on_every_member_of_a_bundle_that_its_node_altered_and_signed() -> None:
    verdicts = [same(resealed(body)) for body in altered(body_of(SMALLEST))]
    # Only without its single record it still holds: it says less, and nobody can tell.
    assert verdicts.count(True) == 1


def reads(read: Callable[[], object], *refusals: type[Exception]) -> bool:
    try:
        read()
    except refusals:
        return False
    return True


def test_on_the_envelope_of_a_later_format() -> None:
    later = {**golden("usage")["document"], "format": 2, "kind": "scan", "later": [None]}
    later["ski"] = {**later["ski"], "side": "left"}
    documents = [later, *altered(later), {**later, "refers_to": ["0" * 64] * 17}]
    verdicts = []
    for document in documents:
        data = canonical_bytes(document)
        assert canonical(document) == data
        here = reads(lambda data=data: read_record(data), InvalidRecord)  # type: ignore[misc]
        again = reads(lambda document=document: read_again(document), Unreadable)  # type: ignore[misc]
        assert here is again, document
        verdicts.append(here)
    assert {True, False} == set(verdicts)


STRICT = [
    b"{}", b"[]", b"1", b"-0", b"1.0", b"1e2", b"-1", b"01", b"9007199254740991",
    b"-9007199254740992",
    b'"\\ud83d\\ude00"', b'"\\ude00"', b'{"\\ud800":1}', b'{"a":1,"a":1}', b"NaN", b"[1,]", b"\xff",
    b" {} ", b"{}{}", b'"[[[[[[[[[[[[[[[[[[["', b"[" * 16 + b"]" * 16, b"[" * 17 + b"]" * 17,
    b"\xef\xbb\xbf{}", b"1" * 41, b"0" * 41, b'"\x00"', b'"\\u0000"', b"",
]  # fmt: skip


@pytest.mark.parametrize("data", STRICT)
def test_on_strict_json(data: bytes) -> None:
    here = reads(lambda: loads_strict(data), MalformedJson)
    assert reads(lambda: parse(data), Unreadable) is here


def test_on_proofs_with_a_hash_more_or_less() -> None:
    ids = [row.id for row in story().written]
    for size in range(1, len(ids) + 1):
        top = root(ids[:size])
        for index in range(size):
            for proof in around(inclusion(index, ids[:size])):
                here = verify_inclusion(leaf(ids[index]), index, size, proof, top).holds
                assert included(ids[index], index, size, proof, top) is here
        for old in range(size + 1):
            old_top = root(ids[:old])
            for proof in around(consistency(old, ids[:size]) if old else []):
                here = verify_consistency(old, size, proof, old_top, top).holds
                assert grew(old, size, proof, old_top, top) is here


def around(proof: list[bytes]) -> Iterator[list[bytes]]:
    yield proof
    yield proof[:-1]
    yield proof[1:]
    yield [*proof, root([])]
    yield [root([]), *proof]


def test_on_weak_keys() -> None:
    weak = [bytes([n]) + b"\x00" * 31 for n in range(4)]
    weak += [(2**255 - 19 + n).to_bytes(32, "little") for n in range(-2, 19)]
    weak += [bytes(31) + b"\x80", bytes(range(32))]
    for raw in weak:
        assert is_weak(raw) is is_weak_here(PublicKey(raw)), raw.hex()


def test_on_the_golden_bundle_laid_out_in_another_way() -> None:
    whole = json.loads(BUNDLE.read_bytes())
    assert same(canonical(whole))
    assert not same(json.dumps(whole).encode())

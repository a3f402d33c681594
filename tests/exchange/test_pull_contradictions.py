"""A log that shrank, forked or was rewritten is found, named and followed no more."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from apps.exchange.models import Evidence
from apps.exchange.peers.errors import Kind, PeerStopped, UnknownPeer
from apps.exchange.peers.keeping import follow_again
from apps.records.canonical import canonical_bytes
from apps.records.checkpoint import read_checkpoint
from apps.records.notes import VerifierKey
from apps.registry.actors import OPERATOR
from apps.registry.identity import ensure_identity
from apps.registry.models import Record
from tests.exchange.homes import FakeNode, Signed, key_of, signed, vkey_of
from tests.exchange.pulls import (
    HOST,
    a_home,
    contradiction,
    followed,
    in_json,
    peer_of,
    pulled,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _identity(db: None) -> None:
    ensure_identity()


@pytest.fixture
def node() -> FakeNode:
    """A peer whose six rows were pulled."""
    node = followed(a_home())
    pulled(node)
    return node


def rewritten(row: Signed) -> Signed:
    """A row that says something else, signed by its author again."""
    document = json.loads(row.data)
    document["body"]["remarks"] = "Nothing was done."
    return signed(document, key_of(document["author"]))


def size_of(note: str) -> int:
    """The size in a checkpoint that was kept as proof, which its key signed."""
    reading = read_checkpoint(note.encode(), VerifierKey.from_text(vkey_of(HOST)))
    assert reading.holds
    return reading.checkpoint.size


def test_a_log_that_shrank(node: FakeNode) -> None:
    del node.rows[4:]
    found = contradiction(node)
    assert (found.kind, found.index) == (Kind.SHRUNK, 4)
    kept = Evidence.objects.get()
    assert (size_of(kept.before), size_of(kept.after)) == (6, 4)


@pytest.mark.parametrize("grown", [0, 1, 5])
@pytest.mark.parametrize("index", [3, 4, 5])
def test_a_rewritten_log_names_the_first_row_that_differs(
    node: FakeNode, index: int, grown: int
) -> None:
    node.rows[index] = rewritten(node.rows[index])
    home = a_home(jobs=3 + grown)
    node.rows.extend(home.records[6:])
    found = contradiction(node)
    assert (found.kind, found.index) == (Kind.FORKED, index)
    kept = Evidence.objects.get()
    assert (size_of(kept.before), size_of(kept.after)) == (6, 6 + grown)
    assert json.loads(kept.answer)["id"] == node.rows[index].id


def test_a_fork_that_shows_the_old_rows_is_a_fork_all_the_same(node: FakeNode) -> None:
    node.tree_ids = [*node.ids[:5], "ab" * 32]
    found = contradiction(node)
    assert (found.kind, found.index) == (Kind.FORKED, None)
    assert "no row could be named" in found.sentence


def test_an_old_row_under_an_unchanged_tree_is_found(node: FakeNode) -> None:
    node.tree_ids = node.ids
    node.rows[4] = rewritten(node.rows[4])
    found = contradiction(node)
    assert (found.kind, found.index) == (Kind.REWRITTEN, 4)
    assert json.loads(Evidence.objects.get().answer)["id"] == node.rows[4].id


def test_old_bytes_under_an_unchanged_id_are_found(node: FakeNode) -> None:
    old = node.rows[4]
    node.rows[4] = replace(rewritten(old), id=old.id)
    found = contradiction(node)
    assert (found.kind, found.index) == (Kind.REWRITTEN, 4)


def test_new_bytes_that_are_not_those_of_their_id() -> None:
    home = a_home()
    node = followed(home)
    old = node.rows[4]
    node.rows[4] = replace(rewritten(old), id=old.id)
    found = contradiction(node)
    assert (found.kind, found.index) == (Kind.NOT_SIGNED_FOR, 4)
    assert "bytes" in found.sentence


@pytest.mark.parametrize("index", range(9))
@pytest.mark.parametrize("page", [3, 100])
def test_a_new_row_that_is_not_in_the_signed_tree_is_named(index: int, page: int) -> None:
    node = followed(a_home(jobs=6), page=page)
    node.tree_ids = node.ids
    document = json.loads(node.rows[index].data)
    document["salt"] = "f" * 32
    data = canonical_bytes(document)
    node.rows[index] = signed(json.loads(data), key_of(document["author"]))
    before = Record.objects.count()
    with pytest.raises(Exception, match=f"Row {index} of {HOST}"):
        pulled(node)
    assert (peer_of(node).state, peer_of(node).size) == ("stopped", index - index % page)
    assert Record.objects.count() == before + index - index % page
    assert Evidence.objects.get().index == index


def test_rows_in_another_order_are_not_what_was_signed() -> None:
    node = followed(a_home())
    node.tree_ids = node.ids
    node.rows[4], node.rows[5] = node.rows[5], node.rows[4]
    assert contradiction(node).index == 4


def test_a_stopped_peer_is_not_pulled(node: FakeNode) -> None:
    del node.rows[5:]
    contradiction(node)
    asked = len(node.asked)
    with pytest.raises(PeerStopped, match="--again"):
        pulled(node)
    assert len(node.asked) == asked


def test_a_peer_that_is_followed_again_is_held_to_what_it_signed(node: FakeNode) -> None:
    home = a_home(jobs=5)
    lost = node.rows.pop()
    contradiction(node)
    follow_again(host=HOST, by=OPERATOR)
    node.rows.append(lost)
    node.add(home.records[6:])
    assert pulled(node).new == 2
    assert Evidence.objects.count() == 1


def test_nobody_is_followed_again_who_was_never_followed() -> None:
    with pytest.raises(UnknownPeer):
        follow_again(host="lake.example", by=OPERATOR)


def test_a_refused_row_that_was_rewritten_is_found() -> None:
    home = a_home(jobs=260)
    home.write("job", "tarnside", tag="FB-1", shop=f"fellbench@{HOST}")
    node = followed(home)
    assert pulled(node).refused == 1
    node.tree_ids = node.ids
    node.rows[-1] = rewritten(node.rows[-1])
    found = contradiction(node)
    assert (found.kind, found.index) == (Kind.REWRITTEN, len(node.rows) - 1)


def test_a_peer_that_is_in_trouble_while_a_row_is_looked_for_is_stopped_too(
    node: FakeNode,
) -> None:
    node.rows[4] = rewritten(node.rows[4])
    node.twist = in_json("log/records", lambda document: document["items"].clear())
    found = contradiction(node)
    assert (found.kind, found.index) == (Kind.FORKED, None)

"""Answers that can't be used: nothing of them is believed, and the peer is asked again later."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from apps.exchange.peers.errors import (
    InvalidPeer,
    PeerContradiction,
    PeerExists,
    PeerTrouble,
    UnknownPeer,
    What,
)
from apps.exchange.peers.keeping import add_peer, find_peer, own_key, peers, pin_key, remove_peer
from apps.exchange.peers.pulling import pull
from apps.exchange.peers.transport import JSON, Answer
from apps.records.notes import VerifierKey
from apps.registry.actors import OPERATOR, shop_actor
from apps.registry.errors import NotAllowed
from apps.registry.identity import ensure_identity
from apps.registry.models import Record
from tests.exchange.homes import FakeNode, key_of, vkey_of
from tests.exchange.pulls import HOST, a_home, followed, in_json, only, peer_of, pulled, trouble

pytestmark = pytest.mark.django_db

HTML = Answer(200, "text/html", b"<p>Please sign in.</p>")


@pytest.fixture(autouse=True)
def _identity(db: None) -> None:
    ensure_identity()


@pytest.fixture
def node() -> FakeNode:
    """A peer that was never pulled."""
    return followed(a_home())


@pytest.mark.parametrize("path", ["log/checkpoint", "log/records"])
@pytest.mark.parametrize(
    ("answer", "what"),
    [
        (HTML, What.WRONG_TYPE),
        (Answer(302, "text/html", b""), What.REDIRECTED),
        (Answer(401, JSON, b"{}"), What.NOT_LET_IN),
        (Answer(403, JSON, b"{}"), What.NOT_LET_IN),
        (Answer(404, JSON, b"{}"), What.WRONG_STATUS),
        (Answer(500, JSON, b"{}"), What.WRONG_STATUS),
        (Answer(503, JSON, b"{}", wait_s=5000), What.WRONG_STATUS),
        (Answer(429, JSON, b"{}", wait_s=5000), What.SLOW_DOWN),
    ],
)
def test_another_answer_than_the_one_asked_for(
    node: FakeNode, path: str, answer: Answer, what: What
) -> None:
    node.twist = only(path, lambda _: answer)
    found = trouble(node)
    assert (found.what, found.wait_s) == (what, answer.wait_s)
    assert "sign in" not in found.sentence


@pytest.mark.parametrize("what", [What.UNREACHABLE, What.TIMED_OUT, What.CUT, What.TOO_LARGE])
@pytest.mark.parametrize("path", ["log/checkpoint", "log/records"])
def test_a_connection_that_fails(node: FakeNode, path: str, what: What) -> None:
    def fails(_: Answer) -> Answer:
        raise PeerTrouble(what, "It failed.")

    node.twist = only(path, fails)
    assert trouble(node).what is what


def test_an_answer_is_asked_for_with_a_limit(node: FakeNode) -> None:
    pulled(node)
    limits = {ask.path: ask.most_bytes for ask in node.asked}
    assert limits["log/checkpoint"] == 65536
    assert limits["log/records"] < 256 * 34 * 1024


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"fell.example/log\n1\n",
        b"\xff\xfe",
        b"<p>no note</p>",
        b"fell.example/log\n01\nAAAA\n\n\xe2\x80\x94 fell.example/log AAAAAAAA\n",
    ],
)
def test_no_checkpoint(node: FakeNode, body: bytes) -> None:
    node.twist = only("log/checkpoint", lambda answer: replace(answer, body=body))
    assert trouble(node).what is What.MALFORMED


def test_a_checkpoint_of_another_key(node: FakeNode) -> None:
    node.key = key_of("another")
    assert trouble(node).what is What.NOT_SIGNED


def test_a_checkpoint_whose_text_was_changed(node: FakeNode) -> None:
    node.twist = only(
        "log/checkpoint",
        lambda answer: replace(answer, body=answer.body.replace(b"\n6\n", b"\n7\n")),
    )
    assert trouble(node).what is What.NOT_SIGNED


def test_a_checkpoint_of_another_log_by_the_same_key(node: FakeNode) -> None:
    node.origin = "lake.example/log"
    assert trouble(node).what is What.WRONG_ORIGIN


def drop_first(document: dict[str, Any]) -> None:
    """Begin a row late."""
    del document["items"][0]


def drop_middle(document: dict[str, Any]) -> None:
    """Leave a row out."""
    del document["items"][2]


def twice(document: dict[str, Any]) -> None:
    """Give a row twice."""
    document["items"].insert(1, document["items"][0])


def turned(document: dict[str, Any]) -> None:
    """Give the rows backwards."""
    document["items"].reverse()


def none(document: dict[str, Any]) -> None:
    """Give no row."""
    document["items"].clear()


@pytest.mark.parametrize("change", [drop_first, drop_middle, turned, none])
def test_a_hole_in_the_rows(node: FakeNode, change: Callable[[dict[str, Any]], None]) -> None:
    node.twist = in_json("log/records", change)
    assert trouble(node).what is What.HOLE


def test_more_rows_than_were_asked_for(node: FakeNode) -> None:
    node.twist = in_json("log/records", twice)
    assert trouble(node).what is What.SURPLUS


def no_record(document: dict[str, Any]) -> None:
    """Leave the record out."""
    del document["items"][1]["record"]


def no_signature(document: dict[str, Any]) -> None:
    """Leave the signature out."""
    del document["items"][1]["signature"]


def wrong_id(document: dict[str, Any]) -> None:
    """Give an id that is none."""
    document["items"][1]["id"] = "g" * 64


def no_items(document: dict[str, Any]) -> None:
    """Leave the rows out."""
    del document["items"]


def null_index(document: dict[str, Any]) -> None:
    """Give no index."""
    document["items"][1]["index"] = None


@pytest.mark.parametrize("change", [no_record, no_signature, wrong_id, no_items, null_index])
def test_a_page_that_lacks_something(
    node: FakeNode, change: Callable[[dict[str, Any]], None]
) -> None:
    node.twist = in_json("log/records", change)
    assert trouble(node).what is What.MALFORMED


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"[]",
        b'{"items":[],"items":[]}',
        b'{"items":[{"index":0.5}]}',
        b'{"items":[' + b"[" * 40 + b"]" * 40 + b"]}",
        b'{"items":NaN}',
    ],
)
def test_no_strict_json(node: FakeNode, body: bytes) -> None:
    node.twist = only("log/records", lambda answer: replace(answer, body=body))
    assert trouble(node).what is What.MALFORMED


def test_members_of_a_later_version_are_passed_over(node: FakeNode) -> None:
    def more(document: dict[str, Any]) -> None:
        document["shard"] = "a"
        document["items"][0]["seen_at"] = "2030"

    node.twist = in_json("log/records", more)
    assert pulled(node).new == 6


@pytest.mark.parametrize(
    ("hashes", "what"),
    [(["zz"], What.MALFORMED), (["ab"], What.PROOF_FAILS), ([], What.PROOF_FAILS)],
)
def test_a_proof_that_is_none_stops_nobody(node: FakeNode, hashes: list[str], what: What) -> None:
    pulled(node)
    node.add(a_home(jobs=5).records)
    node.twist = in_json("log/consistency", lambda document: document.update(hashes=hashes))
    assert trouble(node).what is what
    node.twist = lambda _, answer: answer
    assert pulled(node).new == 2


def test_a_log_of_little_but_refused_records_is_left(
    node: FakeNode, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("apps.exchange.peers.pulling.MOST_REFUSED", 2)
    home = a_home()
    for _ in range(6):
        home.write("job", "nobody", tag="FB-1", shop=f"fellbench@{HOST}")
    node.add(home.records)
    node.page = 3
    with pytest.raises(PeerTrouble) as caught:
        pulled(node)
    assert caught.value.what is What.TOO_MANY_REFUSED
    assert peer_of(node).size == 9


def test_a_record_of_this_node_is_not_taken_from_another(node: FakeNode) -> None:
    own = own_key().name.removesuffix("/log")
    home = a_home(own)
    node.add(home.records)
    result = pulled(node)
    assert (result.new, result.refused) == (6, 6)
    assert not Record.objects.filter(id__in=[one.id for one in home.records]).exists()


@pytest.mark.parametrize(
    "vkey",
    [
        "",
        "fell.example/log",
        vkey_of(HOST)[:-4],
        vkey_of(HOST).replace("fell", "fall"),
        vkey_of("fell"),
    ],
)
def test_a_key_that_is_none_is_refused(vkey: str) -> None:
    with pytest.raises(InvalidPeer, match=r"\.$"):
        add_peer(url="https://fell.example", vkey=vkey, by=OPERATOR)


def test_a_node_does_not_follow_itself() -> None:
    with pytest.raises(InvalidPeer, match="this node itself"):
        add_peer(url="https://fell.example", vkey=own_key().text, by=OPERATOR)


@pytest.mark.parametrize("token", ["two words", "line\nline", "x" * 201, "\u00e9"])
def test_a_token_that_is_none_is_refused(token: str) -> None:
    with pytest.raises(InvalidPeer, match="API key"):
        add_peer(url="https://fell.example", vkey=vkey_of(HOST), token=token, by=OPERATOR)


def test_a_long_address_is_refused() -> None:
    with pytest.raises(InvalidPeer, match="400 characters"):
        add_peer(url=f"https://fell.example/{'x' * 400}", vkey=vkey_of(HOST), by=OPERATOR)


def test_a_peer_is_added_once(node: FakeNode) -> None:
    with pytest.raises(PeerExists):
        add_peer(url="https://fell.example", vkey=vkey_of(HOST), by=OPERATOR)
    assert [peer.host for peer in peers()] == [HOST]


def test_another_key_than_the_one_of_its_records_is_refused(node: FakeNode) -> None:
    pulled(node)
    remove_peer(host=HOST, by=OPERATOR)
    false = VerifierKey(f"{HOST}/log", key_of("impostor").public).text
    with pytest.raises(InvalidPeer, match="under another key"):
        add_peer(url="https://fell.example", vkey=false, by=OPERATOR)


def test_a_peer_that_replaced_its_key_is_held_to_the_new_one(node: FakeNode) -> None:
    pulled(node)
    node.key = key_of("new")
    assert trouble(node).what is What.NOT_SIGNED
    new = VerifierKey(f"{HOST}/log", key_of("new").public).text
    pin_key(host=HOST, vkey=new, by=OPERATOR)
    assert pulled(node).reread == 6
    node.rows.pop()
    with pytest.raises(PeerContradiction):
        pulled(node)


def test_a_log_may_begin_with_a_key_that_was_replaced_since(node: FakeNode) -> None:
    node.key = key_of("new")
    new = VerifierKey(f"{HOST}/log", key_of("new").public).text
    pin_key(host=HOST, vkey=new, by=OPERATOR)
    assert (pulled(node).new, pulled(node).refused) == (6, 0)


def test_what_another_peer_brought_too_early_is_right_once_its_own_node_has_brought_it(
    node: FakeNode,
) -> None:
    node.key = key_of("new")
    new = VerifierKey(f"{HOST}/log", key_of("new").public).text
    pin_key(host=HOST, vkey=new, by=OPERATOR)
    relay = followed(a_home("lake.example"))
    relay.add(node.rows)
    assert pulled(relay).refused == 6
    assert pulled(node).new == 6
    assert pulled(relay).refused == 0


def test_no_peer_is_held_to_the_key_of_another(node: FakeNode) -> None:
    with pytest.raises(InvalidPeer, match="not of fell"):
        pin_key(host=HOST, vkey=vkey_of("lake.example"), by=OPERATOR)
    with pytest.raises(UnknownPeer):
        pin_key(host="lake.example", vkey=vkey_of("lake.example"), by=OPERATOR)


def test_a_removed_peer_leaves_its_records(node: FakeNode) -> None:
    pulled(node)
    remove_peer(host=HOST, by=OPERATOR)
    assert Record.objects.filter(origin=HOST).count() == 6
    with pytest.raises(UnknownPeer):
        find_peer(HOST)
    with pytest.raises(UnknownPeer):
        pulled(node)


def test_only_the_operator_keeps_peers(node: FakeNode) -> None:
    shop = shop_actor("fellbench@localhost.invalid")
    for call in (
        lambda: add_peer(url="https://lake.example", vkey=vkey_of("lake.example"), by=shop),
        lambda: remove_peer(host=HOST, by=shop),
        lambda: pin_key(host=HOST, vkey=vkey_of(HOST), by=shop),
        lambda: pull(host=HOST, by=shop, connect=lambda _: node),
    ):
        with pytest.raises(NotAllowed):
            call()


def test_nothing_is_asked_beyond_the_four_addresses(node: FakeNode) -> None:
    pulled(node)
    node.add(a_home(jobs=5).records)
    pulled(node)
    assert {ask.path for ask in node.asked} == {
        "log/checkpoint",
        "log/consistency",
        "log/records",
        "log/cosignatures",
    }
    posted = [ask.body for ask in node.asked if ask.body]
    assert all(json.loads(body).keys() == {"note"} for body in posted)
    assert len(posted) == 2

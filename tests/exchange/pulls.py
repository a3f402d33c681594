"""A followed node in memory, and pulls from it."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from apps.exchange.models import Evidence, Peer
from apps.exchange.peers.errors import PeerContradiction, PeerTrouble
from apps.exchange.peers.keeping import add_peer
from apps.exchange.peers.pulling import Pulled, pull
from apps.exchange.peers.transport import Answer, Ask
from apps.registry.actors import OPERATOR
from apps.registry.models import Record
from tests.exchange.homes import FakeNode, Home, Twist, as_json, vkey_of

HOST = "fell.example"


def a_home(host: str = HOST, jobs: int = 3) -> Home:
    """A node of one shop with one ski: its keys, a description, some jobs."""
    home = Home(host, ["fellbench"])
    home.write("description", "fellbench", tag="FB-1")
    for _ in range(jobs):
        home.write("job", "fellbench", tag="FB-1")
    return home


def followed(home: Home, **more: Any) -> FakeNode:
    """A node with the records of a home, added as a peer."""
    node = FakeNode(home.host, **more)
    node.add(home.records)
    add_peer(url=f"https://{home.host}", vkey=vkey_of(home.host), by=OPERATOR)
    return node


def pulled(node: FakeNode, **more: Any) -> Pulled:
    """Pull from a node."""
    return pull(host=node.host, by=OPERATOR, connect=lambda _: node, **more)


def peer_of(node: FakeNode) -> Peer:
    """The row of a followed node."""
    return Peer.objects.get(host=node.host)


def trouble(node: FakeNode) -> PeerTrouble:
    """What goes wrong with a pull; nothing is appended by it, and the peer is followed on."""
    before = Record.objects.count()
    with pytest.raises(PeerTrouble) as caught:
        pulled(node)
    assert Record.objects.count() == before
    assert (peer_of(node).state, peer_of(node).trouble) == ("following", caught.value.sentence)
    assert not Evidence.objects.exists()
    return caught.value


def contradiction(node: FakeNode) -> PeerContradiction:
    """What a pull finds; nothing is appended by it, the peer is stopped, the proof is kept."""
    before = Record.objects.count()
    with pytest.raises(PeerContradiction) as caught:
        pulled(node)
    found = caught.value
    assert Record.objects.count() == before
    assert (peer_of(node).state, peer_of(node).reason) == ("stopped", found.sentence)
    kept = Evidence.objects.get()
    assert (kept.host, kept.kind, kept.index) == (node.host, found.kind.value, found.index)
    return found


def only(path: str, change: Callable[[Answer], Answer]) -> Twist:
    """Change the answers of one address."""

    def twist(ask: Ask, answer: Answer) -> Answer:
        return change(answer) if ask.path == path else answer

    return twist


def in_json(path: str, change: Callable[[dict[str, Any]], object]) -> Twist:
    """Change the document that one address answers with."""

    def changed(answer: Answer) -> Answer:
        document = json.loads(answer.body)
        change(document)
        return replace(as_json(document), status=answer.status)

    return only(path, changed)

"""Whatever order, cuts and repeats records come in: in the end the same is here."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest
from django.db import connection, transaction

from apps.exchange.peers.errors import PeerTrouble, What
from apps.exchange.peers.keeping import add_peer
from apps.exchange.peers.pulling import pull
from apps.exchange.peers.transport import Answer, Ask
from apps.registry.actors import OPERATOR
from apps.registry.fsck import fsck
from apps.registry.models import Record
from tests.exchange.homes import FakeNode, Signed, straight, vkey_of
from tests.exchange.three_homes import logs, three_homes
from tests.registry.dumps import index_dump
from tests.registry.making import a_shop, a_ski

# Keeping coverage would make these runs half as long again; what they run is covered elsewhere.
pytestmark = [pytest.mark.django_db, pytest.mark.no_cover]

SEEDS = 200
AT_ONCE = 20
CUT = 0.15
Dump = dict[str, Any]


@pytest.fixture
def node(db: None) -> None:
    """This node with a ski of its own, following the three homes."""
    a_ski(a_shop())
    for home in HOMES:
        add_peer(url=f"https://{home.host}", vkey=vkey_of(home.host), by=OPERATOR)


HOMES = three_homes()


def pulled_in_some_order(seed: int) -> Dump:
    """Pull the three homes' logs as chance has it, and say what is here in the end."""
    chance = Random(seed)  # noqa: S311 - a test that fails does so again
    nodes = logs(HOMES, chance)
    whole = {node.host: list(node.rows) for node in nodes}
    for node in nodes:
        node.rows = []
    while any(len(node.rows) < len(whole[node.host]) for node in nodes):
        grow(chance.choice(nodes), whole, chance)
        try_to_pull(chance.choice(nodes), chance)
    for node in chance.sample(nodes, len(nodes)):
        node.twist = straight
        pulled(node)
    dump = index_dump()
    # A key begins and ends at a place of this node's own log, which depends on the order.
    for key in dump["SigningKey"]:
        del key["valid_from"], key["ends_at"]
    return {"records": readable(), **dump}


def grow(node: FakeNode, whole: dict[str, list[Signed]], chance: Random) -> None:
    """Let a node write on for a while."""
    node.rows = whole[node.host][: len(node.rows) + chance.randint(3, 15)]


def try_to_pull(node: FakeNode, chance: Random) -> None:
    """Pull from a node, which may cut the connection at any answer."""

    def cut(_ask: Ask, answer: Answer) -> Answer:
        if chance.random() < CUT:
            raise PeerTrouble(What.CUT, "The answer was cut.")
        return answer

    node.twist, node.page = cut, chance.randint(3, 20)
    try:
        pulled(node)
    except PeerTrouble as trouble:
        assert trouble.what is What.CUT  # noqa: PT017 - a pull may end well too


def pulled(node: FakeNode) -> None:
    """Pull from a node."""
    pull(host=node.host, by=OPERATOR, connect=lambda _: node)


def readable() -> list[str]:
    """The ids of all records whose bytes are here."""
    return sorted(Record.objects.readable().values_list("id", flat=True))


def test_what_is_here_in_the_end_is_what_the_homes_wrote(node: None) -> None:
    before = len(readable())
    dump = pulled_in_some_order(0)
    wrote = {one.id for home in HOMES for one in home.records}
    assert len(dump["records"]) == before + len(wrote) - 1
    assert fsck().problems == ()
    # Two tags are joined by the word of both shops, a third by one shop's only; one is local.
    assert len({ski["cluster"] for ski in dump["Ski"]}) == 1 + 1 + 1


@pytest.mark.parametrize("first", range(1, SEEDS, AT_ONCE))
def test_any_order_comes_to_the_same(node: None, first: int) -> None:
    expected: Dump | None = None
    # What the order can change does not depend on the database, and PostgreSQL takes longer.
    step = 1 if connection.vendor == "sqlite" else 5
    for seed in [0, *range(first, first + AT_ONCE, step)]:
        with transaction.atomic():
            dump = pulled_in_some_order(seed)
            transaction.set_rollback(True)
        expected = expected or dump
        assert dump == expected, f"seed {seed}"

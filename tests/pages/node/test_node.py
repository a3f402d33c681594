"""The page of the operator."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from apps.exchange.models import Cosignature, Evidence, ImportedRow, Peer, PeerRefusal, Webhook
from apps.exchange.models.peers import STATES
from apps.pages.node import state
from apps.pages.node.state import free_bytes, node_state
from apps.registry.actions import issue_api_key
from apps.registry.actors import Actor, Scope
from tests.pages.people import a_person, an_operator, sitting, text_of
from tests.registry.making import a_shop, a_ski

NOW = timezone.now()


@pytest.fixture
def shop(db: None) -> Actor:
    return a_shop("veskerdal-hire")


@pytest.fixture
def operator(db: None) -> Client:
    return sitting(an_operator())


def a_peer(host: str, **more: Any) -> Peer:
    return Peer.objects.create(
        host=host, url=f"https://{host}", vkey=f"{host}/log+key", added_at=NOW, **more
    )


def a_refusal(peer: Peer, index: int) -> None:
    PeerRefusal.objects.create(
        peer=peer,
        index=index,
        record_id="0" * 64,
        code="x",
        sentence="",
        noted_at=NOW,
        tried_at=NOW,
    )


def test_the_page_is_the_operators(shop: Actor) -> None:
    assert Client().get("/node").headers["Location"] == "/enter?next=%2Fnode"
    for role in ("owner", "technician", "reader"):
        assert sitting(a_person(shop.handle, role)).get("/node").status_code == 403


def test_an_empty_node_has_its_page_too(operator: Client) -> None:
    said = text_of(operator.get("/node"))
    assert "Records in the log 0" in said
    assert "Nobody yet." in said


def test_what_is_stored_is_counted(operator: Client, shop: Actor) -> None:
    a_ski(shop, tag="VH-0001")
    said = text_of(operator.get("/node"))
    # The node's key, the shop's key and one description.
    assert "Records in the log 3" in said
    assert "Skis 1 Tags on them 1" in said
    name = {"sqlite": "SQLite", "postgresql": "PostgreSQL"}[connection.vendor]
    assert f"Database {name}" in said
    assert (" left on its disk" in said) is (connection.vendor == "sqlite")


def test_room_that_nobody_can_tell_is_left_out(
    operator: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gone(_path: object) -> None:
        raise FileNotFoundError

    monkeypatch.setattr("shutil.disk_usage", gone)
    assert free_bytes() is None
    assert "left on its disk" not in text_of(operator.get("/node"))


def test_nobody_can_tell_the_room_on_another_machine(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connection, "vendor", "postgresql")
    assert free_bytes() is None


def test_a_shop_has_its_line(operator: Client, shop: Actor) -> None:
    a_person(shop.handle, "owner")
    a_person(shop.handle, "reader")
    issue_api_key(shop=shop.handle, scopes=[Scope.READ], by=shop)
    for number in range(3):
        ImportedRow.objects.create(shop_id=shop.handle, digest=f"{number:064d}", record="0" * 64)
    said = text_of(operator.get("/node"))
    assert "veskerdal-hire veskerdal-hire workshop 2 1 3 the node for it" in said


def test_keys_that_end_soon_are_named(operator: Client, shop: Actor) -> None:
    lasting = issue_api_key(shop=shop.handle, scopes=[Scope.READ], by=shop)
    ending = issue_api_key(shop=shop.handle, scopes=[Scope.READ], by=shop, lasts=timedelta(days=29))
    said = text_of(operator.get("/node"))
    assert f"{ending.prefix} of veskerdal-hire, on " in said
    assert lasting.prefix not in said


def test_peers_say_how_they_are(operator: Client) -> None:
    a_peer("calm.example", size=7, checkpoint_size=9, pulled_at=NOW)
    a_peer("mute.example", trouble="It doesn't answer.")
    stopped = a_peer("false.example", state="stopped", reason="Its log shrank.")
    a_refusal(stopped, 3)
    a_refusal(stopped, 4)
    Evidence.objects.create(host=stopped.host, kind="shrunk", sentence="", found_at=NOW)
    said = text_of(operator.get("/node"))
    assert "calm.example followed 7 2 0" in said
    assert "mute.example in trouble It doesn't answer. 0 0 0 never" in said
    assert (
        "false.example stopped: its log contradicted itself Its log shrank. "
        "1 piece of evidence kept 0 0 2 never"
    ) in said


def test_every_state_of_a_peer_is_told() -> None:
    assert STATES == ("following", "stopped")


def test_witnesses_say_what_they_saw(operator: Client) -> None:
    Cosignature.objects.create(
        witness="calm.example", size=12, root="0" * 64, line="-", noted_at=NOW
    )
    assert "calm.example 12 " in text_of(operator.get("/node"))


def test_paused_webhooks_are_named_with_their_reason(operator: Client, shop: Actor) -> None:
    def hook(name: str, **more: str) -> None:
        Webhook.objects.create(
            id=name,
            shop_id=shop.handle,
            url=f"https://{name}.example",
            secret="s",
            told=0,
            created_at=NOW,
            **more,
        )

    hook("active")
    hook("tired", state="paused", reason="8 tries failed.")
    said = text_of(operator.get("/node"))
    assert "veskerdal-hire: https://tired.example 8 tries failed." in said
    assert "https://active.example" not in said


@pytest.mark.parametrize("count", [1, 4])
def test_the_page_asks_a_fixed_number_of_queries(
    count: int, operator: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for number in range(count):
        shop = a_shop(f"shop-{number}")
        a_person(shop.handle, "owner", f"owner{number}")
        a_refusal(a_peer(f"peer-{number}.example"), 1)
    with django_assert_num_queries(18):
        assert operator.get("/node").status_code == 200


@pytest.mark.django_db
def test_very_many_of_a_kind_are_cut(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(state, "MOST_SHOWN", 2)
    for number in range(3):
        a_peer(f"peer-{number}.example")
        a_shop(f"shop-{number}")
    shown = node_state(NOW)
    assert (len(shown.peers), len(shown.shops)) == (2, 2)

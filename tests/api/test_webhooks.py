"""Webhooks over HTTP: the secret once, one's own only, paused and resumed, replayed, removed."""

from __future__ import annotations

import pytest

from apps.exchange.models import Delivery, Webhook
from apps.exchange.webhook_signing import SECRET_BYTES
from apps.registry.actors import Scope
from tests.api.client import Answered, ApiClient
from tests.api.making import a_client, register

URL = {"url": "https://hooks.fellbench.example/in"}


def added(client: ApiClient) -> Answered:
    """A webhook that was just added."""
    answer = client.post("webhooks", URL)
    assert answer.status == 201, answer.content
    return answer


def test_the_secret_is_shown_once(client: ApiClient) -> None:
    answer = added(client)
    secret = answer.json["secret"]
    assert secret.startswith("whsec_")
    assert len(secret) > SECRET_BYTES
    for path in ("webhooks", answer.headers["Location"]):
        shown = client.get(path)
        assert shown.status == 200
        assert secret.encode() not in shown.content
        assert b"secret" not in shown.content


def test_the_list_holds_ones_own(client: ApiClient, other: ApiClient) -> None:
    first, second = added(client).json, added(client).json
    added(other)
    listed = client.get("webhooks").json["items"]
    assert [one["id"] for one in listed] == [first["id"], second["id"]]


def test_a_request_sent_twice_adds_one(client: ApiClient) -> None:
    first = client.post("webhooks", URL, Idempotency_Key="k-1")
    again = client.post("webhooks", URL, Idempotency_Key="k-1")
    assert again.json == first.json
    assert Webhook.objects.count() == 1


@pytest.mark.parametrize(
    ("document", "pointer"),
    [
        ({"url": "https://127.0.0.1/"}, "/url"),
        ({"url": "http://hooks.fellbench.example/"}, "/url"),
        ({"url": 7}, "/url"),
        ({}, "/url"),
        ({**URL, "events": []}, "/events"),
        ({"url": None}, "/url"),
        ([], ""),
    ],
)
def test_what_is_refused_names_the_field(document: object, pointer: str, client: ApiClient) -> None:
    answer = client.post("webhooks", document)
    assert (answer.status, answer.slug) == (400, "invalid-fields")
    assert answer.pointers == [pointer]


def test_a_body_is_needed_to_add_one(client: ApiClient) -> None:
    assert client.send("POST", "webhooks", b"").slug == "malformed-json"


def test_too_many_are_refused(client: ApiClient) -> None:
    for _ in range(8):
        added(client)
    assert client.post("webhooks", URL).slug == "wrong-state"


def test_a_removed_one_is_gone(client: ApiClient) -> None:
    answer = added(client)
    removed = client.delete(answer.headers["Location"])
    assert removed.status == 200
    assert removed.json["id"] == answer.json["id"]
    assert client.get(answer.headers["Location"]).slug == "unknown-webhook"
    assert client.delete(answer.headers["Location"]).slug == "unknown-webhook"


def test_a_paused_one_says_why_and_goes_on(client: ApiClient) -> None:
    address = added(client).headers["Location"]
    Webhook.objects.update(state="paused", reason="Paused after 8 tries: it was down.")
    register(client, "FB-0042")
    shown = client.get(address).json
    assert (shown["state"], shown["reason"]) == ("paused", "Paused after 8 tries: it was down.")
    resumed = client.post(f"{address}/resume", {"skip": True}).json
    assert resumed["state"] == "active"
    assert resumed["told"] == shown["told"] + 1
    assert "reason" not in resumed
    assert client.send("POST", f"{address}/resume", b"").status == 200


def test_messages_are_shown_with_what_came_of_them(client: ApiClient) -> None:
    address = added(client).headers["Location"]
    webhook = Webhook.objects.get()
    first = {"from_index": 0, "until_index": 2, "made_at": webhook.created_at}
    Delivery.objects.create(
        id="msg_1", webhook=webhook, **first, next_at=webhook.created_at, last_answer="It is down."
    )
    (waiting,) = client.get(address).json["deliveries"]
    assert (waiting["from"], waiting["until"], waiting["outcome"]) == (0, 2, "waiting")
    assert (waiting["last_answer"], waiting["tries"]) == ("It is down.", 0)
    assert client.post(f"{address}/replay", {"from": 0}).json["told"] == 0
    (dropped,) = client.get(address).json["deliveries"]
    assert dropped["outcome"] == "dropped"
    assert "next_at" not in dropped


@pytest.mark.parametrize("begin", [10**6, -1, "0", 1.5, None, True])
def test_a_replay_from_a_place_that_is_none(begin: object, client: ApiClient) -> None:
    address = added(client).headers["Location"]
    answer = client.post(f"{address}/replay", {"from": begin})
    assert answer.slug == ("wrong-state" if begin == 10**6 else "invalid-fields")
    assert answer.pointers == ["/from"]


@pytest.mark.parametrize(
    ("method", "path"),
    [
        ("GET", "webhooks"),
        ("POST", "webhooks"),
        ("GET", "webhooks/wh_1"),
        ("DELETE", "webhooks/wh_1"),
        ("POST", "webhooks/wh_1/resume"),
        ("POST", "webhooks/wh_1/replay"),
    ],
)
def test_each_address_needs_the_scope(
    method: str, path: str, reader: ApiClient, nobody: ApiClient
) -> None:
    body = b"{}" if method == "POST" else None
    assert reader.send(method, path, body).slug == "not-allowed"
    assert nobody.send(method, path, body).slug == "unauthenticated"


def test_another_shops_is_not_there(client: ApiClient, other: ApiClient) -> None:
    address = added(client).headers["Location"]
    assert other.get(address).slug == "unknown-webhook"
    assert other.post(f"{address}/resume", {}).slug == "unknown-webhook"
    assert other.post(f"{address}/replay", {"from": 0}).slug == "unknown-webhook"


def test_writing_is_enough(db: None) -> None:
    assert added(a_client("scarbench", Scope.WRITE)).status == 201

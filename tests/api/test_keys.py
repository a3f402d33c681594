"""Signing keys that a shop keeps itself: registering, listing and ending them."""

from __future__ import annotations

from typing import Any

import pytest

from apps.records.key_proof import prove
from apps.registry.models import KeptKey, Record, SigningKey
from tests.api.client import ApiClient
from tests.api.making import draft
from tests.api.signing import keeper, put, register_key, signed_by
from tests.registry.making import key_of


@pytest.fixture
def keys(client: ApiClient) -> ApiClient:
    """A client of fellbench that keeps its signing keys."""
    return keeper()


def test_a_key_is_registered_by_a_record_of_the_node(keys: ApiClient, client: ApiClient) -> None:
    answer = register_key(keys)
    assert answer.status == 201, answer.content
    key = key_of("own")
    record = client.get(f"records/{answer.json['record']}").json
    assert (answer.json["key"], answer.json["held_by"], answer.json["state"]) == (
        key.key_id,
        "shop",
        "live",
    )
    assert record["log_index"] == answer.json["valid_from"]
    assert record["rank"] == "node-signed"
    assert record["record"]["body"]["public"] == key.public.text
    assert "ski" not in record["record"]


def test_the_key_that_the_node_kept_ends_in_the_same_call(
    keys: ApiClient, client: ApiClient, ski: str
) -> None:
    register_key(keys)
    kept, own = keys.get("keys").json["items"]
    assert (kept["held_by"], kept["state"]) == ("node", "ended")
    assert kept["ends_at"] == own["valid_from"] + 1
    assert Record.objects.get(id=kept["ended_by"]).kind == "key-end"
    assert not KeptKey.objects.kept_for(client.handle).exists()
    refused = client.post("usage", draft("usage"))
    assert (refused.status, refused.slug) == (403, "not-allowed")
    assert "Sign your records" in refused.json["detail"]


def test_two_live_at_once_so_that_one_can_replace_the_other(keys: ApiClient) -> None:
    first, second, third = (register_key(keys, f"own-{number}") for number in range(3))
    assert (first.status, second.status) == (201, 201)
    assert (third.status, third.slug) == (409, "key-limit")
    keys.post(f"keys/{first.json['key']}/end", {"reason": "rotated"})
    assert register_key(keys, "own-2").status == 201


def test_the_same_key_twice(keys: ApiClient) -> None:
    register_key(keys)
    again = register_key(keys)
    assert (again.status, again.slug, again.pointers) == (422, "wrong-state", ["/public"])


def test_a_key_that_ended_does_not_come_back(keys: ApiClient) -> None:
    key = register_key(keys).json["key"]
    keys.post(f"keys/{key}/end", {"reason": "lost"})
    assert register_key(keys).slug == "wrong-state"


def test_another_shop_s_key_can_not_be_registered(keys: ApiClient, other: ApiClient) -> None:
    """Nor its proof, seen in the log, be used for a shop of one's own."""
    register_key(keys, "theirs")
    taken = register_key(keeper("tarnedge"), "theirs")
    assert (taken.status, taken.pointers) == (422, ["/public"])


def test_a_proof_that_was_made_for_another_shop(keys: ApiClient) -> None:
    key = key_of("own")
    document = {"public": key.public.text, "proof": prove(key, "tarnedge@node.example")}
    answer = keys.post("keys", document)
    assert (answer.status, answer.slug, answer.pointers) == (422, "bad-signature", ["/proof"])
    assert not SigningKey.objects.filter(key_id=key.key_id).exists()


@pytest.mark.parametrize(
    ("document", "pointer"),
    [
        ({}, "/public"),
        ({"public": "short", "proof": "x" * 86}, "/public"),
        ({"public": key_of("own").public.text, "proof": "short"}, "/proof"),
        ({"public": key_of("own").public.text, "proof": "x" * 86, "held_by": "node"}, "/held_by"),
    ],
)
def test_a_document_that_is_no_key(keys: ApiClient, document: dict[str, Any], pointer: str) -> None:
    answer = keys.post("keys", document)
    assert (answer.status, answer.slug) == (400, "invalid-fields")
    assert pointer in answer.pointers


def test_registering_twice_with_an_idempotency_key(keys: ApiClient) -> None:
    key = key_of("own")
    document = {"public": key.public.text, "proof": prove(key, keys.handle)}
    first, second = (keys.post("keys", document, Idempotency_Key="k") for _ in range(2))
    assert (first.status, first.content) == (second.status, second.content)
    assert second.headers["Idempotency-Replayed"] == "true"


@pytest.mark.parametrize("path", ["keys", f"keys/{key_of('own').key_id}/end"])
def test_a_credential_for_the_bench_keeps_no_keys(client: ApiClient, path: str) -> None:
    answer = client.post(path, {"reason": "lost"})
    assert (answer.status, answer.slug) == (403, "not-allowed")
    assert "`keys`" in answer.json["detail"]


def test_a_credential_for_keys_writes_no_records(keys: ApiClient, ski: str) -> None:
    assert keys.post("usage", draft("usage")).status == 403
    assert keys.get("jobs").status == 403


def test_only_own_keys_are_listed_and_ended(keys: ApiClient, other: ApiClient) -> None:
    theirs = keeper("tarnedge")
    key = register_key(theirs, "theirs").json["key"]
    assert key not in [one["key"] for one in keys.get("keys").json["items"]]
    answer = keys.post(f"keys/{key}/end", {"reason": "stolen"})
    assert (answer.status, answer.slug) == (404, "unknown-key")
    assert SigningKey.objects.get(key_id=key).ends_at is None


def test_a_key_ends_once(keys: ApiClient) -> None:
    key = register_key(keys).json["key"]
    ended = keys.post(f"keys/{key}/end", {"reason": "other", "reason_text": "the disk is worn"})
    assert (ended.status, ended.json["state"]) == (200, "ended")
    again = keys.post(f"keys/{key}/end", {"reason": "lost"})
    assert (again.status, again.slug) == (422, "wrong-state")
    assert "ended at place" in again.json["detail"]


def test_the_reason_is_one_of_a_closed_list(keys: ApiClient) -> None:
    key = register_key(keys).json["key"]
    assert keys.post(f"keys/{key}/end", {"reason": "bored"}).pointers == ["/reason"]
    assert keys.post(f"keys/{key}/end", {"reason": "other"}).pointers == ["/reason_text"]


def test_the_key_that_the_node_keeps_can_be_ended_too(
    keys: ApiClient, client: ApiClient, ski: str
) -> None:
    (kept,) = keys.get("keys").json["items"]
    assert keys.post(f"keys/{kept['key']}/end", {"reason": "closed"}).status == 200
    assert client.post("usage", draft("usage")).status == 403


def test_a_stolen_key(keys: ApiClient, client: ApiClient, ski: str) -> None:
    """What the thief signs afterwards is refused, however old; what came before stands.

    And what the thief wrote before is taken back with another key of the shop.
    """
    stolen, new = key_of("stolen"), key_of("new")
    register_key(keys, "stolen")
    own = put(client, signed_by("fellbench", "usage", stolen, performed_at="2025-01-10"))
    thief = put(client, signed_by("fellbench", "usage", stolen, performed_at="2025-01-11"))
    register_key(keys, "new")
    keys.post(f"keys/{stolen.key_id}/end", {"reason": "stolen"})
    late = put(client, signed_by("fellbench", "usage", stolen, performed_at="2025-01-09"))
    assert (late.status, late.slug, late.pointers) == (422, "bad-signature", ["/record/key"])
    assert "not valid at place" in late.json["detail"]
    back = signed_by("fellbench", "retraction", new, refers_to=[thief.json["id"]])
    assert put(client, back).status == 201
    states = {one["id"]: one["state"] for one in client.get(f"{ski}/history").json["items"]}
    assert states[own.json["id"]] == "stands"
    assert states[thief.json["id"]] == "retracted"


def test_whoever_keeps_the_last_key_may_leave_the_node(client: ApiClient) -> None:
    """A shop without a live key writes nothing until it registers one."""
    keys = keeper()
    (kept,) = keys.get("keys").json["items"]
    keys.post(f"keys/{kept['key']}/end", {"reason": "lost"})
    assert client.post("skis", {"ski": {"tag": "FB-0042"}}).status == 403
    register_key(keys)
    record = signed_by("fellbench", "description", key_of("own"))
    assert put(client, record).status == 201

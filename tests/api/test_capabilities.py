"""Every claim of the capabilities is kept: what passes at the limit, and what is refused beyond."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import timedelta
from itertools import pairwise
from typing import Any

import pytest
from django.conf import settings
from django.core.cache import cache
from django.test import override_settings
from django.utils import timezone

from apps.api.answers.capabilities import Limits, Policies, Rates
from apps.exchange.delivering import deliver_due
from apps.exchange.webhook_sending import Sent
from apps.exchange.webhooks import add_webhook
from apps.records.canonical import canonical_bytes, record_id
from apps.records.checkpoint import read_checkpoint
from apps.records.clusters import Statement, clusters
from apps.records.envelope import DescriptionDraft
from apps.records.errors import InvalidRecord
from apps.records.key_proof import prove
from apps.records.kinds import KINDS
from apps.records.notes import VerifierKey
from apps.records.reading import compose, read_draft, read_record
from apps.records.signing import PrivateKey
from apps.registry import actions
from apps.registry.actors import OPERATOR, Scope, shop_actor
from apps.registry.erasing import erase_record
from apps.registry.errors import KeyLimit
from apps.registry.key_actions import register_key
from apps.registry.models import LookUp, Record
from tests.api.client import ApiClient
from tests.api.making import DAY, TAG, draft
from tests.api.signing import keeper
from tests.exchange.growing import grow

WELL_KNOWN = "/.well-known/ski-service-registry"


def said(client: ApiClient) -> Any:
    """What the node says it can do."""
    answer = client.get(WELL_KNOWN)
    assert answer.status == 200, answer.content
    return answer.json


def test_it_needs_no_key_and_is_linked(nobody: ApiClient) -> None:
    assert nobody.get("/api/v1/").json["links"]["capabilities"] == WELL_KNOWN
    document = said(nobody)
    assert document["node_host"] == settings.NODE_HOST
    assert nobody.get(document["api"] + "/").json["version"] == document["api_version"]
    assert nobody.get(document["contract"]).json["openapi"].startswith("3.1.")
    assert nobody.get(f"{WELL_KNOWN}?all=true").slug == "invalid-parameters"


def test_before_the_node_has_a_key_none_is_named(nobody: ApiClient) -> None:
    assert "node_key" not in said(nobody)["log"]


def test_the_key_signs_the_checkpoint_of_the_log_that_is_named(
    client: ApiClient, nobody: ApiClient
) -> None:
    log = said(nobody)["log"]
    checkpoint = nobody.get(log["checkpoint"])
    reading = read_checkpoint(checkpoint.content, VerifierKey.from_text(log["node_key"]))
    assert reading.holds
    assert reading.checkpoint.origin == log["origin"]
    assert nobody.get(log["records"]).slug == "unauthenticated"


def test_kinds_and_formats_are_those_that_are_read(client: ApiClient, ski: str) -> None:
    records = said(client)["records"]
    assert records["kinds"] == list(KINDS)
    stored = client.get(client.get(f"{ski}/history").json["items"][0]["id"].join(["records/", ""]))
    record = stored.json["record"]
    assert record["format"] in records["formats"]
    assert record_id(canonical_bytes(record)) == stored.json["id"]


def text_of(length: int) -> bytes:
    """A request with a record, so many bytes long."""
    document = json.dumps(draft("job")).encode()
    return document[:-1] + b" " * (length - len(document)) + b"}"


def body_bytes(path: str, client: ApiClient, limit: int) -> bool:
    """Whether a body of the limit is read and one byte more is not."""
    fits = client.send("POST", path, text_of(limit))
    more = client.send("POST", path, text_of(limit + 1))
    return b"#too-large" not in fits.content and more.slug == "too-large"


def record_of(length: int) -> bytes:
    """Canonical bytes of a record, so many bytes long, without caring whether its fields fit."""
    made = read_draft("description", draft("description"), node_host=settings.NODE_HOST)
    assert isinstance(made, DescriptionDraft)
    document = compose(made, author="fellbench@" + settings.NODE_HOST, key="a" * 43)
    document["body"]["model_text"] = ""
    document["body"]["model_text"] = "x" * (length - len(canonical_bytes(document)))
    return canonical_bytes(document)


def codes(data: bytes) -> set[str]:
    """What is wrong with a record."""
    with pytest.raises(InvalidRecord) as caught:
        read_record(data)
    return {error.code for error in caught.value.errors}


def record_bytes(client: ApiClient, limit: int) -> bool:
    return "too-large" not in codes(record_of(limit)) and codes(record_of(limit + 1)) == {
        "too-large"
    }


def record_depth(client: ApiClient, limit: int) -> bool:
    def nested(depth: int) -> bytes:
        return b"[" * depth + b"]" * depth

    fits = client.send("POST", "jobs", nested(limit))
    more = client.send("POST", "jobs", nested(limit + 1))
    return fits.slug == "invalid-fields" and more.slug == "malformed-json"


def page_items(client: ApiClient, limit: int) -> bool:
    more = client.get(f"jobs?limit={limit + 1}")
    return client.get(f"jobs?limit={limit}").status == 200 and more.slug == "invalid-parameters"


def joined_tags(client: ApiClient, limit: int) -> bool:
    def largest(count: int) -> int:
        tags = [f"{client.handle}/T-{number}" for number in range(count)]
        pairs = pairwise(tags)
        says = [
            Statement(f"{number:064x}", client.handle, "same", one, other)
            for number, (one, other) in enumerate(pairs)
        ]
        return max(len(group) for group in clusters(tags, says).groups)

    return largest(limit) == limit and largest(limit + 1) == 1


def api_keys(client: ApiClient, limit: int) -> bool:
    def issue() -> None:
        actions.issue_api_key(shop=client.handle, scopes=[Scope.READ], by=OPERATOR)

    # The client came with one.
    for _ in range(limit - 1):
        issue()
    with pytest.raises(KeyLimit):
        issue()
    return True


def signing_keys(client: ApiClient, limit: int) -> bool:
    keys = keeper()

    def own() -> int:
        key = PrivateKey.generate()
        document = {"public": key.public.text, "proof": prove(key, client.handle)}
        return keys.post("keys", document).status

    return [own() for _ in range(limit)] == [201] * limit and own() >= 400


def webhooks(client: ApiClient, limit: int) -> bool:
    def add() -> int:
        return client.post("webhooks", {"url": "https://hooks.fellbench.example/"}).status

    return [add() for _ in range(limit)] == [201] * limit and add() >= 400


def webhook_tries(client: ApiClient, limit: int) -> bool:
    shop = shop_actor(client.handle)
    add_webhook(url="https://hooks.fellbench.example/", by=shop)
    grow(shop)
    outcomes = []
    for days in range(limit + 3):
        moment = timezone.now() + timedelta(days=2 * days)
        told = deliver_due(clock=lambda at=moment: at, sender=lambda *_: Sent("failed", "Down."))  # type: ignore[misc]
        outcomes += [one.outcome for one in told]
    return outcomes == ["waiting"] * (limit - 1) + ["paused"]


def share_link_days(client: ApiClient, limit: int) -> bool:
    def made(days: int) -> int:
        return client.post("share-links", {"tag": TAG, "valid_days": days}).status

    return (made(limit), made(limit + 1)) == (201, 400)


def import_lines(client: ApiClient, limit: int) -> bool:
    def refused(length: int) -> bytes:
        line = json.dumps({"kind": "nothing"}).encode()
        body = line[:-1] + b" " * (length - len(line)) + b"}\n"
        return client.send("POST", "imports", body, "application/x-ndjson").content

    return b"too-large" not in refused(limit) and b"too-large" in refused(limit + 1)


LIMITS: dict[str, Callable[[ApiClient, int], bool]] = {
    "record_bytes": record_bytes,
    "record_depth": record_depth,
    "request_bytes": lambda client, limit: body_bytes("jobs", client, limit),
    "bulk_request_bytes": lambda client, limit: body_bytes("jobs/bulk", client, limit),
    "import_line_bytes": import_lines,
    "page_items": page_items,
    "tags_of_one_ski": joined_tags,
    "live_api_keys": api_keys,
    "live_own_signing_keys": signing_keys,
    "webhooks": webhooks,
    "webhook_tries": webhook_tries,
    "share_link_days": share_link_days,
}


@pytest.mark.parametrize("name", sorted(Limits.model_fields))
def test_a_limit_is_kept(name: str, client: ApiClient, ski: str) -> None:
    assert LIMITS[name](client, said(client)["limits"][name])


@pytest.mark.parametrize("name", sorted(Rates.model_fields))
def test_a_rate_is_kept(name: str, client: ApiClient, ski: str, nobody: ApiClient) -> None:
    usual: Any = settings.REST_FRAMEWORK["DEFAULT_THROTTLE_RATES"]
    rates = {**usual, name: "2/hour"}
    calls: dict[str, Callable[[], int]] = {
        "read": lambda: client.get("jobs").status,
        "write": lambda: client.post("jobs", draft("job")).status,
        "compute": lambda: client.get(f"{ski}/condition").status,
        "unknown": lambda: nobody.get("").status,
    }
    with override_settings(
        REST_FRAMEWORK={**settings.REST_FRAMEWORK, "DEFAULT_THROTTLE_RATES": rates}
    ):
        # What the fixtures asked for has been counted too.
        cache.clear()
        statuses = [calls[name]() for _ in range(3)]
        assert 429 not in statuses[:2]
        assert statuses[2] == 429
    assert said(a_reader_without_count(nobody))["rates"][name] != "2/hour"


def a_reader_without_count(nobody: ApiClient) -> ApiClient:
    """Forget what was counted, so that asking once more is possible."""
    cache.clear()
    return nobody


def later(client: ApiClient) -> tuple[str, bytes, str]:
    """A record of a later format, signed with a key that the shop registers."""
    key = PrivateKey.generate()
    register_key(
        shop=client.handle,
        public=key.public.text,
        proof=prove(key, client.handle),
        by=OPERATOR,
    )
    document = {
        "author": client.handle,
        "body": {"frost": 3},
        "format": 2,
        "key": key.key_id,
        "kind": "frost",
        "performed_at": DAY,
        "refers_to": [],
        "salt": "a" * 32,
        "ski": {"shop": client.handle, "tag": "FB-0042"},
    }
    data = canonical_bytes(document)
    return record_id(data), data, key.sign_text(data)


def kept_and_relayed(client: ApiClient, ski: str, other: ApiClient) -> bool:
    name, data, signature = later(client)
    document = {"record": json.loads(data), "signature": signature}
    put = client.send("PUT", f"records/{name}", json.dumps(document).encode())
    assert put.status == 201, put.content
    return data in client.get(f"records/{name}").content


def noted(client: ApiClient, ski: str, other: ApiClient) -> bool:
    assert other.get(ski).status == 200
    return LookUp.objects.filter(shop_id=other.handle).count() == 1


def by_exact_tag(client: ApiClient, ski: str, other: ApiClient) -> bool:
    (item,) = client.get(f"{ski}/history").json["items"]
    hidden = other.get(f"records/{item['id']}").slug
    assert other.get(ski).status == 200
    return hidden == "unknown-record" and other.get(f"records/{item['id']}").status == 200


def own_name_only(client: ApiClient, ski: str, other: ApiClient) -> bool:
    return client.post("jobs", draft("job", author=other.handle)).slug == "not-allowed"


def unknown_refused(client: ApiClient, ski: str, other: ApiClient) -> bool:
    return (
        client.post("jobs", draft("job", frost=3)).slug == "invalid-fields"
        and client.get("jobs?frost=3").slug == "invalid-parameters"
    )


def place_stays(client: ApiClient, ski: str, other: ApiClient) -> bool:
    written = client.post("jobs", draft("job")).json
    erase_record(record_id=written["id"], reason="other", reason_text="A test.", by=OPERATOR)
    gone = client.get(f"records/{written['id']}")
    proof = client.get(f"log/proof?record={written['id']}").json
    row = Record.objects.get(id=written["id"])
    return gone.status == 410 and proof["index"] == written["log_index"] and not bytes(row.document)


def mutual_by_default(client: ApiClient, ski: str, other: ApiClient) -> bool:
    return bool(client.get(ski).json["joined"]["links"] == "mutual")


def calendar(client: ApiClient, ski: str, other: ApiClient) -> bool:
    return bool(said(client)["policies"]["time_zone"] == settings.TIME_ZONE)


POLICIES: dict[str, Callable[[ApiClient, str, ApiClient], bool]] = {
    "unknown_fields": unknown_refused,
    "later_formats": kept_and_relayed,
    "author": own_name_only,
    "reading": by_exact_tag,
    "look_ups": noted,
    "links": mutual_by_default,
    "erasure": place_stays,
    "time_zone": calendar,
}


@pytest.mark.parametrize("name", sorted(Policies.model_fields))
def test_a_policy_is_kept(name: str, client: ApiClient, ski: str, other: ApiClient) -> None:
    assert POLICIES[name](client, ski, other)

"""Records that a shop made and signed itself, put under their ids."""

from __future__ import annotations

import json
from typing import Any

import pytest

from apps.records.canonical import canonical_bytes, record_id
from apps.records.strict_json import MAX_DEPTH
from apps.registry.models import Record
from tests.api.client import ApiClient
from tests.api.making import draft, handle_of, write
from tests.api.signing import bytes_of, keeper, put, register_key, signed, signed_by
from tests.registry.making import key_of

KEY = key_of("own")


@pytest.fixture
def keys(client: ApiClient) -> ApiClient:
    """A client of fellbench that keeps its signing keys."""
    return keeper()


@pytest.fixture
def signing(client: ApiClient, keys: ApiClient, ski: str) -> ApiClient:
    """A client of fellbench, whose ski is registered and whose own key too."""
    assert register_key(keys).status == 201
    return client


def usage(**members: Any) -> dict[str, Any]:
    """A usage record of fellbench, signed with its own key."""
    return signed_by("fellbench", "usage", KEY, **members)


def test_it_is_kept_byte_for_byte_and_ranked(signing: ApiClient) -> None:
    request = usage()
    answer = put(signing, request)
    assert answer.status == 201, answer.content
    assert bytes_of(answer) == canonical_bytes(request["record"])
    assert answer.json["id"] == record_id(canonical_bytes(request["record"]))
    assert (answer.json["rank"], answer.json["signature"]) == ("shop-signed", request["signature"])
    assert answer.headers["Location"] == f"/api/v1/records/{answer.json['id']}"
    assert signing.get(answer.headers["Location"]).content == answer.content


def test_a_second_time_changes_nothing(signing: ApiClient) -> None:
    request = usage()
    first, second = put(signing, request), put(signing, request)
    assert (first.status, second.status) == (201, 200)
    assert first.content == second.content


def test_the_layout_of_the_request_does_not_matter(signing: ApiClient) -> None:
    request = usage()
    name = record_id(canonical_bytes(request["record"]))
    turned = dict(reversed(request["record"].items()))
    body = json.dumps({**request, "record": turned}, indent=3).encode()
    assert signing.send("PUT", f"records/{name}", body).status == 201


def test_under_another_name(signing: ApiClient) -> None:
    answer = put(signing, usage(), "0" * 64)
    assert (answer.status, answer.slug) == (422, "wrong-id")


def test_what_the_node_writes_for_a_shop_is_only_attested(client: ApiClient, ski: str) -> None:
    assert write(client, "usage", draft("usage")).json["rank"] == "node-attested"


def test_a_signature_over_other_bytes(signing: ApiClient) -> None:
    answer = put(signing, {**usage(), "signature": usage()["signature"]})
    assert (answer.status, answer.slug) == (422, "bad-signature")
    assert answer.pointers == ["/signature"]


def test_a_signature_by_a_key_that_nobody_registered(signing: ApiClient) -> None:
    answer = put(signing, signed_by("fellbench", "usage", key_of("unknown")))
    assert (answer.status, answer.slug, answer.pointers) == (
        422,
        "bad-signature",
        ["/record/key"],
    )


def test_all_faults_of_the_record_at_once(signing: ApiClient) -> None:
    document = {**usage()["record"], "salt": "short", "body": {"days": -1}}
    answer = put(signing, signed(document, KEY))
    assert (answer.status, answer.slug) == (400, "invalid-fields")
    assert set(answer.pointers) == {"/record/salt", "/record/body/days"}


def test_a_fraction_is_no_canonical_record(signing: ApiClient) -> None:
    document = json.dumps(usage()["record"]).replace('"days": ', '"days": 0.')
    body = f'{{"record": {document}, "signature": "{"x" * 86}"}}'.encode()
    answer = signing.send("PUT", f"records/{'0' * 64}", body)
    assert (answer.status, answer.slug) == (400, "invalid-fields")


def test_a_shop_signs_under_its_own_name_only(signing: ApiClient, other: ApiClient) -> None:
    answer = put(other, usage())
    assert (answer.status, answer.slug) == (403, "not-allowed")
    assert answer.pointers == ["/record/author"]
    assert not Record.objects.of_kind("usage").exists()


def test_nor_as_the_node(signing: ApiClient) -> None:
    body = {"shop": handle_of("fellbench"), "key": KEY.key_id, "reason": "lost"}
    document = {
        **{name: usage()["record"][name] for name in ("format", "key", "performed_at", "salt")},
        "author": handle_of("node"),
        "kind": "key-end",
        "refers_to": [],
        "body": body,
    }
    answer = put(signing, signed(document, KEY))
    assert answer.slug == "not-allowed"


def test_it_passes_the_same_rules_as_every_other_record(signing: ApiClient) -> None:
    unknown = put(signing, usage(tag="NOBODYS"))
    assert (unknown.slug, unknown.pointers) == ("unknown-reference", ["/record/ski"])
    ahead = put(signing, usage(performed_at="2099-01-01"))
    assert (ahead.slug, ahead.pointers) == ("wrong-state", ["/record/performed_at"])


def test_a_credential_that_does_not_write(signing: ApiClient, keys: ApiClient) -> None:
    answer = put(keys, usage())
    assert (answer.status, answer.slug) == (403, "not-allowed")
    assert "`write`" in answer.json["detail"]


def test_a_later_word_on_a_record_that_is_not_here_waits_for_it(
    signing: ApiClient, ski: str
) -> None:
    late = usage()
    target = record_id(canonical_bytes(late["record"]))
    back = put(signing, signed_by("fellbench", "retraction", KEY, refers_to=[target]))
    assert back.status == 201, back.content
    assert put(signing, late).status == 201
    states = {one["id"]: one["state"] for one in signing.get(f"{ski}/history").json["items"]}
    assert states[target] == "retracted"
    assert back.json["id"] not in states


def test_the_address_of_a_later_word_names_a_record_that_is_here(signing: ApiClient) -> None:
    answer = signing.post(f"records/{'0' * 64}/retraction", {"body": {"reason": "typing_error"}})
    assert (answer.status, answer.slug) == (404, "unknown-record")


class TestALaterFormat:
    """This version keeps it as it came, and counts it nowhere."""

    def later(self) -> dict[str, Any]:
        document = {**usage()["record"], "format": 2, "body": {"metres": "1200"}, "mood": "fine"}
        return signed(document, KEY)

    def test_what_only_a_later_format_may_hold_is_kept(self, signing: ApiClient) -> None:
        """Null values, and members as deep as a record may be, which stands one deeper here."""
        deep: dict[str, Any] = {"none": None}
        for _ in range(MAX_DEPTH - 2):
            deep = {"in": deep}
        document = {**self.later()["record"], "body": deep}
        answer = put(signing, signed(document, KEY))
        assert answer.status == 201, answer.content
        too_deep = put(signing, signed({**document, "body": {"in": deep}}, KEY))
        assert too_deep.slug == "malformed-json"

    def test_it_is_kept_and_shown_as_it_came(self, signing: ApiClient, ski: str) -> None:
        request = self.later()
        answer = put(signing, request)
        assert answer.status == 201, answer.content
        assert bytes_of(answer) == canonical_bytes(request["record"])
        (shown,) = [
            one
            for one in signing.get(f"{ski}/history").json["items"]
            if one["id"] == answer.json["id"]
        ]
        assert shown["state"] == "later_format"
        assert shown["record"]["mood"] == "fine"

    def test_it_counts_nowhere(self, signing: ApiClient, ski: str) -> None:
        before = signing.get(f"{ski}/condition").content
        put(signing, self.later())
        assert signing.get("usage").json["items"] == []
        assert signing.get(f"{ski}/condition").content == before

    def test_what_is_said_of_it_waits(self, signing: ApiClient, ski: str) -> None:
        kept = put(signing, self.later()).json["id"]
        back = put(signing, signed_by("fellbench", "retraction", KEY, refers_to=[kept]))
        assert back.status == 201
        states = {one["id"]: one["state"] for one in signing.get(f"{ski}/history").json["items"]}
        assert (states[kept], states[back.json["id"]]) == ("later_format", "pending")

    def test_its_signature_is_checked_all_the_same(self, signing: ApiClient) -> None:
        answer = put(signing, {**self.later(), "signature": usage()["signature"]})
        assert (answer.status, answer.slug) == (422, "bad-signature")

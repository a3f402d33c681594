"""Share links over HTTP: the token once, one's own only, page by page, ended at once."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from apps.registry.errors import NotKnown
from apps.registry.models import IdempotencyKey, ShareLink
from apps.registry.sharing import open_share_link
from tests.api.client import Answered, ApiClient
from tests.api.making import TAG, register

pytestmark = pytest.mark.usefixtures("ski")


def made(client: ApiClient, **members: Any) -> Answered:
    """A link that was just made."""
    answer = client.post("share-links", {"tag": TAG, **members})
    assert answer.status == 201, answer.content
    return answer


def ended(client: ApiClient, prefix: str) -> Answered:
    """What comes of ending a link."""
    return client.send("DELETE", f"share-links/{prefix}", None)


def test_the_token_is_shown_once(client: ApiClient) -> None:
    answer = made(client, valid_days=14)
    token = answer.json["token"]
    opened = open_share_link(token, now=timezone.now())
    assert (opened.prefix, opened.tag) == (answer.json["prefix"], TAG)
    assert opened.expires_at - opened.created_at == timedelta(days=14)
    assert answer.headers["Location"] == "/api/v1/share-links"
    secret = token.removeprefix(f"skishare_{opened.prefix}_").encode()
    for shown in (client.get("share-links"), ended(client, opened.prefix)):
        assert shown.status == 200
        assert secret not in shown.content
        assert b"token" not in shown.content


def test_the_page_is_the_one_that_the_token_opens(client: ApiClient) -> None:
    document = made(client).json
    assert document["page"] == reverse("pages:shared", args=[document["token"]])


def test_what_a_link_says_of_itself(client: ApiClient) -> None:
    fresh = made(client, tag=TAG.lower()).json
    (listed,) = client.get("share-links").json["items"]
    assert listed == {name: fresh[name] for name in fresh if name not in ("token", "page")}
    assert (listed["shop"], listed["tag"]) == (client.handle, TAG)
    assert (listed["state"], listed["opened"]) == ("live", 0)
    assert "revoked_at" not in listed
    assert "last_opened_at" not in listed
    open_share_link(fresh["token"], now=timezone.now())
    (listed,) = client.get("share-links").json["items"]
    assert listed["opened"] == 1
    assert listed["last_opened_at"] >= listed["created_at"]


def test_62_days_unless_told_otherwise(client: ApiClient) -> None:
    made(client)
    link = ShareLink.objects.get()
    assert link.expires_at - link.created_at == timedelta(days=62)


def test_one_that_expired(client: ApiClient) -> None:
    made(client)
    then = timezone.now() - timedelta(days=3)
    ShareLink.objects.update(created_at=then, expires_at=then + timedelta(days=1))
    (listed,) = client.get("share-links").json["items"]
    assert listed["state"] == "expired"


def test_ended_at_once_and_twice_is_well(client: ApiClient) -> None:
    link = made(client).json
    first, again = ended(client, link["prefix"]), ended(client, link["prefix"])
    assert (first.status, first.json["state"]) == (200, "revoked")
    assert again.json == first.json
    with pytest.raises(NotKnown):
        open_share_link(link["token"], now=timezone.now())
    assert client.get("share-links").json["items"] == [first.json]


def test_the_list_holds_ones_own_and_nobody_ends_another_s(
    client: ApiClient, other: ApiClient
) -> None:
    register(other, "TE-1")
    mine = made(client).json["prefix"]
    theirs = made(other, tag="TE-1").json["prefix"]
    assert [one["prefix"] for one in client.get("share-links").json["items"]] == [mine]
    for prefix in (theirs, "aaaaaaaa", "nonsense-!"):
        answer = ended(client, prefix)
        assert (answer.status, answer.slug) == (404, "unknown-share-link")
    assert ShareLink.objects.live(timezone.now()).count() == 2
    after = client.get(f"share-links?after={theirs}")
    assert (after.status, after.slug) == (400, "invalid-parameters")
    assert [one["parameter"] for one in after.json["errors"]] == ["after"]


def test_page_by_page_the_latest_first(
    client: ApiClient, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    register(client, "FB-0050")
    prefixes = [made(client, tag=tag).json["prefix"] for tag in (TAG, "FB-0050") * 3]
    path, seen = "share-links?limit=4", list[list[str]]()
    while path:
        page = client.get(path).json
        seen.append([one["prefix"] for one in page["items"]])
        path = page.get("next", "")
    assert [prefix for page in seen for prefix in page] == prefixes[::-1]
    assert [len(page) for page in seen] == [4, 2]
    of_tag = client.get("share-links?tag=fb-0050&limit=2").json
    assert [one["prefix"] for one in of_tag["items"]] == [prefixes[5], prefixes[3]]
    assert "tag=fb-0050" in of_tag["next"]
    rest = client.get(of_tag["next"]).json
    assert [one["prefix"] for one in rest["items"]] == [prefixes[1]]
    assert "next" not in rest
    with django_assert_num_queries(2):
        client.get("share-links")


@pytest.mark.parametrize(
    ("document", "pointer"),
    [
        ({}, "/tag"),
        ({"tag": "FB 1"}, "/tag"),
        ({"tag": None}, "/tag"),
        ({"tag": TAG, "valid_days": 0}, "/valid_days"),
        ({"tag": TAG, "valid_days": 63}, "/valid_days"),
        ({"tag": TAG, "valid_days": "14"}, "/valid_days"),
        ({"tag": TAG, "shop": "tarnedge"}, "/shop"),
    ],
)
def test_what_can_not_be_read(client: ApiClient, document: dict[str, Any], pointer: str) -> None:
    answer = client.post("share-links", document)
    assert (answer.status, answer.slug, answer.pointers) == (400, "invalid-fields", [pointer])
    assert not ShareLink.objects.exists()


@pytest.mark.parametrize("query", ["after=nonsense", "after=aaaaaaaa", "tag=-", "state=live"])
def test_what_can_not_be_asked(client: ApiClient, query: str) -> None:
    answer = client.get(f"share-links?{query}")
    assert (answer.status, answer.slug) == (400, "invalid-parameters")


def test_a_ski_that_is_not_here(client: ApiClient, other: ApiClient) -> None:
    register(other, "TE-1")
    for tag in ("FB-0043", "TE-1"):
        answer = client.post("share-links", {"tag": tag})
        assert (answer.status, answer.slug) == (422, "unknown-reference")
        assert answer.pointers == ["/tag"]


def test_a_key_that_only_reads(client: ApiClient, reader: ApiClient) -> None:
    prefix = made(client).json["prefix"]
    assert reader.get("share-links").json["items"][0]["prefix"] == prefix
    for answer in (reader.post("share-links", {"tag": TAG}), ended(reader, prefix)):
        assert (answer.status, answer.slug) == (403, "not-allowed")
    assert ShareLink.objects.live(timezone.now()).count() == 1


def test_no_answer_with_a_token_is_kept_for_a_repeat(client: ApiClient) -> None:
    send = {"Idempotency_Key": "k-1"}
    first = client.post("share-links", {"tag": TAG}, **send)
    again = client.post("share-links", {"tag": TAG}, **send)
    assert (first.status, again.status) == (201, 201)
    assert first.json["token"] != again.json["token"]
    assert not IdempotencyKey.objects.exists()


def test_a_share_link_is_no_api_key(client: ApiClient) -> None:
    token = made(client).json["token"]
    answer = client.get("share-links", Authorization=f"Bearer {token}")
    assert (answer.status, answer.slug) == (401, "unauthenticated")

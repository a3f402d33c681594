"""Who gets in, who may do what, and what a foreign look-up leaves behind."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from apps.registry import actions
from apps.registry.actors import OPERATOR, Scope
from apps.registry.models import ApiKey, LookUp
from tests.api.client import ApiClient
from tests.api.making import a_client, draft, handle_of, write

CHALLENGE = 'Bearer realm="ski-service-registry"'


def test_without_a_key(nobody: ApiClient, ski: str) -> None:
    for answer in (nobody.get(ski), nobody.get("jobs"), nobody.post("jobs", draft("job"))):
        assert (answer.status, answer.slug) == (401, "unauthenticated")
        assert answer.headers["WWW-Authenticate"] == CHALLENGE


@pytest.mark.parametrize("path", ["", "openapi.json", "/", "/docs/", "/docs/problems"])
def test_what_needs_no_key(path: str, nobody: ApiClient) -> None:
    assert nobody.get(path).status == 200


@pytest.mark.parametrize(
    "header",
    [
        "Bearer",
        "Bearer ",
        "Bearer nonsense",
        "Bearer skireg_aaaaaaaa_" + "A" * 43,
        "Basic dXNlcjpwYXNz",
        "Bearer \x00",
        "Token {token}",
        "Bearer {token} more",
        "Bearer {token}x",
    ],
)
def test_a_wrong_key(header: str, client: ApiClient) -> None:
    answer = client.get("jobs", Authorization=header.format(token=client.token))
    assert (answer.status, answer.slug) == (401, "unauthenticated")


def test_a_wrong_key_does_not_matter_where_none_is_needed(client: ApiClient) -> None:
    assert client.get("openapi.json", Authorization="Bearer nonsense").status == 200


def test_the_scheme_is_read_in_any_case(client: ApiClient) -> None:
    # RFC 9110 section 11.1: the scheme is case-insensitive.
    assert client.get("jobs", Authorization=f"bearer {client.token}").status == 200


def test_a_revoked_key_is_out_at_once(client: ApiClient) -> None:
    prefix = str(client.token).split("_")[1]
    assert client.get("jobs").status == 200
    actions.revoke_api_key(prefix=prefix, by=OPERATOR)
    assert client.get("jobs").status == 401


def test_an_expired_key_is_out(client: ApiClient) -> None:
    past = timezone.now() - timedelta(days=2)
    ApiKey.objects.update(created_at=past, expires_at=past + timedelta(days=1))
    assert client.get("jobs").status == 401


def test_a_reader_may_not_write(reader: ApiClient, ski: str) -> None:
    answer = reader.post("jobs", draft("job"))
    assert (answer.status, answer.slug) == (403, "not-allowed")
    assert "`write`" in answer.json["detail"]
    # RFC 6750 section 3.1.
    assert answer.headers["WWW-Authenticate"] == (
        f'{CHALLENGE}, error="insufficient_scope", scope="write"'
    )


def test_a_reader_reads_and_plans(reader: ApiClient, ski: str) -> None:
    assert reader.get(ski).status == 200
    assert reader.get(f"{ski}/condition").status == 200
    assert reader.post(f"{ski}/plan", {"wax": True}).status == 200


def test_a_writer_may_not_read(client: ApiClient, ski: str) -> None:
    writer = a_client("fellbench", Scope.WRITE, new=False)
    assert writer.get(ski).status == 403
    assert write(writer, "jobs", draft("job")).status == 201


@pytest.mark.parametrize(("segment", "kind"), [("usage", "usage"), ("statuses", "status")])
def test_use_and_status_only_by_the_own_shop(
    segment: str, kind: str, other: ApiClient, ski: str
) -> None:
    answer = other.post(segment, draft(kind))
    assert (answer.status, answer.slug, answer.pointers) == (403, "not-allowed", ["/ski/shop"])


def test_another_shop_reads_a_ski_whose_tag_it_holds(
    other: ApiClient, client: ApiClient, ski: str
) -> None:
    assert other.get(ski).json == client.get(ski).json


@pytest.mark.parametrize("part", ["", "/history", "/condition"])
def test_each_look_at_another_shops_tag_is_noted(part: str, other: ApiClient, ski: str) -> None:
    other.get(ski + part)
    other.get(ski + part)
    assert (
        list(LookUp.objects.values_list("shop_id", "tag_key"))
        == [(other.handle, f"{handle_of('fellbench')}/FB-0042")] * 2
    )


def test_a_plan_for_another_shops_ski_is_noted_too(other: ApiClient, ski: str) -> None:
    other.post(f"{ski}/plan", {})
    assert LookUp.objects.count() == 1


def test_looking_at_ones_own_ski_is_not_noted(client: ApiClient, ski: str) -> None:
    client.get(ski)
    client.get(f"{ski}/history")
    assert LookUp.objects.count() == 0


def test_a_foreign_record_is_seen_once_its_tag_was_looked_up(
    client: ApiClient, other: ApiClient, ski: str
) -> None:
    job = write(client, "jobs", draft("job")).json["id"]
    assert other.get(f"jobs/{job}").status == 404
    other.get(ski)
    assert other.get(f"jobs/{job}").status == 200


def test_a_shop_is_named_by_code_or_by_handle(client: ApiClient, ski: str) -> None:
    handle = handle_of("fellbench")
    assert client.get(f"skis/{handle}/FB-0042").content == client.get(ski).content
    assert client.get(f"skis/{handle.replace('@', '%40')}/fb-0042").status == 200

"""The sentence that the page of problems shows for each type is one that the node says."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from django.conf import settings
from django.db import OperationalError
from django.test import RequestFactory
from django.utils import timezone
from rest_framework.exceptions import Throttled

from apps.api import problems
from apps.api.addresses import erased_record
from apps.api.contract_keys import EXAMPLE_KEY
from apps.api.history_query import HistoryQuery, same_together
from apps.api.problem_types import PROBLEM_TYPES, ProblemType
from apps.api.problems import Problem
from apps.api.signed_records import wrong_id
from apps.exchange.bundles import too_many
from apps.records.signing import PrivateKey
from apps.registry.errors import IdempotencyInProgress
from apps.registry.idempotency import claim
from apps.registry.models import IdempotencyKey
from tests.api.client import Answered, ApiClient
from tests.api.making import draft
from tests.api.signing import keeper, put, register_key, signed_by
from tests.api.test_history import correct, replacement, usage
from tests.registry.making import key_of

OTHERS: str = PrivateKey.generate().sign_text(b"something else")
Provoke = Callable[[ApiClient, str], Answered]


def raw(client: ApiClient, body: bytes, content_type: str = "application/json") -> Answered:
    return client.send("POST", "jobs", body, content_type)


def twice_with_one_key(client: ApiClient) -> Answered:
    client.post("jobs", draft("job"), Idempotency_Key="k-1")
    return client.post("jobs", draft("job", performed_at="2025-01-30"), Idempotency_Key="k-1")


def in_pieces(client: ApiClient) -> Answered:
    headers = {"Authorization": f"Bearer {client.token}", "Transfer-Encoding": "chunked"}
    sent = client.django.generic("POST", "/api/v1/jobs", b"", "application/json", headers=headers)
    return Answered(sent.status_code, dict(sent.headers), sent.content)


def a_third_key(client: ApiClient) -> Answered:
    *_, third = (register_key(client, f"own-{number}") for number in range(3))
    return third


def known_key() -> PrivateKey:
    """A key of the shop that the log knows."""
    register_key(keeper())
    return key_of("own")


PROVOKED: dict[str, Provoke] = {
    "idempotency-key-invalid": lambda client, _: client.post(
        "jobs", draft("job"), Idempotency_Key="two words"
    ),
    "invalid-fields": lambda client, _: client.post("jobs", draft("job", performed_at="soon")),
    "invalid-parameters": lambda client, _: client.get("jobs?limt=5"),
    "malformed-json": lambda client, _: raw(client, b'{"body": }'),
    "unauthenticated": lambda client, _: client.get("jobs", Authorization=""),
    "no-pair": lambda client, ski: client.get(f"{ski}/pair"),
    "not-found": lambda client, _: client.get("skiis"),
    "unknown-record": lambda client, _: client.get(f"records/{'0' * 64}"),
    "unknown-webhook": lambda client, _: client.get(f"webhooks/wh_{'0' * 24}"),
    "unknown-share-link": lambda client, _: client.send("DELETE", "share-links/k7m2qzta", None),
    "unknown-key": lambda *_: keeper().post(f"keys/{EXAMPLE_KEY['key']}/end", {"reason": "stolen"}),
    "key-limit": lambda *_: a_third_key(keeper()),
    "bad-signature": lambda client, _: put(
        client, {**signed_by("fellbench", "usage", known_key()), "signature": OTHERS}
    ),
    "unknown-ski": lambda client, _: client.get("skis/fellbench/FB-0043"),
    "method-not-allowed": lambda client, _: client.send("DELETE", "jobs", None),
    "not-acceptable": lambda client, _: client.get("jobs", Accept="text/html"),
    "tag-exists": lambda client, _: client.post("skis", {"ski": {"tag": "FB-0042"}}),
    "length-required": lambda client, _: in_pieces(client),
    "too-large": lambda client, _: raw(client, b" " * 100_000),
    "unsupported-media-type": lambda client, _: raw(client, b"{}", "text/csv"),
    "idempotency-mismatch": lambda client, _: twice_with_one_key(client),
    "unknown-reference": lambda client, _: client.post("jobs", draft("job", tag="FB-0043")),
    "wrong-state": lambda client, _: client.post(
        f"records/{correct(client, usage(client, 3), replacement(2))}/correction", replacement(4)
    ),
}


def joined_otherwise() -> Problem:
    """What a page of a history says that was begun under other tags."""
    with pytest.raises(Problem) as caught:
        same_together(["fellbench@node.example/FB-0042"], HistoryQuery(together="0" * 16))
    return caught.value


EXAMPLE_ID = "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb"
APART = ("not-allowed", "request-in-progress")
# These need a key without a scope, a broken node, or a wait.
WORDED: dict[str, Callable[[], Any]] = {
    "bad-request": lambda: problems.bad_request(RequestFactory().get("/"), ValueError()).content,
    "joined-otherwise": joined_otherwise,
    "erased": lambda: erased_record(EXAMPLE_ID),
    "server-error": lambda: problems.server_error(RequestFactory().get("/")).content,
    "storage-busy": lambda: OperationalError("database is locked"),
    "storage-full": lambda: OperationalError("database or disk is full"),
    "too-many-records": too_many,
    "wrong-id": lambda: wrong_id(EXAMPLE_ID),
    "too-many-requests": lambda: Throttled(wait=12),
}
BY_SLUG = {kind.slug: kind for kind in PROBLEM_TYPES}


def example(kind: ProblemType) -> str:
    """The example, on the node of the tests."""
    return kind.example.replace("node.example", settings.NODE_HOST)


@pytest.mark.parametrize("slug", sorted(PROVOKED))
def test_an_example_is_what_the_node_answers(slug: str, client: ApiClient, ski: str) -> None:
    answer = PROVOKED[slug](client, ski)
    assert answer.slug == slug
    assert answer.json["detail"] == example(BY_SLUG[slug])


def test_the_example_of_a_key_without_the_scope(reader: ApiClient, ski: str) -> None:
    answer = reader.post("jobs", draft("job"))
    assert answer.slug == "not-allowed"
    assert answer.json["detail"] == example(BY_SLUG["not-allowed"])


def test_the_example_of_a_request_under_way(client: ApiClient) -> None:
    same = {"shop": client.handle, "key": "k-1"}
    now = timezone.now()
    IdempotencyKey.objects.create(**same, request_digest="0" * 64, created_at=now)
    with pytest.raises(IdempotencyInProgress) as caught:
        claim(**same, digest="0" * 64, now=now)
    problem = problems.problem_of(caught.value)
    assert problem is not None
    assert problem.kind.slug == "request-in-progress"
    assert problem.detail == problem.kind.example


@pytest.mark.parametrize("slug", sorted(WORDED))
def test_an_example_is_what_a_refusal_is_worded_as(slug: str) -> None:
    found = WORDED[slug]()
    if isinstance(found, bytes):
        said = json.loads(found)
    else:
        problem = problems.problem_of(found)
        assert problem is not None
        said = problems.document(problem, RequestFactory().get("/"))
    assert re.search(r"#(.+)", said["type"])[1] == slug  # type: ignore[index]
    assert said["detail"] == example(BY_SLUG[slug])


def test_every_type_has_its_example_tried() -> None:
    assert {*PROVOKED, *WORDED, *APART} == set(BY_SLUG)

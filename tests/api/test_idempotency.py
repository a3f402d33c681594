"""A write that is sent again with its Idempotency-Key has one effect and gets the same answer.

Source: the Idempotency-Key header of the HTTPAPI working group (an Internet-Draft).
"""

from __future__ import annotations

from typing import Any

import httpx
import pytest
from pytest_django.live_server_helper import LiveServer

from apps.registry.models import IdempotencyKey, LogHead, Record
from tests.api.client import Answered, ApiClient
from tests.api.making import a_client, draft, register, write
from tests.api.test_history import replacement, usage
from tests.registry.threads import THREADS, at_once


def size() -> int:
    """Length of the log beyond the keys that it begins with."""
    return LogHead.objects.get().size - Record.objects.of_kind("key").count()


def twice(client: ApiClient, path: str, document: dict[str, Any]) -> tuple[Answered, Answered]:
    """Send the same request twice with the same key."""
    first, second = (client.post(path, document, Idempotency_Key="k-1") for _ in range(2))
    return first, second


def same(first: Answered, second: Answered) -> None:
    """Both are the one answer, and only the second says that it was given before."""
    assert first.status == second.status == 201
    assert first.content == second.content
    assert first.headers["Location"] == second.headers["Location"]
    assert "Idempotency-Replayed" not in first.headers
    assert second.headers["Idempotency-Replayed"] == "true"


def test_every_post_that_writes_heeds_the_key(client: ApiClient) -> None:
    same(*twice(client, "skis", {"ski": {"tag": "FB-0042"}}))
    assert size() == 1


@pytest.mark.parametrize(
    ("path", "kind"),
    [("jobs", "job"), ("measurements", "measurement"), ("usage", "usage"), ("pairs", "pair")],
)
def test_a_record_is_written_once(path: str, kind: str, client: ApiClient, ski: str) -> None:
    same(*twice(client, path, draft(kind)))
    assert size() == 2


def test_jobs_together_are_written_once(client: ApiClient, ski: str) -> None:
    same(*twice(client, "jobs/bulk", {"jobs": [draft("job"), draft("job")]}))
    assert size() == 3


def test_a_correction_is_written_once(client: ApiClient, ski: str) -> None:
    same(*twice(client, f"records/{usage(client, 3)}/correction", replacement(2)))
    assert size() == 3


def test_without_a_key_each_request_counts(client: ApiClient, ski: str) -> None:
    write(client, "usage", draft("usage"))
    write(client, "usage", draft("usage"))
    assert size() == 3


def test_the_same_key_with_another_body(client: ApiClient, ski: str) -> None:
    client.post("usage", draft("usage"), Idempotency_Key="k-1")
    answer = client.post("usage", draft("usage", body={"days": 3}), Idempotency_Key="k-1")
    assert (answer.status, answer.slug) == (422, "idempotency-mismatch")
    assert size() == 2


def test_the_same_key_at_another_address(client: ApiClient, ski: str) -> None:
    client.post("usage", draft("usage"), Idempotency_Key="k-1")
    answer = client.post("jobs", draft("job"), Idempotency_Key="k-1")
    assert (answer.status, answer.slug) == (422, "idempotency-mismatch")


def test_keys_of_two_shops_don_t_meet(client: ApiClient, other: ApiClient, ski: str) -> None:
    for one in (client, other):
        assert one.post("jobs", draft("job"), Idempotency_Key="k-1").status == 201
    assert size() == 3


def test_a_refused_request_may_be_mended_under_the_same_key(client: ApiClient, ski: str) -> None:
    bad = client.post("usage", draft("usage", tag="FB-9999"), Idempotency_Key="k-1")
    assert bad.status == 422
    assert client.post("usage", draft("usage"), Idempotency_Key="k-1").status == 201
    assert IdempotencyKey.objects.count() == 1


@pytest.mark.parametrize("key", ['"quoted-1"', "bare-1", "x" * 255])
def test_keys_with_and_without_quotation_marks(key: str, client: ApiClient, ski: str) -> None:
    assert client.post("usage", draft("usage"), Idempotency_Key=key).status == 201
    bare = key.strip('"')
    again = client.post("usage", draft("usage"), Idempotency_Key=bare)
    assert again.headers["Idempotency-Replayed"] == "true"


@pytest.mark.parametrize("key", ["", "x" * 256, "a b", "ü"])
def test_a_key_that_can_t_be_used(key: str, client: ApiClient, ski: str) -> None:
    answer = client.post("usage", draft("usage"), Idempotency_Key=key)
    assert (answer.status, answer.slug) == (400, "idempotency-key-invalid")
    assert size() == 1


def test_many_threads_with_one_key_have_one_effect(
    live_server: LiveServer, transactional_db: None
) -> None:
    client = a_client("fellbench")
    register(client, "FB-0042")
    headers = {"Authorization": f"Bearer {client.token}", "Idempotency-Key": "k-1"}

    def post(_number: int) -> httpx.Response:
        url = f"{live_server.url}/api/v1/jobs"
        return httpx.post(url, json=draft("job"), headers=headers, timeout=60)

    answers = at_once(post)
    responses = [one for one in answers if isinstance(one, httpx.Response)]
    assert len(responses) == THREADS, answers
    # 409 and 503 both say: send it again; neither has written anything.
    written = [one for one in responses if one.status_code == 201]
    assert {one.status_code for one in responses} <= {201, 409, 503}
    assert len({one.content for one in written}) == 1
    assert sum("Idempotency-Replayed" not in one.headers for one in written) == 1
    assert Record.objects.of_kind("job").count() == 1


def test_many_threads_with_keys_of_their_own_all_write(
    live_server: LiveServer, transactional_db: None
) -> None:
    client = a_client("fellbench")
    register(client, "FB-0042")

    def post(number: int) -> int:
        url = f"{live_server.url}/api/v1/usage"
        headers = {"Authorization": f"Bearer {client.token}", "Idempotency-Key": f"k-{number}"}
        return httpx.post(url, json=draft("usage"), headers=headers, timeout=60).status_code

    assert at_once(post) == [201] * THREADS
    assert size() == THREADS + 1

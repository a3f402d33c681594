"""Strong ETags over the bytes of an answer, and 304 for whoever has them (RFC 9110)."""

from __future__ import annotations

import hashlib

import pytest

from tests.api.client import ApiClient
from tests.api.making import draft, write

PATHS = [
    "",
    "openapi.json",
    "jobs",
    "skis/fellbench/FB-0042",
    "skis/fellbench/FB-0042/history",
    "skis/fellbench/FB-0042/condition",
]


@pytest.mark.parametrize("path", PATHS)
def test_an_answer_that_the_client_has_is_not_sent_again(
    path: str, client: ApiClient, ski: str
) -> None:
    first = client.get(path)
    tag = first.headers["ETag"]
    assert tag == f'"{hashlib.sha256(first.content).hexdigest()}"'
    for header in (tag, f'"other", {tag}', f"W/{tag}", "*"):
        again = client.get(path, If_None_Match=header)
        assert (again.status, again.content, again.headers["ETag"]) == (304, b"", tag)
        assert again.headers["X-Request-ID"]


@pytest.mark.parametrize("path", [PATHS[2], *PATHS[4:]])
def test_a_new_record_changes_the_tag(path: str, client: ApiClient, ski: str) -> None:
    tag = client.get(path).headers["ETag"]
    write(client, "jobs", draft("job"))
    again = client.get(path, If_None_Match=tag)
    assert again.status == 200
    assert again.headers["ETag"] != tag


def test_answers_are_kept_by_the_client_alone(client: ApiClient, ski: str) -> None:
    headers = client.get("jobs").headers
    assert headers["Cache-Control"] == "private, no-cache"
    assert "Authorization" in headers["Vary"]


def test_refusals_and_writes_have_no_tag(client: ApiClient, ski: str) -> None:
    assert "ETag" not in client.get("jobs?x=1").headers
    assert "ETag" not in client.post("jobs", draft("job")).headers


def test_head_says_what_get_would(client: ApiClient, ski: str) -> None:
    head, get = client.send("HEAD", "jobs", None), client.get("jobs")
    assert (head.status, head.content) == (200, b"")
    assert head.headers["ETag"] == get.headers["ETag"]

"""What a body may come as, what an answer may be asked for as, and answers that have no body."""

from __future__ import annotations

import gzip
import json

import pytest

from tests.api.client import ROOT, ApiClient
from tests.api.making import draft


def body() -> bytes:
    """A record that is well."""
    return json.dumps(draft("job")).encode()


@pytest.mark.parametrize("packed", ["gzip", "br", "identity, gzip", "x"])
def test_a_packed_body_is_not_read(packed: str, client: ApiClient, ski: str) -> None:
    # RFC 9110 section 15.5.16: 415 also for a content coding, with what is read in its place.
    data = gzip.compress(body())
    answer = client.send("POST", "jobs", data, Content_Encoding=packed)
    assert (answer.status, answer.slug) == (415, "unsupported-media-type")
    assert "without a Content-Encoding" in answer.json["detail"]
    assert answer.headers["Accept-Encoding"] == "identity"


@pytest.mark.parametrize("charset", ["latin-1", "ISO-8859-1", "utf-16", "no-such"])
def test_a_body_in_other_characters_is_not_read(charset: str, client: ApiClient, ski: str) -> None:
    answer = client.send("POST", "jobs", body(), f"application/json; charset={charset}")
    assert (answer.status, answer.slug) == (415, "unsupported-media-type")
    assert "UTF-8" in answer.json["detail"]


@pytest.mark.parametrize("charset", ["utf-8", '"UTF-8"', "utf8", "us-ascii"])
def test_a_body_that_says_it_is_utf_8(charset: str, client: ApiClient, ski: str) -> None:
    sent = client.send(
        "POST",
        "jobs",
        body(),
        f"application/json; charset={charset}",
        Content_Encoding="identity",
    )
    assert sent.status == 201


# RFC 9110 section 12.4.2: a weight of 0 means "not acceptable".
@pytest.mark.parametrize(
    "accept",
    ["*/*;q=0", "application/json;q=0", "application/json; q=0.000, */*", "application/*;q=0"],
)
def test_what_is_ruled_out_is_not_sent(accept: str, client: ApiClient) -> None:
    answer = client.get("jobs", Accept=accept)
    assert (answer.status, answer.slug) == (406, "not-acceptable")


@pytest.mark.parametrize(
    "accept", ["text/html;q=0, */*", "application/json;q=0.001", "text/csv;q=0, application/json"]
)
def test_what_is_not_ruled_out_is_sent(accept: str, client: ApiClient) -> None:
    assert client.get("jobs", Accept=accept).status == 200


def test_a_client_that_rules_json_out_of_the_fleet_gets_csv(client: ApiClient, ski: str) -> None:
    sent = {"Authorization": f"Bearer {client.token}", "Accept": "application/json;q=0, */*;q=0.1"}
    answer = client.django.get(f"{ROOT}/fleet", headers=sent)
    assert answer.headers["Content-Type"].startswith("text/csv")


def test_answers_without_a_body_tell_no_length(client: ApiClient, ski: str) -> None:
    # RFC 9110 section 8.6: never in a 204; in a 304 only the length that a 200 would have.
    options = client.send("OPTIONS", "jobs", None)
    tag = client.get("jobs").headers["ETag"]
    known = client.get("jobs", If_None_Match=tag)
    assert (options.status, known.status) == (204, 304)
    for answer in (options, known):
        assert "Content-Length" not in answer.headers
        assert answer.content == b""
    whole = client.get("jobs")
    assert whole.headers["Content-Length"] == str(len(whole.content))


def test_a_plan_needs_a_body(client: ApiClient, ski: str) -> None:
    answer = client.send("POST", f"{ski}/plan", None)
    assert (answer.status, answer.slug) == (400, "malformed-json")
    assert "`{}` at least" in answer.json["detail"]
    assert client.post(f"{ski}/plan", {}).status == 200


@pytest.mark.parametrize("name", ["wax", "structure", "spot_flatten"])
@pytest.mark.parametrize("value", ["yes", "true", "on", 1, 1.0, 0])
def test_only_true_and_false_are_yes_and_no(
    name: str, value: object, client: ApiClient, ski: str
) -> None:
    answer = client.post(f"{ski}/plan", {name: value})
    assert (answer.status, answer.pointers) == (400, [f"/{name}"])
    (mistake,) = answer.json["errors"]
    assert mistake["code"] == "not-a-boolean"
    assert mistake["detail"] == "Write true or false, without quotation marks."
    assert client.post(f"{ski}/plan", {name: False}).status == 200

"""Every refusal has one shape (RFC 9457), a stable type, and a place where it is explained."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from django.http import HttpResponse
from django.test import Client, RequestFactory
from rest_framework import exceptions

from apps.api import problems
from apps.api.problem_page import problems_markdown
from apps.api.problem_types import BAD_REQUEST, PROBLEM_TYPES, ProblemType
from apps.exchange.peers.errors import (
    InvalidPeer,
    PeerContradiction,
    PeerExists,
    PeerStopped,
    PeerTrouble,
    UnknownPeer,
)
from apps.registry import errors as registry
from tests.api.client import ApiClient
from tests.api.making import draft

PAGE = Path(__file__).parents[2] / "docs" / "problems.md"


def whole(response: HttpResponse, kind: ProblemType) -> None:
    """The answer is a whole problem document of this type."""
    assert response.headers["Content-Type"] == "application/problem+json"
    document = json.loads(response.content)
    assert (document["status"], document["type"]) == (response.status_code, kind.uri)
    assert document["title"] == kind.title
    assert document["detail"].endswith((".", "`"))


@pytest.mark.parametrize("kind", PROBLEM_TYPES, ids=lambda one: one.slug)
def test_every_type_is_explained(kind: ProblemType, nobody: ApiClient) -> None:
    text = PAGE.read_text(encoding="utf-8")
    section = text.partition(f"\n## {kind.slug}\n")[2].partition("\n## ")[0]
    told = " ".join(section.split())
    assert str(kind.status) in told
    assert kind.title in told
    assert kind.meaning in told
    assert f'id="{kind.slug}"' in nobody.get("/docs/problems").content.decode()


def test_the_page_explains_no_other() -> None:
    told = set(re.findall(r"^## (.+)$", PAGE.read_text(encoding="utf-8"), re.MULTILINE))
    assert told == {kind.slug for kind in PROBLEM_TYPES}


def test_the_page_is_as_the_code_has_it() -> None:
    assert PAGE.read_text(encoding="utf-8") == problems_markdown()


def test_slugs_are_stable_words() -> None:
    slugs = [kind.slug for kind in PROBLEM_TYPES]
    assert len(set(slugs)) == len(slugs)
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)*", slug) for slug in slugs)


def subclasses(base: type) -> set[type]:
    """All classes below one."""
    below: set[type] = set(base.__subclasses__())
    return below | {deeper for one in below for deeper in subclasses(one)}


# These come from the operator's commands and from pages, and never from a request to the API.
OPERATORS_OWN = {
    registry.ShopExists,
    registry.InvalidSetting,
    registry.NoIdentity,
    registry.BrokenTree,
    *(registry.UnknownPerson, registry.PersonExists, registry.LastOwner),
    *(registry.WrongPassword, registry.WeakPassword),
    *(PeerContradiction, PeerExists, PeerStopped, PeerTrouble, InvalidPeer, UnknownPeer),
}
# The views of the log translate it themselves: only they know which parameter is meant.
OF_ONE_VIEW = {registry.UnknownPlace}


def test_every_refusal_of_the_registry_has_a_problem() -> None:
    named = set(problems._KINDS) | {registry.Refused} | OPERATORS_OWN | OF_ONE_VIEW
    found = subclasses(registry.RegistryError)
    assert {one for one in found if not one.__module__.startswith("apps.pages.")} <= named


def test_of_several_refusals_the_first_gives_the_status() -> None:
    several = registry.Refused(
        [registry.UnknownTag("No ski.", pointer="/ski"), registry.NotAllowed("Not you.")]
    )
    problem = problems.problem_of(several)
    assert problem is not None
    assert problem.kind.slug == "unknown-reference"
    assert [mistake.detail for mistake in problem.mistakes] == ["No ski.", "Not you."]
    assert problem.detail == "2 things need mending; see `errors`."


def test_what_nobody_foresaw_has_no_problem() -> None:
    assert problems.problem_of(KeyError("x")) is None
    assert problems.problem_of(registry.ShopExists("Here already.")) is None


def test_a_refusal_of_the_framework_that_is_not_listed_is_a_bad_request() -> None:
    problem = problems.problem_of(exceptions.ParseError("Broken."))
    assert problem is not None
    assert (problem.kind.slug, problem.detail) == ("bad-request", "Broken.")


@pytest.mark.parametrize("path", ["/api/v1/skiis", "/nowhere", "/api/v1/skis/a/b/c/d"])
def test_404_of_an_address_that_nobody_has(path: str, nobody: ApiClient) -> None:
    answer = nobody.get(path)
    assert (answer.status, answer.slug) == (404, "not-found")
    assert answer.json["instance"] == path
    assert answer.json["request_id"] == answer.headers["X-Request-ID"]


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE", "TRACE"])
def test_405_lists_what_works(method: str, client: ApiClient, ski: str) -> None:
    answer = client.send(method, "jobs", b"{}")
    assert (answer.status, answer.slug) == (405, "method-not-allowed")
    assert answer.headers["Allow"] == "GET, POST, HEAD, OPTIONS"


def test_options_lists_what_works(client: ApiClient) -> None:
    answer = client.send("OPTIONS", "openapi.json", None)
    assert (answer.status, answer.content) == (204, b"")
    assert answer.headers["Allow"] == "GET, HEAD, OPTIONS"


@pytest.mark.parametrize("accept", ["text/html", "image/png", "application/xml"])
def test_406(accept: str, client: ApiClient, ski: str) -> None:
    answer = client.get("jobs", Accept=accept)
    assert (answer.status, answer.slug) == (406, "not-acceptable")


@pytest.mark.parametrize("accept", ["*/*", "application/*", "text/html, application/json;q=0.5"])
def test_any_header_that_allows_json(accept: str, client: ApiClient, ski: str) -> None:
    assert client.get("jobs", Accept=accept).status == 200


@pytest.mark.parametrize(
    "content_type", ["text/csv", "application/x-www-form-urlencoded", "multipart/form-data", ""]
)
def test_415(content_type: str, client: ApiClient, ski: str) -> None:
    body = json.dumps(draft("job")).encode()
    answer = client.send("POST", "jobs", body, content_type)
    assert (answer.status, answer.slug) == (415, "unsupported-media-type")


def test_json_with_parameters(client: ApiClient, ski: str) -> None:
    body = json.dumps(draft("job")).encode()
    assert client.send("POST", "jobs", body, "application/json; charset=utf-8").status == 201


def test_500_tells_nothing_of_the_inside(
    client: ApiClient, ski: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def break_down(*args: object, **kwargs: object) -> None:
        raise RuntimeError("the secret inside")

    monkeypatch.setattr("apps.registry.actions.write_drafts", break_down)
    client.django = Client(raise_request_exception=False)
    answer = client.post("jobs", draft("job"))
    assert (answer.status, answer.slug) == (500, "server-error")
    assert b"secret" not in answer.content
    assert answer.json["request_id"] == answer.headers["X-Request-ID"]


def test_a_request_that_django_refuses() -> None:
    request = RequestFactory().get("/api/v1/jobs")
    response = problems.bad_request(request, ValueError("x"))
    whole(response, BAD_REQUEST)


def test_the_request_id_of_the_client_comes_back(client: ApiClient) -> None:
    answer = client.get("jobs?x=1", X_Request_ID="bench-7:2025.01_31")
    assert answer.headers["X-Request-ID"] == "bench-7:2025.01_31"
    assert answer.json["request_id"] == "bench-7:2025.01_31"


@pytest.mark.parametrize("given", ["", "x" * 65, "two words", "a\tb", "ü", "<b>"])
def test_a_request_id_that_could_forge_a_log_line_is_replaced(
    given: str, client: ApiClient
) -> None:
    answer = client.get("jobs", X_Request_ID=given)
    assert re.fullmatch("[0-9a-f]{32}", answer.headers["X-Request-ID"])


def test_each_request_has_an_id_of_its_own(client: ApiClient) -> None:
    ids = {client.get("jobs").headers["X-Request-ID"] for _ in range(3)}
    assert len(ids) == 3

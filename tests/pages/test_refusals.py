"""Refusals: a page that says what is wrong for who opens pages, a problem for programs."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from django.db import OperationalError
from django.http import HttpResponse
from django.test import Client, RequestFactory, override_settings
from django.urls import include, path
from django.utils import translation

from apps.pages.refusals import STATUSES, refusal_page
from apps.pages.visitor import PageRequest
from apps.records.errors import FieldError, InvalidRecord
from apps.registry import errors as registry
from apps.registry.errors import RegistryError
from tests.pages.people import a_person, text_of

BROWSER = "text/html,application/xhtml+xml,*/*;q=0.8"
HERE = "tests.pages.test_refusals"
RAISED: dict[str, Exception] = {
    "busy": OperationalError("database is locked"),
    "full": OperationalError("database or disk is full"),
    "broken": OperationalError("disk I/O error"),
    "unforeseen": RuntimeError("a secret of the code"),
    "unknown": registry.UnknownTag("No ski has this tag here."),
    "forbidden": registry.NotAllowed("Only owners of the shop may do this."),
    "state": registry.WrongState("This was revoked already."),
    "record": InvalidRecord(FieldError("/body", "missing", "This field is missing.")),
}


def fails(_request: PageRequest, why: str) -> HttpResponse:
    raise RAISED[why]


# The addresses of a node, and one that fails as it is told to.
urlpatterns = [path("fails/<str:why>", fails), path("", include("service_registry.urls"))]
handler400 = "service_registry.refusals.bad_request"
handler403 = "service_registry.refusals.forbidden"
handler404 = "service_registry.refusals.not_found"
handler500 = "service_registry.refusals.server_error"


@pytest.fixture
def failing(db: None) -> Iterator[Client]:
    """A client that gets an answer where a view fails, as a browser does."""
    with override_settings(ROOT_URLCONF=HERE):
        yield Client(raise_request_exception=False)


def opened(client: Client, address: str, **more: Any) -> Any:
    return client.get(address, HTTP_ACCEPT=BROWSER, **more)


def is_a_page(response: Any) -> bool:
    page = response.content.decode()
    policy = response.headers["Content-Security-Policy"]
    return "<h1>" in page and "<main" in page and policy.startswith("default-src 'none'")


def problem_of(response: Any) -> dict[str, Any]:
    assert response.headers["Content-Type"] == "application/problem+json"
    document: dict[str, Any] = json.loads(response.content)
    assert document["status"] == response.status_code
    return document


@pytest.mark.parametrize(
    ("why", "status", "says"),
    [
        ("busy", 503, "The node is busy. Try again in a moment"),
        ("full", 507, "The node has no room left. Its operator must make some"),
        ("unknown", 404, "No ski has this tag here."),
        ("forbidden", 403, "Only owners of the shop may do this."),
        ("state", 400, "This was revoked already."),
        ("record", 400, "This field is missing."),
        ("unforeseen", 500, "Something went wrong on the node"),
        ("broken", 500, "Something went wrong on the node"),
    ],
)
def test_a_refusal_of_a_view_is_a_page_that_says_it(
    why: str, status: int, says: str, failing: Client
) -> None:
    response = opened(failing, f"/fails/{why}")
    assert response.status_code == status
    assert is_a_page(response)
    assert says in text_of(response)
    assert response.headers["Cache-Control"] == "private, no-store"


def test_what_nobody_foresaw_tells_nothing_of_the_code(failing: Client) -> None:
    assert "a secret of the code" not in opened(failing, "/fails/unforeseen").content.decode()
    program = failing.get("/fails/unforeseen", HTTP_ACCEPT="*/*")
    assert "a secret of the code" not in program.content.decode()
    assert problem_of(program)["status"] == 500


def test_the_english_sentence_of_a_refusal_is_marked_as_english(failing: Client) -> None:
    german = opened(failing, "/fails/state", HTTP_ACCEPT_LANGUAGE="de")
    page = german.content.decode()
    assert '<html lang="de">' in page
    assert '<p lang="en">This was revoked already.</p>' in page
    assert german.headers["Content-Language"] == "de"


def test_every_refusal_of_the_registry_has_a_status() -> None:
    kinds = [kind for kind, _ in STATUSES]
    assert RegistryError in kinds
    # What is looked up first must not hide what stands below it.
    for place, kind in enumerate(kinds):
        assert not any(issubclass(later, kind) for later in kinds[place + 1 :])


def test_what_is_no_refusal_has_no_page() -> None:
    assert refusal_page(RequestFactory().get("/"), ValueError("x")) is None


def test_an_address_that_nothing_has(guest: Client) -> None:
    page = opened(guest, "/nowhere")
    assert (page.status_code, is_a_page(page)) == (404, True)
    assert "Nothing is here under this address" in text_of(page)
    assert problem_of(guest.get("/nowhere", HTTP_ACCEPT="*/*"))["status"] == 404


def test_an_address_of_the_api_answers_a_browser_as_it_does_programs(guest: Client) -> None:
    assert problem_of(opened(guest, "/api/v1/nowhere"))["status"] == 404


def test_a_host_that_is_not_ours(guest: Client) -> None:
    page = opened(guest, "/", HTTP_HOST="elsewhere.example")
    assert (page.status_code, is_a_page(page)) == (400, True)
    assert "Log out" not in text_of(page)
    program = guest.get("/", HTTP_HOST="elsewhere.example", HTTP_ACCEPT="application/json")
    assert problem_of(program)["status"] == 400


@pytest.mark.parametrize("address", ["/", "/fleet", "/fleet/due", "/node", "/shop/practice"])
def test_what_is_only_read_takes_no_form(address: str, reader: Client) -> None:
    response = reader.post(address, {"tag": "VH-1"}, HTTP_ACCEPT=BROWSER)
    assert (response.status_code, is_a_page(response)) == (405, True)
    assert "Go back, and use the links and buttons of the page." in text_of(response)
    assert "GET" in response.headers["Allow"]


def test_what_only_takes_a_form_is_not_read(reader: Client) -> None:
    response = opened(reader, "/leave")
    assert (response.status_code, is_a_page(response)) == (405, True)
    assert response.headers["Allow"] == "POST"


@pytest.fixture
def careful(shop: Any) -> Client:
    """A reader at a client that holds forms to their token, as the real thing does."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(a_person(shop.handle, "reader"))
    return client


def test_a_form_from_elsewhere_is_refused_with_what_mends_it(careful: Client) -> None:
    page = careful.post("/leave", HTTP_ACCEPT=BROWSER)
    assert (page.status_code, is_a_page(page)) == (403, True)
    assert "load the page again" in text_of(page)
    assert "CSRF" not in text_of(page)
    assert "_auth_user_id" in careful.session


def test_a_program_that_sends_a_form_is_refused_with_a_problem(careful: Client) -> None:
    problem = problem_of(careful.post("/leave", HTTP_ACCEPT="*/*"))
    assert problem["status"] == 403
    assert "CSRF" in problem["detail"]


def test_a_form_with_its_token_is_taken(careful: Client) -> None:
    careful.get("/own")
    sent = {"csrfmiddlewaretoken": careful.cookies["csrftoken"].value}
    assert careful.post("/leave", sent, HTTP_ACCEPT=BROWSER).status_code == 302
    assert "_auth_user_id" not in careful.session


def test_titles_are_told_in_the_languages_of_the_pages() -> None:
    request = RequestFactory().get("/")
    told = set()
    for language in ("en-gb", "de", "fr"):
        with translation.override(language):
            answer = refusal_page(request, registry.NotAllowed("x"))
            assert answer is not None
            told.add(text_of(answer).split(" \u2013 ")[0])
    assert len(told) == 3

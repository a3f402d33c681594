"""The pages that explain the API: readable, without a script, and nothing from another host."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from django.contrib.staticfiles import finders
from django.test import Client

from apps.api.openapi import contract
from apps.api.reference import reference
from tests.api.client import ApiClient

PAGES = ["/docs/", "/docs/problems"]
each_page = pytest.mark.parametrize("path", PAGES)


class Links(HTMLParser):
    """Gathers what a page loads or leads to, and the anchors it has."""

    def __init__(self, page: bytes) -> None:
        super().__init__()
        self.targets: list[str] = []
        self.anchors: set[str] = set()
        self.tags: set[str] = set()
        self.feed(page.decode())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        for name, value in attrs:
            if name in {"href", "src", "action"}:
                self.targets.append(value or "")
            if name == "id" and value:
                assert value not in self.anchors, f"two anchors {value}"
                self.anchors.add(value)


@each_page
def test_a_page_loads_nothing_from_elsewhere(path: str, nobody: ApiClient) -> None:
    answer = nobody.get(path)
    assert answer.status == 200
    links = Links(answer.content)
    assert all(target.startswith(("/", "#")) for target in links.targets), links.targets
    assert not any(target.startswith("//") for target in links.targets)
    assert not links.tags & {"script", "style", "iframe", "img", "form"}
    # An example of a webhook names its receiver, in text and not in a link.
    text = answer.content.replace(b"https://hooks.fellbench.example", b"")
    assert re.findall(rb"(?:https?:)?//[a-z]", text) == []


@each_page
def test_a_page_holds_itself_to_that(path: str, nobody: ApiClient) -> None:
    policy = nobody.get(path).headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "http" not in policy


@each_page
def test_links_lead_somewhere(path: str, nobody: ApiClient) -> None:
    links = Links(nobody.get(path).content)
    anchors = {page: Links(nobody.get(page).content).anchors for page in PAGES}
    for target in set(links.targets):
        page, _, anchor = target.partition("#")
        if anchor:
            assert anchor in anchors[page or path], target
        elif page.startswith("/static/"):
            assert finders.find(page.removeprefix("/static/"))
        else:
            assert nobody.get(page).status == 200


def test_the_style_loads_nothing_from_elsewhere() -> None:
    path = finders.find("api/docs.css")
    assert path is not None
    with open(path, encoding="utf-8") as file:  # noqa: PTH123 - the finder gives a string
        assert "url(" not in file.read()


def test_every_operation_and_shape_is_on_the_page(nobody: ApiClient) -> None:
    anchors = Links(nobody.get("/docs/").content).anchors
    operations = [o for methods in contract()["paths"].values() for o in methods.values()]
    assert {operation["operationId"] for operation in operations} <= anchors
    assert {f"shape-{name}" for name in contract()["components"]["schemas"]} <= anchors


def test_the_page_tells_types_as_a_person_reads_them() -> None:
    shapes = {shape.name: shape for shape in reference().shapes}
    record = {line.name: line.type for line in shapes["JobRecord"].fields}
    assert record["kind"] == '"job"'
    assert record["body"] == "JobBody"
    body = {line.name: line.type for line in shapes["JobBody"].fields}
    assert body["steps"] == "list of Step"
    bevel = {line.name: line.type for line in shapes["BevelSettingBodyDraft"].fields}
    assert bevel["side_bevel_deg"] == "string or number"
    assert dict(shapes["Edges"].words)["both"]


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
def test_a_page_is_only_read(method: str, nobody: ApiClient) -> None:
    for page in PAGES:
        answer = nobody.send(method, page, b"")
        assert (answer.status, answer.slug) == (405, "method-not-allowed")
        assert answer.headers["Allow"] == "GET, HEAD"


def test_a_page_is_only_read_also_by_a_browser() -> None:
    # Django's test client passes by the guard of forms unless it is told otherwise.
    answer = Client(enforce_csrf_checks=True).post("/docs/", {"x": "1"})
    assert answer.status_code == 405
    assert answer.headers["Content-Type"] == "application/problem+json"

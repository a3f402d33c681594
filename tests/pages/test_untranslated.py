"""Pages say nothing past the catalogs: with every string marked, only data are left."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any

import pytest
from django.test import Client
from django.utils import translation

from apps.registry.actors import Actor
from tests.pages.people import a_person, an_operator, sitting
from tests.pages.ski.making import FINDING_REMARK, SPECIFIED, tuned
from tests.registry.making import a_draft, a_shop, a_ski

pytestmark = pytest.mark.django_db

OPEN, CLOSE = "\u27e6", "\u27e7"
MARKED = re.compile(f"{OPEN}[^{OPEN}{CLOSE}]*{CLOSE}")
WORD = re.compile(r"[^\W\d_]{2,}")
SAID = ("alt", "aria-label", "placeholder", "title")
LANGUAGES = {"Deutsch", "English", "Français"}
SAME_EVERYWHERE = {"mm", "µm", "SQLite", "PostgreSQL"} | LANGUAGES
# Free text of the bench is shown as it was written.
WRITTEN = {FINDING_REMARK, "Holes drilled beside the old ones.", "file guide", "fellbench workshop"}
NAMES = {"fellbench", "FB-0042", "fb-07", "technician.one", "owner.one", "keeper"}
DATA = {word for text in (WRITTEN | NAMES) for word in WORD.findall(text)} | SAME_EVERYWHERE
OF_A_TECHNICIAN = (
    "/",
    "/t/fellbench/FB-0042",
    "/bench/fellbench/FB-0042",
    "/bench/fellbench/FB-0042/plan?base=0.5&side=88&flat=0.05&structure=on&wax=on",
    "/fleet",
    "/fleet/rates",
    "/labels",
)


@pytest.fixture
def marked(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every string that goes through a catalog comes back in marks."""
    catalogs: Any = translation._trans  # type: ignore[attr-defined]
    monkeypatch.setattr(catalogs, "gettext", _in_marks)
    monkeypatch.setattr(catalogs, "pgettext", lambda _context, text: _in_marks(text))
    monkeypatch.setattr(catalogs, "ngettext", _plural)
    monkeypatch.setattr(
        catalogs, "npgettext", lambda _context, one, many, count: _plural(one, many, count)
    )


def _in_marks(text: str) -> str:
    return f"{OPEN}{text}{CLOSE}" if text else text


def _plural(one: str, many: str, count: int) -> str:
    return _in_marks(one if count == 1 else many)


@pytest.fixture
def shop(db: None) -> Actor:
    """A shop with a ski that was tuned."""
    shop = a_shop()
    a_ski(shop)
    tuned(shop, a_draft("bevel-setting", body=SPECIFIED))
    return shop


def test_pages_of_a_ski_and_a_fleet(marked: None, shop: Actor) -> None:
    technician = sitting(a_person(shop.handle, "technician"))
    assert unmarked(technician, *OF_A_TECHNICIAN) == set()


def test_pages_of_an_owner_and_the_operator(marked: None, shop: Actor) -> None:
    owner = sitting(a_person(shop.handle, "owner"))
    assert unmarked(owner, "/shop/people", "/shop/keys", "/shop/links") == set()
    assert unmarked(sitting(an_operator()), "/node") == set()


def test_pages_of_a_guest(marked: None, db: None) -> None:
    assert unmarked(Client(), "/", "/enter") == set()


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("de", "Einen Service planen"),
        ("de-CH,de;q=0.9", "Einen Service planen"),
        ("fr", "Planifier un entretien"),
        ("it", "Plan a tune"),
    ],
)
def test_a_page_in_the_language_of_the_browser(shop: Actor, language: str, said: str) -> None:
    technician = sitting(a_person(shop.handle, "technician"))
    response = technician.get("/bench/fellbench/FB-0042", headers={"accept-language": language})
    assert said in response.content.decode()


def unmarked(client: Client, *addresses: str) -> set[str]:
    """Give the words of pages that came through no catalog and are no data."""
    found: set[str] = set()
    for address in addresses:
        response = client.get(address)
        assert response.status_code == 200, address
        text = " ".join(_Said(response.content.decode()).parts)
        while MARKED.search(text):
            text = MARKED.sub(" ", text)
        found |= {f"{address}: {word}" for word in _words(text)}
    return found


def _words(text: str) -> Iterator[str]:
    yield from (word for word in WORD.findall(text) if word not in DATA)


class _Said(HTMLParser):
    """Collects what a page says, also to those who hear it."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.parts: list[str] = []
        self._skipped = 0
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._skipped += tag == "code"
        self.parts += [value for name, value in attrs if name in SAID and value]

    def handle_endtag(self, tag: str) -> None:
        self._skipped -= tag == "code"

    def handle_data(self, data: str) -> None:
        if not self._skipped:
            self.parts.append(data)

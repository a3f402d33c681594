"""What holds for every page, whoever opens it on whatever device and in whatever language."""

from __future__ import annotations

import re
from urllib.parse import urlsplit

import pytest
from django.urls import resolve
from playwright.sync_api import Page

from apps.pages.urls import urlpatterns
from tests.browser.auditing import audit, audit_colours
from tests.browser.every_page import PAGES, Opened
from tests.browser.visits import DESKTOP, PHONE, Scheme, Visits

NARROWEST_PX = 320
# Answered with data, with a style, with a refusal to whoever only looks, or with another page.
NO_PAGES = {
    "fleet-csv",
    "due-csv",
    "labels-style",
    "language",
    "leave",
    "ski-bundle",
    "certificate-make",
    "key-revoke",
    "share-link-revoke",
    "person-role",
    "person-alias",
    "person-password",
}
# A record is named by its id, which the page of its ski links to.
LINKED = {"ski-record"}
WIDE_PARTS = """() => {
  if (document.scrollingElement.scrollWidth <= innerWidth) return [];
  const parts = [...document.querySelectorAll("body *")].filter((part) =>
    part.getBoundingClientRect().right > innerWidth + 1 && !part.closest(".scroll"));
  return ["wider than the display:", ...parts.map((part) => part.outerHTML.slice(0, 99))];
}"""
LOW_TARGETS = """() => [...document.querySelectorAll("button, select, .button, .top a, input")]
  .filter((one) => one.checkVisibility() && !["checkbox", "radio"].includes(one.type))
  .filter((one) => one.getBoundingClientRect().height < 43.5)
  .map((one) => one.outerHTML.slice(0, 120))"""


def opened(visits: Visits, asked: Opened, language: str = "en-GB") -> Page:
    page = visits.page(asked.who, viewport=PHONE, language=language)
    answer = page.goto(visits.node.fill(asked.path))
    assert answer is not None
    assert answer.status == asked.status
    if asked.status != 200:
        # A browser notes a refusal as an error.
        visits.watch.forget()
    return page


@pytest.mark.parametrize("asked", PAGES, ids=str)
def test_nothing_is_in_anyones_way(visits: Visits, asked: Opened) -> None:
    page = opened(visits, asked)
    found = {"phone": audit(page)}
    page.set_viewport_size(DESKTOP)
    found["desktop"] = audit(page)
    page.emulate_media(color_scheme="dark")
    found["dark"] = audit_colours(page)
    assert {device: lines for device, lines in found.items() if lines} == {}
    fits_on_a_phone(page)


@pytest.mark.parametrize("asked", PAGES, ids=str)
@pytest.mark.parametrize("language", ["de-AT", "fr-CH"])
def test_longer_words_fit_too(visits: Visits, asked: Opened, language: str) -> None:
    page = opened(visits, asked, language)
    assert page.locator("html").get_attribute("lang") == language[:2]
    fits_on_a_phone(page)


def fits_on_a_phone(page: Page) -> None:
    """Nothing is beyond the edge, also on the narrowest one, and a thumb hits what it aims at."""
    for width in (PHONE["width"], NARROWEST_PX):
        page.set_viewport_size({"width": width, "height": PHONE["height"]})
        assert page.evaluate(WIDE_PARTS) == [], width
        assert page.evaluate(LOW_TARGETS) == [], width


def test_light_and_dark_follow_the_device(visits: Visits) -> None:
    page = visits.page()
    page.goto("/")
    grounds: list[int] = []
    schemes: tuple[Scheme, ...] = ("light", "dark")
    for scheme in schemes:
        page.emulate_media(color_scheme=scheme)
        colour = page.locator("body").evaluate("it => getComputedStyle(it).backgroundColor")
        grounds.append(sum(int(part) for part in re.findall(r"\d+", colour)[:3]))
    light, dark = grounds
    assert light > 3 * 200
    assert dark < 3 * 50


def test_a_record_is_read_as_it_was_signed(visits: Visits) -> None:
    page = opened(visits, next(one for one in PAGES if one.name == "ski"))
    page.locator("a[href*='/records/']").first.click()
    assert re.search(r"/records/[0-9a-f]{64}$", page.url)
    assert audit(page) == []
    assert page.evaluate(WIDE_PARTS) == []


def test_no_page_is_left_out() -> None:
    fill = {"share": "token", "range": "1"}
    paths = [urlsplit(one.path.format(**fill)).path for one in PAGES if one.status == 200]
    tried = {resolve(path).url_name for path in paths}
    assert {pattern.name for pattern in urlpatterns} - tried == NO_PAGES | LINKED

"""A buyer has a link and nothing else; the shop can end it at any time."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.browser.codes import read_codes
from tests.browser.visits import PHONE, Visits

TAG = "VH-101-A"


def test_a_link_is_sent_opened_and_ended(visits: Visits) -> None:
    shop, buyer = visits.page("owner"), visits.page(viewport=PHONE)
    link = made_on_the_page(shop)
    buyer.goto(link)
    expect(buyer.get_by_role("heading", level=1)).to_contain_text(TAG)
    shop.goto("/shop/links")
    row = shop.get_by_role("listitem").filter(has=shop.get_by_role("link", name=TAG))
    expect(row).to_contain_text("Opened 1 time,")
    row.get_by_role("button", name="Revoke").click()
    expect(row).to_contain_text("Revoked")
    answer = buyer.goto(link)
    assert answer is not None
    assert answer.status == 404
    expect(buyer.get_by_role("heading", level=1)).to_have_text("This link opens nothing")
    # A browser notes what is not found as an error.
    visits.watch.forget()


def made_on_the_page(shop: Page) -> str:
    """Make a link; the code beside it says the same, and neither is shown again."""
    shop.goto("/shop/links")
    shop.get_by_label("Tag of the ski").fill(TAG)
    shop.get_by_role("button", name="Make it").click()
    link = shop.locator("[role=status] code").inner_text()
    assert read_codes(shop.locator("svg.code")) == [link]
    shop.goto("/shop/links")
    expect(shop.locator("[role=status] code")).to_have_count(0)
    return link


def test_a_buyer_chooses_the_language(visits: Visits) -> None:
    page = visits.page(viewport=PHONE)
    page.goto(visits.node.fill("/s/{share}"))
    page.get_by_role("button", name="Français").click()
    expect(page.locator("html")).to_have_attribute("lang", "fr")
    assert page.url.endswith(visits.node.fill("/s/{share}"))
    expect(page.get_by_role("main")).to_contain_text(re.compile(r"1,\d\d\smm"))


def test_a_buyer_is_let_nowhere_else(visits: Visits) -> None:
    page = visits.page()
    page.goto(visits.node.fill("/s/{share}"))
    own = f"^({re.escape(visits.node.fill('/s/{share}'))}|#|/$|/enter|/docs/)"
    links = page.locator("a").evaluate_all("all => all.map(one => one.getAttribute('href'))")
    assert [link for link in links if not re.match(own, link)] == []

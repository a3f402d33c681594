"""The way in: who may, who may not, and in which language."""

from __future__ import annotations

from playwright.sync_api import expect

from tests.browser.visits import PHONE, Visits


def test_a_guest_is_told_what_this_is_and_where_to_log_in(visits: Visits) -> None:
    page = visits.page(viewport=PHONE)
    page.goto("/")
    page.get_by_role("main").get_by_role("link", name="Log in").click()
    expect(page.get_by_label("Password")).to_be_visible()


def test_a_wrong_password_lets_nobody_in(visits: Visits) -> None:
    page = visits.page()
    page.goto("/enter")
    name, _ = visits.node.people["reader"]
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill("not the password")
    page.get_by_role("main").get_by_role("button", name="Log in").click()
    expect(page.get_by_role("alert")).to_be_visible()
    expect(page.get_by_label("Name")).to_have_value(name)
    page.goto("/fleet")
    assert "/enter" in page.url
    # A browser notes a refusal as an error.
    visits.watch.forget()


def test_a_language_that_is_chosen_stays(visits: Visits) -> None:
    page = visits.page()
    page.goto("/")
    page.get_by_role("button", name="Deutsch").click()
    expect(page.locator("html")).to_have_attribute("lang", "de")
    page.goto("/enter")
    expect(page.locator("html")).to_have_attribute("lang", "de")
    expect(page.get_by_role("heading", level=1)).to_have_text("Anmelden")


def test_whoever_logs_out_is_out(visits: Visits) -> None:
    page = visits.page()
    page.goto("/enter")
    name, password = visits.node.people["operator"]
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(password)
    page.get_by_role("main").get_by_role("button", name="Log in").click()
    page.get_by_role("button", name="Log out").click()
    page.goto("/node")
    assert "/enter" in page.url

"""Who is let in: somebody joins a shop and leaves it, and a program does."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.visits import PHONE, Visits, enter

NAME, OWN = "hire-winter", "three pairs before noon"
SKI = "/t/veskerdal-hire/VH-103-B"


def test_a_reader_comes_and_goes(visits: Visits) -> None:
    owner, reader = visits.page("owner"), visits.page(viewport=PHONE)
    password = let_in(owner)
    enter(reader, NAME, password)
    change_password(reader, password)
    reader.goto(SKI)
    expect(reader.get_by_role("heading", level=1)).to_contain_text("VH-103-B")
    expect(reader.get_by_role("button", name="Make a certificate")).to_have_count(0)
    expect(reader.get_by_role("link", name="To the bench")).to_have_count(0)
    remove(owner)
    reader.goto(SKI)
    assert "/enter" in reader.url


def let_in(owner: Page) -> str:
    """The first password is on the page once."""
    owner.goto("/shop/people")
    form = owner.locator("form[action$='/shop/people']")
    form.locator("[name=username]").fill(NAME)
    form.locator("[name=role]").select_option("reader")
    form.get_by_role("button", name="Let in").click()
    password = owner.locator("[role=status] .figure").inner_text()
    owner.goto("/shop/people")
    expect(owner.locator("[role=status] .figure")).to_have_count(0)
    return password


def change_password(page: Page, old: str) -> None:
    page.goto("/own/password")
    page.locator("[name=old]").fill(old)
    page.locator("[name=new]").fill(OWN)
    page.locator("[name=again]").fill(OWN)
    page.get_by_role("button", name="Change it").click()
    page.get_by_role("button", name="Log out").click()
    enter(page, NAME, OWN)


def remove(owner: Page) -> None:
    owner.get_by_text(f"Change {NAME}").click()
    owner.get_by_role("link", name=f"Remove {NAME}").click()
    owner.get_by_role("button", name=f"Remove {NAME}").click()
    expect(owner.get_by_role("main").get_by_text(f"Change {NAME}")).to_have_count(0)


def test_a_program_has_a_key_until_it_is_revoked(visits: Visits) -> None:
    page = visits.page("owner")
    page.goto("/shop/keys")
    page.get_by_label("read", exact=True).check()
    page.get_by_role("button", name="Make it").click()
    token = page.locator("[role=status] code").inner_text()
    asked = {"Authorization": f"Bearer {token}"}
    assert page.request.get("/api/v1/fleet", headers=asked).status == 200
    page.goto("/shop/keys")
    page.get_by_role("button", name=f"Revoke {token.split('_')[1]}").click()
    expect(page.get_by_role("main")).to_contain_text("Revoked")
    assert page.request.get("/api/v1/fleet", headers=asked).status == 401

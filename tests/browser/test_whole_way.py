"""From an empty label to the certificate in the buyer's hand, as people go that way."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect

from tests.browser.codes import read_codes
from tests.browser.printing import printed
from tests.browser.visits import PHONE, Visits

BEGINNING = "WAY-"
REMARK = "scratched by the brush <b onclick=alert()>as before</b>"
TECHNICIAN = "vh2"


def test_from_the_label_to_the_certificate(visits: Visits) -> None:
    phone = logged_in_on_the_way_to_the_labels(visits)
    left, right = issue_and_print(phone)
    for address in (left, right):
        register(phone, address)
    pair(phone, left, right)
    tags = [address.rpartition("/")[2] for address in (left, right)]
    plan_and_write(phone, tags)
    certificate = certify(phone, tags[0])
    live = read_certificate(phone, tags[0])
    assert certificate == f"{live}/certificate"
    as_the_buyer_sees_it(visits, live, tags[0])


def logged_in_on_the_way_to_the_labels(visits: Visits) -> Page:
    """Whoever isn't logged in comes to the page that was asked for, by way of the log-in."""
    page = visits.page(viewport=PHONE)
    page.goto("/labels")
    assert "/enter?next=" in page.url
    name, password = visits.node.people["technician"]
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(password)
    page.get_by_role("main").get_by_role("button", name="Log in").click()
    page.wait_for_url("**/labels")
    return page


def issue_and_print(page: Page) -> list[str]:
    """Two labels are issued, and each one's code says where its ski is found."""
    page.get_by_label("Beginning of the tags").fill(BEGINNING)
    page.get_by_label("How many").fill("2")
    page.get_by_role("button", name="Issue them").click()
    expect(page.locator(".message")).to_contain_text("2 tags are issued")
    page.get_by_label("Labels", exact=True).select_option("a4-3x8-70x37")
    page.get_by_role("button", name="Lay out").click()
    # As large as a scanner in the hand sees it.
    page.set_viewport_size({"width": 1600, "height": 1200})
    addresses = read_codes(page.locator("svg.sheet"))
    (sheet,) = printed(page)
    for address in addresses:
        assert address.rpartition("/")[2] in sheet.text
    page.set_viewport_size(PHONE)
    assert len(addresses) == 2
    return addresses


def register(page: Page, address: str) -> None:
    """The scanner at the bench types the whole address and sends Enter."""
    page.goto("/bench")
    expect(page.get_by_label("Tag on the ski")).to_be_focused()
    page.keyboard.type(address)
    page.keyboard.press("Enter")
    expect(page.get_by_role("main")).to_contain_text("on no ski yet")
    page.get_by_label("Model as printed on the ski").fill("Skarnlund Easy 74")
    page.get_by_label("Length in mm").fill("1620")
    page.get_by_role("button", name="Register the ski").click()
    page.wait_for_url(f"**/bench/veskerdal-hire/{address.rpartition('/')[2]}*")


def pair(page: Page, left: str, right: str) -> None:
    """From the page of the one, the label of the other is scanned."""
    tags = [address.rpartition("/")[2] for address in (left, right)]
    page.goto(left)
    page.get_by_role("link", name="Record its pair").click()
    expect(page.get_by_label("Tag of the other ski")).to_be_focused()
    page.keyboard.type(right)
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/bench/veskerdal-hire/{tags[0]}")
    expect(page.get_by_role("columnheader")).to_have_text(tags)


def plan_and_write(page: Page, tags: list[str]) -> None:
    """The plan becomes a job, which is looked at and then written for both skis."""
    page.goto(f"/bench/veskerdal-hire/{tags[0]}/plan")
    page.get_by_label("Base bevel, both edges").fill("0,5")
    page.get_by_label("Side, both edges").fill("88")
    page.get_by_label("Wax at the end").check()
    page.get_by_role("button", name="Work it out").click()
    page.get_by_role("link", name="Write this as a job").click()
    page.locator("[name=measurements-0-before_0]").fill("1,85")
    page.locator("[name=measurements-0-after_0]").fill("1800 µm")
    page.locator("[name=head-remarks_0]").fill(REMARK)
    page.get_by_role("button", name="Look at it before it is written").click()
    expect(page.locator(".bench-record")).to_have_count(2)
    page.get_by_role("button", name="Write", exact=True).click()
    expect(page.locator("[data-written]")).to_contain_text("Written: 2 records.")


def certify(page: Page, tag: str) -> str:
    """The tag page says what was written, and leads to a certificate."""
    page.goto(f"/t/veskerdal-hire/{tag}")
    main = page.get_by_role("main")
    for said in (REMARK, TECHNICIAN, "0.5°", "2.0°"):
        expect(main).to_contain_text(said)
    page.get_by_role("button", name="Make a certificate").click()
    page.wait_for_url("**/s/*/certificate")
    return page.url


def read_certificate(page: Page, tag: str) -> str:
    """The paper says which ski it is, fits on two sheets of A4, and its code leads back."""
    sheets = printed(page)
    assert 1 <= len(sheets) <= 2
    assert {(round(one.width_mm), round(one.height_mm)) for one in sheets} == {(210, 297)}
    text = " ".join(one.text for one in sheets)
    assert tag in text
    assert "scratched by the brush" not in text
    page.set_viewport_size({"width": 1600, "height": 1200})
    (live,) = read_codes(page.locator(".code-figure"))
    return live


def as_the_buyer_sees_it(visits: Visits, live: str, tag: str) -> None:
    """On a device of its own, without a log-in: the same ski, and neither technician nor remark."""
    page = visits.page(viewport=PHONE)
    page.goto(live)
    expect(page.get_by_role("heading", level=1)).to_contain_text(tag)
    text = page.content()
    assert "0.5°" in text
    nickname, _ = visits.node.people["technician"]
    for hidden in ("scratched by the brush", TECHNICIAN, "/bundle", nickname):
        assert not re.search(rf"\b{hidden}\b", text), hidden
    expect(page.get_by_role("main")).to_contain_text("Left out for you")
    answer = page.goto(f"/t/veskerdal-hire/{tag}")
    assert answer is not None
    assert "/enter" in page.url

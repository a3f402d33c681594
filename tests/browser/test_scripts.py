"""What the scripts of the bench add: a plan that answers while it is typed, and a kept form."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.visits import PHONE, Visits

JOB = "/bench/veskerdal-hire/VH-112-A/job"
REMARK = "[name=head-remarks_0]"
KEPT = "the base whistles"
# Asked so and not by a function of Playwright's that waits: that one needs what the policy forbids.
IS_KEPT = """() => new Promise((kept) => {
  const look = () => (localStorage.length ? kept() : setTimeout(look, 20));
  look();
})"""


def test_a_plan_answers_while_it_is_typed(visits: Visits) -> None:
    page = visits.page("technician")
    page.goto("/bench/veskerdal-hire/VH-114-A/plan")
    page.evaluate("window.isTheSamePage = true")
    page.get_by_label("Base bevel, both edges").press_sequentially("0,5")
    expect(page.locator("#answer h2")).to_have_text("Answer")
    first = page.locator("#answer").inner_text()
    page.get_by_label("Side, both edges").press_sequentially("87")
    expect(page.locator("#answer")).to_contain_text("3.0°")
    assert page.locator("#answer").inner_text() != first
    expect(page.locator("[data-outcome]")).not_to_be_empty()
    assert page.evaluate("window.isTheSamePage")
    # The address is the plan's, so that it can be handed on as it stands.
    assert "side=87" in page.url


def test_a_row_is_added_in_place(visits: Visits) -> None:
    page = visits.page("technician")
    page.goto(JOB)
    page.evaluate("window.isTheSamePage = true")
    page.get_by_role("button", name="Add a finding").click()
    expect(page.locator("[name=findings-1-what]")).to_be_visible()
    expect(page.locator("[name=findings-1-on]")).to_be_focused()
    assert page.evaluate("window.isTheSamePage")


def test_an_unsent_form_outlasts_a_dead_network(visits: Visits) -> None:
    page = visits.page("technician", viewport=PHONE)
    page.goto(JOB)
    page.locator("[name=steps-0-operation]").select_option("brush")
    page.locator(REMARK).fill(KEPT)
    page.context.set_offline(True)
    page.get_by_role("button", name="Look at it before it is written").click()
    expect(page.locator("[data-draft-said]")).to_contain_text("Not sent; kept on this device")
    expect(page.locator(REMARK)).to_have_value(KEPT)
    assert page.url.endswith(JOB)
    # What the browser itself says of a network that is not there.
    visits.watch.forget()
    page.context.set_offline(False)
    later = restored_on_another_day(page)
    written(later)
    later.goto(JOB)
    expect(later.locator("[data-draft-said]")).to_be_hidden()
    expect(later.locator(REMARK)).to_have_value("")


def restored_on_another_day(page: Page) -> Page:
    """The tab is closed; the form is there again in the next one."""
    context = page.context
    page.close()
    later = context.new_page()
    later.goto(JOB)
    expect(later.locator("[data-draft-said]")).to_contain_text("is back in the form")
    expect(later.locator(REMARK)).to_have_value(KEPT)
    expect(later.locator("[name=steps-0-operation]")).to_have_value("brush")
    return later


def written(page: Page) -> None:
    page.get_by_role("button", name="Look at it before it is written").click()
    page.get_by_role("button", name="Write", exact=True).click()
    expect(page.locator("[data-written]")).to_contain_text("Written: 2 records.")


def test_an_unsent_form_can_be_thrown_away(visits: Visits) -> None:
    page = visits.page("technician")
    page.goto(JOB)
    page.locator(REMARK).fill(KEPT)
    page.evaluate(IS_KEPT)
    page.goto("/bench")
    page.goto(JOB)
    page.get_by_role("button", name="Throw it away").click()
    expect(page.locator(REMARK)).to_have_value("")
    expect(page.locator("[data-draft-said]")).to_be_hidden()
    assert page.evaluate("localStorage.length") == 0

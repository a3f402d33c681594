"""Whoever has no mouse, or a glove on, does all by keys."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.visits import Visits

MOST_STEPS = 120
FOCUSED = """(wanted) => {
  const here = document.activeElement;
  const { top, bottom } = here.getBoundingClientRect();
  return {
    found: here.matches(wanted),
    seen: getComputedStyle(here).outlineStyle !== "none",
    inView: bottom > 0 && top < innerHeight,
    what: here.outerHTML.slice(0, 100),
  };
}"""


def step_to(page: Page, wanted: str) -> None:
    """Press Tab until the focus is there; on the way it is always seen."""
    for _ in range(MOST_STEPS):
        page.keyboard.press("Tab")
        focus = page.evaluate(FOCUSED, wanted)
        assert focus["seen"], focus
        assert focus["inView"], focus
        if focus["found"]:
            return
    raise AssertionError(f"{wanted} isn't reached by Tab.")


def test_a_job_is_written_by_keys_alone(visits: Visits) -> None:
    page = visits.page("technician")
    page.goto("/bench")
    # The field takes the focus a moment after the page is there.
    expect(page.locator("[name=tag]")).to_be_focused()
    page.keyboard.type("VH-109-A")
    page.keyboard.press("Enter")
    page.wait_for_url("**/VH-109-A")
    step_to(page, "a[href$='/job']")
    page.keyboard.press("Enter")
    page.wait_for_url("**/job")
    fill_by_keys(page)
    step_to(page, "button[name=look]")
    page.keyboard.press("Enter")
    expect(page.locator(".bench-record").first).to_contain_text("4,5 passes by hand")
    step_to(page, "button[name=write]")
    page.keyboard.press("Enter")
    expect(page.locator("[data-written]")).to_contain_text("Written: 2 records.")


def fill_by_keys(page: Page) -> None:
    """Choose a step by its first letters, add a row for the next one, and write a remark."""
    step_to(page, "[name=steps-0-operation]")
    page.keyboard.type("Brush")
    step_to(page, "button[name=add][value=steps]")
    page.keyboard.press("Enter")
    expect(page.locator("[name=steps-3-on]")).to_be_focused()
    step_to(page, "[name=head-remarks_0]")
    page.keyboard.type("4,5 passes by hand")


def test_the_first_key_leads_past_the_head(visits: Visits) -> None:
    page = visits.page("technician")
    page.goto("/fleet")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="To the content")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#main")).to_be_focused()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('main') !== null")

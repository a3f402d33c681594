"""The bench with a browser that runs no scripts, or that never got them."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.visits import PHONE, Visits


@pytest.fixture
def plain(visits: Visits) -> Page:
    return visits.page("technician", viewport=PHONE, scripts=False)


def test_a_plan_is_answered(plain: Page) -> None:
    plain.goto("/bench/veskerdal-hire/VH-110-A/plan")
    plain.get_by_label("Base bevel, both edges").fill("0.7")
    plain.get_by_label("Side, both edges").fill("87")
    plain.get_by_role("button", name="Work it out").click()
    answer = plain.locator("#answer")
    expect(answer.get_by_role("heading", name="Answer")).to_be_visible()
    expect(answer).to_contain_text("3.0°")
    assert "base=0.7" in plain.url


def test_what_cannot_be_read_is_said_at_its_field(visits: Visits, plain: Page) -> None:
    plain.goto("/bench/veskerdal-hire/VH-110-A/plan")
    field = plain.get_by_label("Base bevel, both edges")
    field.fill("half")
    plain.get_by_role("button", name="Work it out").click()
    expect(field).to_have_value("half")
    expect(field).to_have_attribute("aria-invalid", "true")
    error = plain.locator(f"#{field.get_attribute('aria-describedby')}")
    expect(error).to_be_visible()
    # A form that is refused is answered as such, which a browser notes as an error.
    visits.watch.forget()


def test_a_row_is_added_and_nothing_is_lost(plain: Page) -> None:
    plain.goto("/bench/veskerdal-hire/VH-110-A/job")
    plain.locator("[name=steps-0-operation]").select_option("wax")
    plain.locator("[name=head-remarks_1]").fill("the left one is the older")
    plain.get_by_role("button", name="Add a step").click()
    expect(plain.locator("[name=steps-3-operation]")).to_be_visible()
    expect(plain.locator("[name=steps-0-operation]")).to_have_value("wax")
    expect(plain.locator("[name=head-remarks_1]")).to_have_value("the left one is the older")


def test_a_job_is_looked_at_and_written(plain: Page) -> None:
    plain.goto("/bench/veskerdal-hire/VH-110-A/job")
    plain.locator("[name=steps-0-operation]").select_option("wax")
    plain.locator("[name=bevels-0-base_bevel_deg]").fill("0,75")
    plain.locator("[name=bevels-0-side_bevel_deg]").fill("88")
    plain.get_by_role("button", name="Look at it before it is written").click()
    expect(plain.locator(".bench-record")).to_have_count(2)
    plain.get_by_role("button", name="Write", exact=True).click()
    expect(plain.locator("[data-written]")).to_contain_text("Written: 2 records.")


def test_a_form_that_is_sent_twice_is_written_once(plain: Page) -> None:
    remark, job = "sent twice by a hurried hand", "/bench/veskerdal-hire/VH-115-A/job"
    plain.goto(f"{job}?alone=1")
    plain.locator("[name=head-remarks_0]").fill(remark)
    plain.get_by_role("button", name="Look at it before it is written").click()
    sent = plain.locator("form.bench-job").evaluate("it => Object.fromEntries(new FormData(it))")
    plain.get_by_role("button", name="Write", exact=True).click()
    expect(plain.locator("[data-written]")).to_contain_text("Written: 1 record.")
    again = plain.request.post(job, form={**sent, "write": "1"})
    assert again.url == plain.url
    plain.goto("/t/veskerdal-hire/VH-115-A")
    expect(plain.get_by_text(remark)).to_have_count(1)

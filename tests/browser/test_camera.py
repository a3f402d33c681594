"""The camera at the bench, where the browser itself reads codes."""

from __future__ import annotations

from playwright.sync_api import Page, expect

from tests.browser.visits import PHONE, Visits

# A browser that reads codes, and a camera that sees one: no headless browser brings either.
READS_CODES = """
window.BarcodeDetector = class { async detect() { return window.codes ?? []; } };
"""
SEES = """
const canvas = document.createElement("canvas");
setInterval(() => canvas.getContext("2d").fillRect(0, 0, 9, 9), 50);
navigator.mediaDevices.getUserMedia = async () => (window.stream = canvas.captureStream(5));
"""
REFUSES = """
navigator.mediaDevices.getUserMedia = async () => {
  throw new DOMException("", "NotAllowedError");
};
"""
START = "Scan with the camera"


def bench(visits: Visits, script: str) -> Page:
    page = visits.page("technician", viewport=PHONE)
    page.add_init_script(script)
    page.goto("/bench")
    return page


def test_no_button_where_the_browser_reads_no_codes(visits: Visits) -> None:
    page = bench(visits, "delete window.BarcodeDetector")
    expect(page.locator("[data-scan-start]")).to_be_hidden()


def test_a_label_is_read(visits: Visits) -> None:
    page = bench(visits, READS_CODES + SEES)
    page.get_by_role("button", name=START).click()
    expect(page.locator("video")).to_be_visible()
    page.evaluate("window.codes = [{ rawValue: `${location.origin}/t/veskerdal-hire/VH-108-A` }]")
    page.wait_for_url("**/bench/veskerdal-hire/VH-108-A")


def test_the_camera_is_put_away(visits: Visits) -> None:
    page = bench(visits, READS_CODES + SEES)
    page.get_by_role("button", name=START).click()
    page.get_by_role("button", name="Stop the camera").click()
    expect(page.locator("video")).to_be_hidden()
    assert page.evaluate("window.stream.getTracks().every((one) => one.readyState === 'ended')")
    expect(page.get_by_role("button", name=START)).to_be_visible()


def test_a_camera_that_is_refused_is_said(visits: Visits) -> None:
    page = bench(visits, READS_CODES + REFUSES)
    page.get_by_role("button", name=START).click()
    expect(page.locator("[data-scan-said]")).to_have_text("The camera can't be used. Type the tag.")
    expect(page.get_by_label("Tag on the ski")).to_be_focused()

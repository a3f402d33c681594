"""Those who look on see what they are there to see."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from tests.browser.auditing import audit, audit_colours
from tests.browser.visits import Visits

HEAD = "<!DOCTYPE html><html lang='en'><title>A page</title><main><h1>A page</h1>"
PROVOKED = {
    "another host": "document.body.append(Object.assign(new Image(), {src: 'http://shop.invalid/'}))",
    "a style in the text": "document.body.setAttribute('style', 'color: red')",
    "a script in the text": """() => {
      const script = document.createElement("script");
      script.textContent = "window.ran = true";
      document.body.append(script);
    }""",
    "an error on the console": "console.error('broken')",
    "an error nobody catches": "() => { setTimeout(() => { throw new Error('broken'); }); }",
}


@pytest.mark.parametrize("what", PROVOKED)
def test_what_a_page_may_not_do_is_noted(visits: Visits, what: str) -> None:
    page = visits.page()
    page.goto("/")
    assert visits.watch.complaints == []
    page.evaluate(PROVOKED[what])
    page.evaluate("new Promise(done => setTimeout(done, 50))")
    page.goto("/enter")
    assert visits.watch.complaints
    visits.watch.forget()


def shown(visits: Visits, body: str) -> Page:
    page = visits.page()
    page.set_content(HEAD + body)
    return page


def test_a_field_without_a_name_is_found(visits: Visits) -> None:
    assert audit(shown(visits, "<label>Tag <input></label>")) == []
    assert any(line.startswith("label at input") for line in audit(shown(visits, "<input>")))


def test_a_faint_text_is_found(visits: Visits) -> None:
    assert audit_colours(shown(visits, "<p>clear</p>")) == []
    (line,) = audit_colours(shown(visits, "<p style='color: #bbb'>faint</p>"))
    assert line.startswith("color-contrast at p")

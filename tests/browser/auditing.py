"""Asks axe-core what is in the way of people on a page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

STANDARDS = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice")
# All that depends on colours; the rest of a page is the same in light and dark.
COLOUR_RULES = ("color-contrast", "link-in-text-block")


def audit(page: Page) -> list[str]:
    """Hold the page, as it is drawn now, to every rule of the standards; a line a violation."""
    return _violations(page, {"type": "tag", "values": STANDARDS})


def audit_colours(page: Page) -> list[str]:
    """Hold only the colours of the page to the standards; a line a violation."""
    return _violations(page, {"type": "rule", "values": COLOUR_RULES})


def _violations(page: Page, only: dict[str, Any]) -> list[str]:
    options = {"resultTypes": ["violations"], "runOnly": only}
    found = Axe().run(page, options=options).response["violations"]
    return [_line(violation, node) for violation in found for node in violation["nodes"]]


def _line(violation: dict[str, Any], node: dict[str, Any]) -> str:
    target: Sequence[str] = node["target"]
    reasons = [check["message"] for check in (*node["any"], *node["all"], *node["none"])]
    return f"{violation['id']} at {' '.join(target)}: {'; '.join(reasons)}"

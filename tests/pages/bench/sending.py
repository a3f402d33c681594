"""Fills in the form of a job as a browser would send it."""

from __future__ import annotations

from html.parser import HTMLParser
from typing import Any

from django.test import Client
from django.utils import timezone

from apps.pages.bench.job_form import SECTIONS
from tests.pages.bench.pair import CODE, LEFT

# What is chosen in a row that nobody touched.
CHOSEN = {
    "findings-0-severity": "moderate",
    "findings-0-state": "open",
    "profiles-0-moment": "before",
    "bevels-0-edge": "both",
    "bevels-0-basis": "set",
}
HEAD_DAY = "head-performed_on"
PAGE = f"/bench/{CODE}/{LEFT}/job"


class Filled(HTMLParser):
    """Reads out of a page what a browser would send of its form of a job."""

    def __init__(self, page: Any) -> None:
        super().__init__()
        self.values: dict[str, str] = {}
        self._select = self._area = ""
        self._is_in_form = False
        self._templates = 0
        self.feed(page.content.decode())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self._is_in_form = "data-job" in given
        self._templates += tag == "template"
        if not self._is_in_form or self._templates:
            return
        name = given.get("name", "")
        if tag == "input":
            self.values[name] = given.get("value", "")
        elif tag == "select":
            self._select = name
            self.values[name] = ""
        elif tag == "option" and "selected" in given:
            self.values[self._select] = given["value"]
        elif tag == "textarea":
            self._area = name
            self.values[name] = ""

    def handle_endtag(self, tag: str) -> None:
        self._templates -= tag == "template"
        if tag == "textarea":
            self._area = ""

    def handle_data(self, data: str) -> None:
        if self._area:
            self.values[self._area] += data.removeprefix("\n")


def filled(page: Any) -> dict[str, str]:
    """What a browser would send of a page, without the token that it need not send in tests."""
    values = Filled(page).values
    values.pop("csrfmiddlewaretoken", None)
    return values


def fresh(client: Client, address: str = PAGE, **changed: str) -> dict[str, str]:
    """A fresh form with some fields filled in; `_` stands for `-` in `__`."""
    return {**filled(client.get(address)), **named(changed)}


def bare(**changed: str) -> dict[str, str]:
    """The least that a browser would send: one row in each section, all of them empty."""
    rows = {f"{section}-rows": "1" for section in SECTIONS}
    day = {HEAD_DAY: timezone.localdate().isoformat()}
    return {**day, **rows, **CHOSEN, **named(changed)}


def named(changed: dict[str, str]) -> dict[str, str]:
    """Fields by their names, with a double low line where the form has a hyphen."""
    return {name.replace("__", "-"): value for name, value in changed.items()}


def look(client: Client, values: dict[str, str], address: str = PAGE) -> Any:
    """Ask to see what would be written."""
    return client.post(address, {**values, "look": "1"})


def confirm(client: Client, looked: Any, address: str = PAGE, **changed: str) -> Any:
    """Write what was shown."""
    return client.post(address, {**filled(looked), **named(changed), "write": "1"})


def errors_of(page: Any) -> dict[str, str]:
    """The faults of a form by the names of the fields; "" for those above it."""
    form = page.context["form"]
    found = {}
    for part in form.parts:
        for name, errors in part.errors.items():
            found[part.add_prefix(name)] = errors.as_text()
    return found | ({"": " ".join(form.faults)} if form.faults else {})

"""What holds for every page: its policy, no copies of it, forms that only it can send, no NUL."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from django.contrib.auth.models import User
from django.test import Client
from pytest_django import Settings

from apps.pages.middleware import POLICY
from tests.pages.people import PASSWORD
from tests.pages.test_access import ADDRESSES, DONE, Address, Node, kept
from tests.pages.test_access import node as node

WHO = ("guest", "owner")


class Inline(HTMLParser):
    """Finds what the policy would not let run, and forms that could be sent from elsewhere."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self._form = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.found += [name for name in given if name == "style" or name.startswith("on")]
        if tag == "style" or (tag == "script" and "src" not in given):
            self.found.append(tag)
        if tag == "form" and given.get("method") == "post":
            self._form = given.get("action", "here")
        if given.get("name") == "csrfmiddlewaretoken":
            self._form = ""

    def handle_endtag(self, tag: str) -> None:
        if tag == "form" and self._form:
            self.found.append(f"form without a token: {self._form}")


def test_every_answer_carries_the_policy_and_is_kept_nowhere(node: Node) -> None:
    for name, address in ADDRESSES.items():
        for who in WHO:
            answer = node.client(who).get(address.path.format_map(node.named))
            said = {
                "Content-Security-Policy": POLICY,
                "Cache-Control": "private, no-store",
                "X-Content-Type-Options": "nosniff",
                "X-Frame-Options": "DENY",
                "Referrer-Policy": "same-origin",
            }
            assert {one: answer.get(one) for one in said} == said, (name, who)
            assert {"Cookie", "Accept-Language"} <= set(re.split(", ?", answer["Vary"]))


def test_nothing_is_inline_and_every_form_has_its_token(node: Node) -> None:
    for name, address in ADDRESSES.items():
        answer = node.client("owner").get(address.path.format_map(node.named))
        if answer["Content-Type"].startswith("text/html"):
            assert Inline(answer.content.decode()).found == [], name


@pytest.mark.parametrize("page", ['<p style="a">', "<p onclick=a>", "<script>a</script>"])
def test_what_is_inline_would_be_found(page: str) -> None:
    assert len(Inline(page).found) == 1
    assert Inline('<form method="post" action="/leave"></form>').found


def test_no_form_is_taken_from_elsewhere(node: Node) -> None:
    before = kept()
    for name, address in ADDRESSES.items():
        for who in ("guest", "owner"):
            if address.post[who] == DONE:
                assert _forged(node, who, address) == 403, name
    assert _forged(node, "guest", ADDRESSES["enter"]) == 403
    assert kept() == before


def _logged_in(user: User) -> Client:
    """A browser at which somebody logged in by the form, so that its cookies are the node's."""
    user.set_password(PASSWORD)
    user.save()
    client = Client()
    client.post("/enter", {"username": user.username, "password": PASSWORD})
    return client


def _forged(node: Node, who: str, address: Address) -> int:
    client = Client(enforce_csrf_checks=True)
    if who in node.users:
        client.force_login(node.users[who])
    return client.post(address.path.format_map(node.named), address.sent).status_code


def test_no_page_is_called_by_a_nul(node: Node) -> None:
    for address in ADDRESSES.values():
        named = dict.fromkeys(node.named, "a\0b")
        path = address.path.format_map(named).replace("\0", "%00")
        if "%00" in path:
            for answer in (node.client("owner").get(path), node.client("owner").post(path)):
                assert answer.status_code == 404
                assert "Nothing is here under this address" in answer.content.decode()


@pytest.mark.parametrize("production", [True, False])
def test_cookies_stay_with_the_pages(node: Node, production: bool, settings: Settings) -> None:
    for name in ("SESSION_COOKIE_SECURE", "CSRF_COOKIE_SECURE", "LANGUAGE_COOKIE_SECURE"):
        setattr(settings, name, production)
    client = _logged_in(node.users["owner"])
    client.get("/shop/keys")
    client.post("/shop/keys", ADDRESSES["keys"].sent)
    client.post("/language", {"language": "de"})
    client.post("/own", {"unit": "um"})
    flags = {name: (bool(one["secure"]), one["samesite"]) for name, one in client.cookies.items()}
    assert flags == {
        "sessionid": (production, "Lax"),
        "csrftoken": (production, "Lax"),
        "django_language": (production, "Lax"),
        "shown-once": (production, "Strict"),
        "messages": (production, "Lax"),
    }
    for name in ("sessionid", "shown-once", "messages"):
        assert client.cookies[name]["httponly"]

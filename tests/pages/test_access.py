"""Every address of the pages by every kind of visitor: what opens, is refused, and changes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.db import models
from django.test import Client

from apps.pages.urls import urlpatterns
from apps.registry.actions import issue_api_key
from apps.registry.actors import Actor, Scope
from apps.registry.label_ranges import issue_range
from apps.registry.models import LookUp
from apps.registry.sharing import make_share_link
from tests.pages.people import a_person, an_operator, sitting
from tests.registry.making import TAG, a_shop, a_ski

KINDS = ("guest", "reader", "technician", "owner", "other", "operator")
"""`other` owns another shop of the node."""
DOOR = "door"
"""Led to the log-in."""
DONE = "302"

Outcomes = Mapping[str, str]


def outcomes(everybody: str, **but: str) -> Outcomes:
    """Give what each kind of visitor is answered."""
    return {kind: but.get(kind, everybody) for kind in KINDS}


OPEN = outcomes("200")
CLOSED = outcomes("405")
PEOPLE = outcomes("200", guest=DOOR)
SHOPS = outcomes("200", guest=DOOR, operator="403")
OWN_SHOP = outcomes("200", guest=DOOR, operator="403", other="404")
OWNERS = outcomes("403", guest=DOOR, owner="200", other="200")
OPERATORS = outcomes("403", guest=DOOR, operator="200")


def writers(done: str, *, other: str) -> Outcomes:
    """What only writers may: of the shop, and of another one as far as that goes there."""
    return outcomes(done, guest=DOOR, reader="403", operator="403", other=other)


def owners(done: str, *, other: str) -> Outcomes:
    """What only owners may."""
    return outcomes("403", guest=DOOR, owner=done, other=other)


@dataclass(frozen=True)
class Address:
    """An address and what comes of it.

    Parameters
    ----------
    path : str
        With what the node holds in braces.
    get, post : mapping of str
        Outcomes by kind of visitor.
    sent : mapping of str
        What is posted: something that would be taken from whoever may.
    """

    path: str
    get: Outcomes
    post: Outcomes = field(default_factory=lambda: CLOSED)
    sent: Mapping[str, str] = field(default_factory=dict)


ROOT = "{shop}/{tag}"
LOGGED_IN = outcomes(DONE, guest="200")
PERSON = "/shop/people/{person}"
ADDRESSES: Mapping[str, Address] = {
    "home": Address("/", OPEN),
    "enter": Address("/enter", LOGGED_IN, outcomes(DONE, guest="422"), {"username": "nobody"}),
    "leave": Address("/leave", CLOSED, outcomes(DONE)),
    "language": Address("/language", CLOSED, outcomes(DONE), {"language": "de"}),
    "own": Address("/own", SHOPS, outcomes(DONE, guest=DOOR, operator="403"), {"unit": "um"}),
    "password": Address(
        "/own/password",
        PEOPLE,
        outcomes("422", guest=DOOR),
        {"old": "not-mine", "new": "a-long-new-one", "again": "a-long-new-one"},
    ),
    "ski": Address(f"/t/{ROOT}", SHOPS),
    "ski-bundle": Address(f"/t/{ROOT}/bundle", SHOPS),
    "ski-record": Address(
        f"/t/{ROOT}/records/{{record}}",
        SHOPS,
        writers(DONE, other=DONE),
        {"reason": "wrong_ski"},
    ),
    "ski-use": Address(
        f"/t/{ROOT}/use",
        writers("200", other="403"),
        writers(DONE, other="403"),
        {"days": "3", "day": "2025-02-01"},
    ),
    "ski-status": Address(
        f"/t/{ROOT}/status",
        writers("200", other="403"),
        writers(DONE, other="403"),
        {"status": "on_bench"},
    ),
    "certificate-make": Address(f"/t/{ROOT}/certificate", CLOSED, writers(DONE, other="403")),
    "ski-pair": Address(
        f"/t/{ROOT}/pair", writers("200", other="403"), writers("422", other="403"), {"tag": TAG}
    ),
    "shared": Address("/s/{token}", OPEN),
    "shared-certificate": Address("/s/{token}/certificate", OPEN),
    "bench": Address("/bench", SHOPS, writers(DONE, other=DONE), {"new-tag": "NEW-1"}),
    "bench-ski": Address(f"/bench/{ROOT}", SHOPS),
    "plan": Address(f"/bench/{ROOT}/plan?base=0.5&side=2", SHOPS),
    "job": Address(f"/bench/{ROOT}/job", writers("200", other="200"), writers("400", other="400")),
    "fleet": Address("/fleet", SHOPS),
    "fleet-csv": Address("/fleet/fleet.csv", SHOPS),
    "due": Address("/fleet/due", SHOPS),
    "due-csv": Address("/fleet/due.csv", SHOPS),
    "outlook": Address("/fleet/outlook", SHOPS),
    "pairs": Address("/fleet/pairs", SHOPS),
    "rates": Address("/fleet/rates", SHOPS),
    "labels": Address(
        "/labels", SHOPS, writers(DONE, other=DONE), {"beginning": "NEW-", "count": "2"}
    ),
    "labels-style": Address("/labels/page.css?width=210&height=297", SHOPS),
    "labels-again": Address("/labels/tags/print?tags=FB-0042", SHOPS),
    "labels-print": Address("/labels/{range}/print", OWN_SHOP),
    "people": Address(
        "/shop/people", OWNERS, owners(DONE, other=DONE), {"username": "new", "role": "reader"}
    ),
    "person-role": Address(f"{PERSON}/role", CLOSED, owners(DONE, other="422"), {"role": "owner"}),
    "person-alias": Address(f"{PERSON}/alias", CLOSED, owners(DONE, other="422"), {"alias": "T9"}),
    "person-password": Address(f"{PERSON}/password", CLOSED, owners(DONE, other="422")),
    "person-remove": Address(
        f"{PERSON}/remove", owners("200", other="404"), owners(DONE, other="422")
    ),
    "keys": Address(
        "/shop/keys", OWNERS, owners(DONE, other=DONE), {"scopes": "read", "days": "9"}
    ),
    "key-revoke": Address("/shop/keys/{key}/revoke", CLOSED, owners(DONE, other="403")),
    "share-links": Address(
        "/shop/links", SHOPS, writers(DONE, other="422"), {"tag": TAG, "days": "9"}
    ),
    "share-link-revoke": Address(
        "/shop/links/{link}/revoke",
        CLOSED,
        writers(DONE, other="404"),
    ),
    "looks": Address("/shop/looks", SHOPS),
    "practice": Address("/shop/practice", SHOPS),
    "node": Address("/node", OPERATORS),
}


class Node:
    """A node with two shops and what the addresses name."""

    def __init__(self, shop: Actor, other: Actor) -> None:
        self.users = {
            "reader": a_person(shop.handle, "reader"),
            "technician": a_person(shop.handle, "technician"),
            "owner": a_person(shop.handle, "owner"),
            "other": a_person(other.handle, "owner", "other.one"),
            "operator": an_operator(),
        }
        a_person(shop.handle, "reader", "somebody")
        link = make_share_link(shop=shop.handle, tag=TAG, by=shop)
        issued = issue_api_key(shop=shop.handle, scopes=frozenset({Scope.READ}), by=shop)
        self.shop = shop
        self.named = {
            "shop": "fellbench",
            "tag": TAG,
            "record": _first_record(),
            "token": link.token,
            "link": link.prefix,
            "key": issued.token.split("_")[1],
            "range": str(issue_range(prefix="FB-", count=2, by=shop).pk),
            "person": "somebody",
        }

    def client(self, kind: str) -> Client:
        """A browser at which such a visitor sits."""
        return sitting(self.users[kind]) if kind in self.users else Client()

    def outcome(self, kind: str, address: Address, method: str) -> str:
        """Ask for an address as a visitor of some kind."""
        client, path = self.client(kind), address.path.format_map(self.named)
        response = client.get(path) if method == "get" else client.post(path, address.sent)
        return _outcome(response)


def _first_record() -> str:
    record = apps.get_model("registry", "Record")._default_manager.filter(subject__tag=TAG).first()
    assert record is not None
    return str(record.pk)


def _outcome(response: Any) -> str:
    is_door = response.status_code == 302 and response["Location"].startswith("/enter?next=")
    return DOOR if is_door else str(response.status_code)


@pytest.fixture
def node(db: None) -> Node:
    """A node that holds what the addresses name."""
    shop, other = a_shop(), a_shop("tarnedge")
    a_ski(shop)
    return Node(shop, other)


def kept() -> dict[str, list[tuple[Any, ...]]]:
    """All rows there are, but for sessions and for looks, which opening a page may count."""
    return {model.__name__: list(_rows(model)) for model in _models()}


def _models() -> Iterable[type[models.Model]]:
    return [User, *(one for one in apps.get_app_config("registry").get_models() if one != LookUp)]


def _rows(model: type[models.Model]) -> Iterable[tuple[Any, ...]]:
    not_counted = ("last_login", "opened_count", "last_opened_at")
    names = [one.attname for one in model._meta.concrete_fields if one.name not in not_counted]
    return model._default_manager.order_by("pk").values_list(*names)


def test_no_address_is_left_out() -> None:
    assert {pattern.name for pattern in urlpatterns} == set(ADDRESSES)
    paths = [str(pattern.pattern) for pattern in urlpatterns]
    assert len(paths) == len(set(paths)) == len(ADDRESSES)


@pytest.mark.parametrize("kind", KINDS)
def test_who_may_open_what_and_opening_writes_nothing(node: Node, kind: str) -> None:
    before = kept()
    got = {name: node.outcome(kind, one, "get") for name, one in ADDRESSES.items()}
    assert got == {name: one.get[kind] for name, one in ADDRESSES.items()}
    assert kept() == before


@pytest.mark.parametrize("kind", KINDS)
def test_who_may_send_what_and_nobody_else_changes_anything(node: Node, kind: str) -> None:
    expected = {name: one.post[kind] for name, one in ADDRESSES.items()}
    refused = [name for name, outcome in expected.items() if outcome != DONE]
    before = kept()
    got = {name: node.outcome(kind, ADDRESSES[name], "post") for name in refused}
    assert kept() == before
    # What is refused to some is taken from others, so it is not for its form that it is refused.
    taken = [name for name in expected if name not in refused]
    got |= {name: node.outcome(kind, ADDRESSES[name], "post") for name in taken}
    assert got == expected


def test_what_another_shop_sends_changes_nothing_of_this_one(node: Node) -> None:
    before = of_shop(node.shop.handle)
    for address in ADDRESSES.values():
        node.outcome("other", address, "post")
    assert of_shop(node.shop.handle) == before


def of_shop(handle: str) -> list[list[tuple[Any, ...]]]:
    """The rows that are a shop's own."""
    own = ("Member", "ApiKey", "ShareLink", "LabelRange")
    found = [apps.get_model("registry", name)._default_manager.filter(shop=handle) for name in own]
    records = apps.get_model("registry", "Record")._default_manager.filter(author=handle)
    return [list(rows.order_by("pk").values_list()) for rows in (*found, records)]

"""Keys for programs, made and revoked by owners."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from apps.registry.actions import issue_api_key
from apps.registry.actors import Actor, Scope
from apps.registry.keys import authenticate
from apps.registry.models import ApiKey
from tests.pages.people import text_of
from tests.registry.making import a_shop

TOKEN = re.compile(r"skireg_[a-z2-7]{8}_[A-Za-z0-9_-]{43}")
REVOKE = b">Revoke</button>"
Sent = Mapping[str, str | Sequence[str]]


def make(client: Client, **changed: str | Sequence[str]) -> str:
    """Make a key; gives its token as the page shows it."""
    sent: Sent = {"scopes": ["read", "write"], "days": "30", **changed}
    assert client.post("/shop/keys", sent).headers["Location"] == "/shop/keys"
    found = TOKEN.search(client.get("/shop/keys").content.decode())
    assert found
    return found[0]


def test_a_key_is_shown_once_and_lets_in(owner: Client, shop: Actor) -> None:
    token = make(owner)
    actor = authenticate(token, now=timezone.now())
    assert (actor.handle, actor.scopes) == (shop.handle, frozenset({Scope.READ, Scope.WRITE}))
    page = owner.get("/shop/keys").content.decode()
    assert not TOKEN.search(page)
    assert f"skireg_{ApiKey.objects.get().prefix}</code>" in page


def test_a_key_lasts_as_long_as_was_asked(owner: Client) -> None:
    make(owner, days="7", scopes=["keys"])
    key = ApiKey.objects.get()
    assert key.expires_at - key.created_at == timedelta(days=7)
    assert key.scopes == "keys"


@pytest.mark.parametrize(
    ("changed", "field", "said"),
    [
        ({"scopes": []}, "scopes", "This field is required."),
        ({"scopes": ["feed"]}, "scopes", "feed is not one of the available choices"),
        ({"days": "0"}, "days", "greater than or equal to 1"),
        ({"days": "2000"}, "days", "less than or equal to 1098"),
    ],
)
def test_what_is_wrong_stands_at_its_field(
    changed: Sent, field: str, said: str, owner: Client
) -> None:
    answer = owner.post("/shop/keys", {"scopes": ["read"], "days": "30", **changed})
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert f'id="id_{field}_error"' in answer.content.decode()
    assert not ApiKey.objects.exists()


def test_two_live_keys_are_the_most(owner: Client) -> None:
    make(owner)
    make(owner)
    answer = owner.post("/shop/keys", {"scopes": ["read"], "days": "30"})
    assert answer.status_code == 422
    assert "The shop has 2 live keys already." in text_of(answer)


def test_a_revoked_key_lets_nobody_in(owner: Client) -> None:
    make(owner)
    prefix = ApiKey.objects.get().prefix
    assert REVOKE in owner.get("/shop/keys").content
    assert owner.post(f"/shop/keys/{prefix}/revoke").headers["Location"] == "/shop/keys"
    assert ApiKey.objects.get().revoked_at is not None
    answer = owner.get("/shop/keys")
    assert f"The key {prefix} is revoked." in text_of(answer)
    assert REVOKE not in answer.content


def test_a_key_that_is_over_needs_no_revoking(owner: Client, shop: Actor) -> None:
    past = timezone.now() - timedelta(days=10)
    issue_api_key(shop=shop.handle, scopes=[Scope.READ], by=shop, lasts=timedelta(days=1), now=past)
    answer = owner.get("/shop/keys")
    assert "Over since " in text_of(answer)
    assert REVOKE not in answer.content


def test_a_key_of_another_shop_is_out_of_reach(owner: Client) -> None:
    other = a_shop("kelderby-bench")
    issued = issue_api_key(shop=other.handle, scopes=[Scope.READ], by=other)
    assert issued.prefix not in text_of(owner.get("/shop/keys"))
    assert owner.post(f"/shop/keys/{issued.prefix}/revoke").status_code == 403
    assert owner.post("/shop/keys/none/revoke").status_code == 403
    assert ApiKey.objects.get().revoked_at is None


def test_no_address_alone_revokes(owner: Client, technician: Client) -> None:
    make(owner)
    prefix = ApiKey.objects.get().prefix
    assert owner.get(f"/shop/keys/{prefix}/revoke").status_code == 405
    assert technician.post(f"/shop/keys/{prefix}/revoke").status_code == 403
    assert ApiKey.objects.get().revoked_at is None


@pytest.mark.parametrize("count", [0, 2])
def test_the_list_asks_a_fixed_number_of_queries(
    count: int, owner: Client, shop: Actor, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for _ in range(count):
        issue_api_key(shop=shop.handle, scopes=[Scope.READ], by=shop)
    with django_assert_num_queries(4):
        owner.get("/shop/keys")

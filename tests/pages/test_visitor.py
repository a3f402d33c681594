"""Who opens a page, what they may do, and how each guard answers each of them."""

from __future__ import annotations

from typing import cast

import pytest
from django.contrib.auth.models import AnonymousUser, User
from django.http import HttpRequest, HttpResponse
from django.test import RequestFactory
from pytest_django import DjangoAssertNumQueries

from apps.pages.visitor import (
    GUEST,
    SCOPES,
    PageRequest,
    Visitor,
    operator,
    owner,
    person,
    reader,
    visitor_of,
    writer,
)
from apps.registry.actors import OPERATOR, Actor, Scope
from apps.registry.errors import NotAllowed
from apps.registry.models import Member
from apps.registry.models.people import ROLES
from tests.pages.people import a_person, an_operator

WHO = ("guest", "reader", "technician", "owner", "operator")
GUARDS = {
    "person": person,
    "reader": reader,
    "writer": writer,
    "owner": owner,
    "operator": operator,
}
LET_IN = {
    "person": {"reader", "technician", "owner", "operator"},
    "reader": {"reader", "technician", "owner"},
    "writer": {"technician", "owner"},
    "owner": {"owner"},
    "operator": {"operator"},
}


def a_visitor(kind: str, shop: Actor) -> Visitor:
    if kind == "guest":
        return GUEST
    user = an_operator() if kind == "operator" else a_person(shop.handle, kind)
    return visitor_of(asked_by(user))


def asked_by(user: User | AnonymousUser, path: str = "/fleet?sort=tag&tag=VH%20") -> HttpRequest:
    request = RequestFactory().get(path)
    request.user = user
    return request


def opened(guard: str, visitor: Visitor) -> HttpResponse:
    @GUARDS[guard]
    def view(request: PageRequest, word: str) -> HttpResponse:
        """Say a word."""
        return HttpResponse(f"{word} {request.visitor.role}")

    request = cast("PageRequest", asked_by(visitor.user or AnonymousUser()))
    request.visitor = visitor
    response = view(request, word="in")
    assert isinstance(response, HttpResponse)
    return response


@pytest.mark.parametrize("kind", WHO)
@pytest.mark.parametrize("guard", GUARDS)
def test_a_guard_lets_in_whom_it_names(guard: str, kind: str, shop: Actor) -> None:
    visitor = a_visitor(kind, shop)
    if kind in LET_IN[guard]:
        assert opened(guard, visitor).content.decode() == f"in {visitor.role}"
    elif kind == "guest":
        assert opened(guard, visitor).status_code == 302
    else:
        with pytest.raises(NotAllowed):
            opened(guard, visitor)


def test_a_guest_is_led_to_the_log_in_and_back_to_the_same_address() -> None:
    onward = opened("reader", GUEST).headers["Location"]
    assert onward == "/enter?next=%2Ffleet%3Fsort%3Dtag%26tag%3DVH%2520"


def test_a_guarded_view_keeps_its_name() -> None:
    @reader
    def view(request: PageRequest) -> HttpResponse:
        """Say nothing."""
        raise NotImplementedError(request.path)

    assert (view.__name__, view.__doc__) == ("view", "Say nothing.")


@pytest.mark.parametrize("role", ROLES)
def test_a_person_acts_for_the_shop_as_far_as_the_role_goes(role: str, shop: Actor) -> None:
    visitor = a_visitor(role, shop)
    assert visitor.actor == Actor(handle=shop.handle, scopes=SCOPES[role])
    assert (visitor.shop, visitor.role, visitor.is_operator) == (shop.handle, role, False)
    assert visitor.may_write == (Scope.WRITE in visitor.actor.scopes)
    assert visitor.is_owner == (Scope.KEYS in visitor.actor.scopes)
    assert Scope.FEED not in visitor.actor.scopes


def test_the_operator_is_of_no_shop(shop: Actor) -> None:
    visitor = a_visitor("operator", shop)
    assert visitor.actor == OPERATOR
    assert (visitor.shop, visitor.role, visitor.unit) == ("", "", "mm")
    assert not visitor.may_write
    assert not visitor.is_owner


def test_a_guest_is_nobody_to_the_registry() -> None:
    with pytest.raises(NotAllowed, match="Log in first"):
        _ = GUEST.actor
    assert (GUEST.shop, GUEST.role, GUEST.unit) == ("", "", "mm")
    assert not GUEST.is_operator


def test_the_unit_is_the_persons_own(shop: Actor) -> None:
    user = a_person(shop.handle, "reader", unit="um")
    assert visitor_of(asked_by(user)).unit == "um"


@pytest.mark.parametrize("kind", ["reader", "operator"])
def test_who_is_no_longer_active_is_a_guest(kind: str, shop: Actor) -> None:
    user = a_visitor(kind, shop).user
    assert user is not None
    user.is_active = False
    assert visitor_of(asked_by(user)) == GUEST


def test_who_is_of_no_shop_any_more_is_a_guest(shop: Actor) -> None:
    user = a_person(shop.handle, "reader")
    Member.objects.all().delete()
    assert visitor_of(asked_by(user)) == GUEST


def test_a_guest_costs_no_query(
    db: None, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_num_queries(0):
        assert visitor_of(asked_by(AnonymousUser())) == GUEST


def test_a_person_costs_one_query_beside_the_log_in(
    shop: Actor, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    user = a_person(shop.handle, "reader")
    with django_assert_num_queries(1):
        assert visitor_of(asked_by(user)).shop == shop.handle

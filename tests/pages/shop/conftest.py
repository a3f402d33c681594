"""What the tests of the shop's pages start from."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import User
from django.test import Client

from apps.registry.actors import SHOP_SCOPES, Actor, shop_actor
from tests.pages.people import a_person, sitting
from tests.registry.making import a_shop


@pytest.fixture
def shop(db: None) -> Actor:
    """A shop of this node, as its owner acts for it."""
    return shop_actor(a_shop("veskerdal-hire").handle, *SHOP_SCOPES)


@pytest.fixture
def owner_user(shop: Actor) -> User:
    """The owner."""
    return a_person(shop.handle, "owner", alias="O1")


@pytest.fixture
def owner(owner_user: User) -> Client:
    """The owner at the screen."""
    return sitting(owner_user)


@pytest.fixture
def technician(shop: Actor) -> Client:
    """A technician at the screen."""
    return sitting(a_person(shop.handle, "technician", alias="T1"))

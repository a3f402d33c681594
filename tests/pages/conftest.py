"""What the tests of pages start from: a shop, its people at their screens, and a guest."""

from __future__ import annotations

import pytest
from django.test import Client

from apps.registry.actors import Actor
from tests.pages.people import a_person, sitting
from tests.registry.making import a_shop


@pytest.fixture
def shop(db: None) -> Actor:
    """A shop of this node."""
    return a_shop("veskerdal-hire")


@pytest.fixture
def guest(db: None) -> Client:
    """A client at which nobody is logged in."""
    return Client()


@pytest.fixture
def reader(shop: Actor) -> Client:
    """Somebody of the shop who only reads, at the screen."""
    return sitting(a_person(shop.handle, "reader"))


@pytest.fixture
def technician(shop: Actor) -> Client:
    """A technician of the shop at the screen."""
    return sitting(a_person(shop.handle, "technician"))

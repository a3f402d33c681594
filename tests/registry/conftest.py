"""What most tests of the registry start from."""

from __future__ import annotations

import pytest

from apps.registry.actors import Actor
from tests.registry.foreign import EAST, Author, introduction, shop_of
from tests.registry.making import a_shop, a_ski, pulled


@pytest.fixture
def shop(db: None) -> Actor:
    """A shop of this node."""
    return a_shop()


@pytest.fixture
def other_shop(db: None) -> Actor:
    """Another shop of this node."""
    return a_shop("tarnedge")


@pytest.fixture
def ski(shop: Actor) -> str:
    """A registered ski of the shop; gives its key."""
    appended = a_ski(shop)
    return f"{appended.record.ski.shop}/{appended.record.ski.tag}"


@pytest.fixture
def east(db: None) -> Author:
    """A shop of another node whose keys are here, pulled from that node."""
    shop = shop_of(EAST)
    pulled(*introduction(EAST, shop), peer=EAST)
    return shop

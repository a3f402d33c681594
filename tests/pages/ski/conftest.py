"""What the tests of a ski's page start from."""

from __future__ import annotations

import pytest

from apps.registry.actors import Actor
from tests.registry.making import a_shop, a_ski


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
    """A registered ski of the shop; gives the address of its page."""
    a_ski(shop)
    return "/t/fellbench/FB-0042"

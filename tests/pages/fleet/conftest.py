"""What the tests of the fleet start from."""

from __future__ import annotations

import pytest

from apps.registry.actors import Actor
from tests.registry.making import a_shop


@pytest.fixture
def shop(db: None) -> Actor:
    """A shop of this node."""
    return a_shop()

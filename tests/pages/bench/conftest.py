"""What the tests of the bench start from: the two skis of a pair."""

from __future__ import annotations

import pytest

from apps.registry.actors import Actor
from tests.pages.bench.pair import LEFT, OTHER, a_pair


@pytest.fixture
def pair(shop: Actor) -> tuple[str, str]:
    """The tags of a pair with a past."""
    a_pair(shop)
    return LEFT, OTHER

"""What the tests of labels start from."""

from __future__ import annotations

import pytest

from apps.registry.actors import Actor
from apps.registry.label_ranges import issue_range
from apps.registry.models import LabelRange


@pytest.fixture
def issued(shop: Actor) -> LabelRange:
    """Thirty tags of the shop."""
    return issue_range(prefix="VH-", count=30, by=shop)

"""What the tests of the entry start from."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.core.cache import cache


@pytest.fixture(autouse=True)
def no_tries_left() -> Iterator[None]:
    """Forget the tries of earlier tests."""
    cache.clear()
    yield
    cache.clear()

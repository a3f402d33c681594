"""What the tests of the API start from: shops with keys, and clients that carry them."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.core.cache import cache

from apps.registry.actors import Scope
from tests.api.client import ApiClient
from tests.api.making import a_client, register


@pytest.fixture(autouse=True)
def no_counts_left() -> Iterator[None]:
    """Forget the requests that earlier tests made, so that none is slowed down."""
    cache.clear()
    yield
    cache.clear()


@pytest.fixture
def client(db: None) -> ApiClient:
    """A client of the shop fellbench that may read and write."""
    return a_client("fellbench")


@pytest.fixture
def other(db: None) -> ApiClient:
    """A client of another shop of the node."""
    return a_client("tarnedge")


@pytest.fixture
def reader(client: ApiClient) -> ApiClient:
    """A client of fellbench that may only read."""
    return a_client("fellbench", Scope.READ, new=False)


@pytest.fixture
def nobody(db: None) -> ApiClient:
    """A client without a key."""
    return ApiClient(None)


@pytest.fixture
def ski(client: ApiClient) -> str:
    """A registered ski of fellbench; gives its address."""
    return register(client, "FB-0042")

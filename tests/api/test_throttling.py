"""Whoever asks too often is told how long to wait, each key and kind of route by itself."""

from __future__ import annotations

import pytest
from pytest_django import Settings

from tests.api.client import Answered, ApiClient
from tests.api.making import draft


@pytest.fixture(autouse=True)
def low_rates(settings: Settings) -> None:
    """Rates that a test reaches."""
    rates = {"read": "3/hour", "write": "2/hour", "compute": "1/hour", "unknown": "2/hour"}
    settings.REST_FRAMEWORK = {**settings.REST_FRAMEWORK, "DEFAULT_THROTTLE_RATES": rates}


def slowed(answer: Answered) -> bool:
    """Say whether an answer is the one for too many requests, whole."""
    if answer.status != 429:
        return False
    wait = int(answer.headers["Retry-After"])
    assert 0 < wait <= 3600
    assert answer.slug == "too-many-requests"
    assert f"{wait} seconds" in answer.json["detail"]
    return True


def test_each_kind_of_route_counts_by_itself(client: ApiClient, ski: str) -> None:
    # Registering the ski was the first write.
    assert [slowed(client.post("jobs", draft("job"))) for _ in range(2)] == [False, True]
    assert [slowed(client.get("jobs")) for _ in range(4)] == [False, False, False, True]
    assert [slowed(client.get(f"{ski}/condition")) for _ in range(2)] == [False, True]
    assert slowed(client.post(f"{ski}/plan", {}))


def test_each_key_counts_by_itself(client: ApiClient, other: ApiClient) -> None:
    assert [slowed(client.get("jobs")) for _ in range(4)][-1]
    assert not slowed(other.get("jobs"))


def test_without_a_key_the_address_counts(nobody: ApiClient, client: ApiClient) -> None:
    assert [slowed(nobody.get("")) for _ in range(3)] == [False, False, True]
    assert not slowed(client.get("jobs"))


def test_trying_keys_is_slow(nobody: ApiClient) -> None:
    answers = [nobody.get("jobs", Authorization=f"Bearer guess{n}") for n in range(3)]
    assert [answer.status for answer in answers] == [401, 401, 429]


def test_asking_without_a_key_is_slow(nobody: ApiClient) -> None:
    assert [nobody.get("jobs").status for _ in range(3)] == [401, 401, 429]


def test_a_header_does_not_change_the_address(nobody: ApiClient) -> None:
    answers = [nobody.get("", X_Forwarded_For=f"192.0.2.{n}") for n in range(3)]
    assert slowed(answers[-1])


def test_a_refused_scope_counts(reader: ApiClient) -> None:
    answers = [reader.post("jobs", draft("job")) for _ in range(3)]
    assert [answer.status for answer in answers] == [403, 403, 429]

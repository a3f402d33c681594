"""The system checks: what a node that others rely on may not be started with."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from django.core.checks import run_checks
from pytest_django.fixtures import Settings

from apps.registry.checks import (
    check_connections,
    check_node_host,
    check_secret_key,
)

POSTGRESQL = "django.db.backends.postgresql"


def ids(found: Any) -> list[str]:
    return [message.id for message in found]


@pytest.mark.parametrize(
    ("production", "host", "expected"),
    [
        (True, "localhost.invalid", ["registry.E001"]),
        (True, "node.example", []),
        (False, "localhost.invalid", []),
    ],
)
def test_the_trial_name_is_refused_in_production(
    settings: Settings, production: bool, host: str, expected: list[str]
) -> None:
    settings.PRODUCTION, settings.NODE_HOST = production, host
    assert ids(check_node_host()) == expected


@pytest.mark.parametrize(
    ("production", "for_trial", "expected"),
    [(True, True, ["registry.E003"]), (True, False, []), (False, True, [])],
)
def test_the_secret_that_everybody_knows_is_refused_in_production(
    settings: Settings, production: bool, for_trial: bool, expected: list[str]
) -> None:
    settings.PRODUCTION, settings.SECRET_KEY_IS_FOR_TRIAL = production, for_trial
    assert ids(check_secret_key()) == expected


@pytest.mark.parametrize(
    ("database", "expected"),
    [
        ({"ENGINE": POSTGRESQL, "CONN_MAX_AGE": 0}, ["registry.E002"]),
        ({"ENGINE": POSTGRESQL}, ["registry.E002"]),
        ({"ENGINE": POSTGRESQL, "CONN_MAX_AGE": 60}, []),
        ({"ENGINE": POSTGRESQL, "CONN_MAX_AGE": None}, []),
        ({"ENGINE": POSTGRESQL, "CONN_MAX_AGE": 0, "OPTIONS": {"pool": True}}, []),
        ({"ENGINE": POSTGRESQL, "CONN_MAX_AGE": 0, "OPTIONS": {"pool": {}}}, ["registry.E002"]),
        ({"ENGINE": "django.db.backends.sqlite3", "CONN_MAX_AGE": 0}, []),
    ],
)
def test_connections_are_kept(
    monkeypatch: pytest.MonkeyPatch,
    database: dict[str, Any],
    expected: list[str],
) -> None:
    settings = SimpleNamespace(DATABASES={"default": database})
    monkeypatch.setattr("apps.registry.checks.settings", settings)
    assert ids(check_connections()) == expected


def test_django_runs_them(settings: Settings) -> None:
    settings.PRODUCTION, settings.NODE_HOST = True, "localhost.invalid"
    assert "registry.E001" in ids(run_checks())

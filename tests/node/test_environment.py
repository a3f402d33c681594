"""Settings come from the environment, and a wrong one stops the start with a hint."""

from __future__ import annotations

from pathlib import Path

import pytest

from service_registry import settings_table
from service_registry.environment import (
    TRIAL_NODE_HOST,
    Environment,
    WrongSettings,
    read_environment,
)
from tests.node.running import run_command

VARIABLES = [name.upper() for name in Environment.model_fields]


@pytest.fixture(autouse=True)
def empty_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in VARIABLES:
        monkeypatch.delenv(name, raising=False)


def test_a_node_to_try_out_needs_no_variable() -> None:
    environment = read_environment()
    assert environment.node_host == TRIAL_NODE_HOST
    assert not environment.production
    assert environment.allowed_hosts == ["localhost", "127.0.0.1", "[::1]"]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("NODE_HOST", "ski.example.org"),
        ("DATABASE_URL", "postgresql://registry@db.example.org:5432/registry"),
        ("DATABASE_URL", "sqlite:///folder/registry.sqlite3"),
        ("RATE_READ", "10/second"),
    ],
)
def test_a_good_value_is_taken(name: str, value: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(name, value)
    assert getattr(read_environment(), name.lower()) == value


def test_hosts_come_with_commas_between(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ALLOWED_HOSTS", "ski.example.org, www.example.org,")
    assert read_environment().allowed_hosts == ["ski.example.org", "www.example.org"]


@pytest.mark.parametrize(
    ("name", "value", "hint"),
    [
        ("NODE_HOST", "localhost", "in lower case, such as ski.example.org"),
        ("NODE_HOST", "Ski.Example.org", "in lower case"),
        ("NODE_HOST", f"{'a' * 60}.{'b' * 60}.example", "in lower case"),
        ("SECRET_KEY", "short", "at least 32 characters"),
        ("DATABASE_URL", "mysql://root@db.example.org/registry", "sqlite:///folder/file.sqlite3"),
        ("DATABASE_URL", "nowhere", "postgresql://user@host:5432/name"),
        ("DATABASE_URL", "postgresql://host:port/name", "postgresql://user@host:5432/name"),
        ("DATABASE_POOL", "many", "valid integer"),
        ("DATABASE_POOL", "-1", "greater than or equal to 0"),
        ("RATE_WRITE", "fast", "such as 600/minute"),
        ("RATE_WRITE", "0/minute", "such as 600/minute"),
        ("PRODUCTION", "perhaps", "valid boolean"),
        ("TIME_ZONE", "CET or so", "such as Europe/Vienna"),
        ("LOG_LEVEL", "LOUD", "DEBUG|INFO|WARNING|ERROR"),
    ],
)
def test_a_wrong_value_is_named_with_a_hint(
    name: str, value: str, hint: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(name, value)
    with pytest.raises(WrongSettings) as caught:
        read_environment()
    line = str(caught.value)
    assert line.startswith(f"{name}: ")
    assert hint in line


def test_every_wrong_value_is_named_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NODE_HOST", "nowhere")
    monkeypatch.setenv("RATE_READ", "fast")
    with pytest.raises(WrongSettings) as caught:
        read_environment()
    assert [line.split(":")[0] for line in str(caught.value).splitlines()] == [
        "NODE_HOST",
        "RATE_READ",
    ]


def test_the_command_line_stops_with_the_hint_and_no_traceback(tmp_path: Path) -> None:
    done = run_command("prepare", NODE_HOST="nowhere", DATA_DIR=str(tmp_path))
    assert done.returncode == 2
    assert done.stderr.startswith("These settings can't be used:\nNODE_HOST: give the host name")
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_production_node_refuses_the_trial_defaults(tmp_path: Path) -> None:
    done = run_command("prepare", PRODUCTION="yes", DATA_DIR=str(tmp_path))
    assert done.returncode == 1
    assert "NODE_HOST" in done.stderr
    assert "SECRET_KEY" in done.stderr
    assert "Traceback" not in done.stderr


def test_the_table_in_the_docs_has_a_row_for_every_variable() -> None:
    rows = settings_table.settings_table().splitlines()[2:]
    assert [row.split("`")[1] for row in rows] == VARIABLES


def test_a_page_without_marks_is_refused() -> None:
    with pytest.raises(ValueError, match="no marks"):
        settings_table.with_settings_table("# A page")

"""The private PostgreSQL of the tests: it starts, is reached by its owner only, and goes away."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from pathlib import Path
from urllib.parse import unquote, urlsplit

import psycopg
import pytest

from tests import postgres
from tests.postgres import NoPostgres, private_server


def folder_of(url: str) -> Path:
    return Path(unquote(urlsplit(url).netloc.partition("@")[2]))


def test_it_stands_in_a_folder_of_its_own_and_leaves_nothing() -> None:
    with private_server() as url:
        folder = folder_of(url)
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700
        with psycopg.connect(url) as connection:
            (addresses,) = connection.execute("SHOW listen_addresses").fetchone() or ("?",)
        assert addresses == ""
    assert not folder.exists()


def test_it_never_runs_as_root() -> None:
    with private_server() as url:
        owner = (folder_of(url) / "data" / "PG_VERSION").stat().st_uid
    assert owner != 0
    assert os.geteuid() in (0, owner)


def test_the_wheel_s_server_runs_from_where_its_account_reaches_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(postgres, "installed_binaries", lambda: None)
    monkeypatch.setattr(postgres, "_runs", lambda *_: False)
    with private_server() as url, psycopg.connect(url) as connection:
        assert connection.info.server_version >= 150000
        assert (folder_of(url) / "wheel").is_dir()


def test_without_any_server_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(postgres, "installed_binaries", lambda: None)
    monkeypatch.setattr(postgres, "WHEEL", "no_such_wheel")
    with pytest.raises(NoPostgres, match="Install"), private_server():
        raise AssertionError


def test_what_initdb_says_is_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(postgres, "USER", "pg_reserved")
    with pytest.raises(NoPostgres, match="pg_reserved"), private_server():
        raise AssertionError


def test_what_the_server_says_is_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(postgres.QUICK, "max_connections", "many")
    with pytest.raises(NoPostgres, match="max_connections"), private_server():
        raise AssertionError


def test_a_command_is_run_beside_it() -> None:
    show = "import os; print(os.environ['DATABASE_URL'].partition(':')[0])"
    ran = subprocess.run(
        [sys.executable, "-m", "tests.postgres", sys.executable, "-c", show],
        capture_output=True,
        text=True,
    )
    assert (ran.returncode, ran.stdout.strip()) == (0, "postgresql")

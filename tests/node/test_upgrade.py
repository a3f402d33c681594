"""A node whose tables are changed makes its index again, so that no answer lacks a row."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from tests.node.running import run_command

CONDITIONS = "registry_condition"


def rows(database: Path, table: str) -> int:
    with sqlite3.connect(database) as connection:
        (count,) = connection.execute(f"SELECT count(*) FROM {table}").fetchone()  # noqa: S608
    return int(count)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A node with the demo's records, as an earlier version would have left it."""
    folder = tmp_path_factory.mktemp("node")
    assert run_command("demo", "--once", DATA_DIR=str(folder)).returncode == 0
    return folder / "demo"


def test_new_tables_are_filled_from_the_records(folder: Path) -> None:
    database = folder / "demo.sqlite3"
    node = {"DATA_DIR": str(folder), "DATABASE_URL": f"sqlite:///{database}"}
    full = rows(database, CONDITIONS)
    assert run_command("django", "migrate", "registry", "0008", **node).returncode == 0
    prepared = run_command("prepare", **node)
    assert prepared.returncode == 0, prepared.stderr
    assert "the index of 49 skis was made again" in prepared.stdout
    assert rows(database, CONDITIONS) == full > 0
    assert run_command("fsck", **node).returncode == 0


def test_nothing_is_made_again_where_no_table_changed(folder: Path) -> None:
    node = {"DATA_DIR": str(folder), "DATABASE_URL": f"sqlite:///{folder / 'demo.sqlite3'}"}
    assert "made again" not in run_command("prepare", **node).stdout

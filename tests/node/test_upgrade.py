"""A node whose tables are changed makes its index again, so that no answer lacks a row."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from tests.exchange.nodes import Node

SKIS = 20
CONDITIONS = "registry_condition"


def rows(database: Path, table: str) -> int:
    with sqlite3.connect(database) as connection:
        (count,) = connection.execute(f"SELECT count(*) FROM {table}").fetchone()  # noqa: S608
    return int(count)


@pytest.fixture(scope="module")
def node(tmp_path_factory: pytest.TempPathFactory) -> Node:
    """A node with some records, as an earlier version would have left it."""
    node = Node("fell.example", tmp_path_factory.mktemp("node"))
    node.prepared(node.prepare("fell", SKIS))
    return node


def test_new_tables_are_filled_from_the_records(node: Node) -> None:
    database = node.folder / "registry.sqlite3"
    full = rows(database, CONDITIONS)
    assert node.run("django", "migrate", "registry", "0008").returncode == 0
    prepared = node.run("prepare")
    assert prepared.returncode == 0, prepared.stderr
    assert f"the index of {SKIS} skis was made again" in prepared.stdout
    assert rows(database, CONDITIONS) == full == SKIS
    assert node.run("fsck").returncode == 0


def test_nothing_is_made_again_where_no_table_changed(node: Node) -> None:
    assert "made again" not in node.run("prepare").stdout

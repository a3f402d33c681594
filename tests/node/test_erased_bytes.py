"""Nothing of an erased record is left in the files of the embedded database."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.exchange.nodes import Node

WORDS = "a remark that nobody should have written down"


@pytest.fixture
def node(tmp_path: Path) -> Iterator[Node]:
    """A node that serves."""
    node = Node("fell.example", tmp_path)
    node.prepared(node.prepare("fellbench", 1))
    node.serve()
    yield node
    node.stop()


def files_that_hold(words: str, folder: Path) -> list[str]:
    """The database's files in which the words stand."""
    files = sorted(folder.glob("*.sqlite3*"))
    return [file.name for file in files if words.encode() in file.read_bytes()]


def test_erased_bytes_leave_the_files_of_a_node_that_serves(node: Node) -> None:
    ski = node.json("jobs")["items"][0]["record"]["ski"]
    job = {"ski": ski, "performed_at": "2025-02-01", "body": {"remarks": WORDS}}
    written = node.post("jobs", job)
    assert files_that_hold(WORDS, node.folder)
    erased = node.run("erase", written["id"], "--reason", "personal_data")
    assert erased.returncode == 0, erased.stderr
    assert "write-ahead" not in erased.stdout
    assert files_that_hold(WORDS, node.folder) == []

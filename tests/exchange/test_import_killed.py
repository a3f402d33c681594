"""A node that is killed in the middle of an import: the same file again completes it."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from apps.exchange.importing import BATCH
from tests.exchange.nodes import PATIENCE_S, Node, kill, stopping
from tests.postgres import private_server

SKIS = 20
VISITS = 5 * BATCH
TABLE = "".join(
    ["date,tag,work,remarks\r\n"]
    + [f"2025-01-31,FELL-{n % SKIS},wax,no. {n}\r\n" for n in range(VISITS)]
)
LINES = "".join(
    json.dumps(
        {
            "kind": "job",
            "ski": {"shop": "fell", "tag": f"FELL-{n % SKIS}"},
            "performed_at": "2025-01-31",
            "body": {"steps": [{"operation": "wax"}], "remarks": f"no. {n}"},
        }
    )
    + "\n"
    for n in range(VISITS)
)
FILES = {"visits.csv": ("text/csv", TABLE), "visits.ndjson": ("application/x-ndjson", LINES)}


@pytest.fixture(params=["sqlite", "postgresql"])
def node(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Node]:
    """A node that serves, on each kind of database."""
    with contextlib.ExitStack() as stack:
        is_sqlite = request.param == "sqlite"
        url = "" if is_sqlite else stack.enter_context(private_server())
        made = Node("fell.example", tmp_path / "node", url)
        made.folder.mkdir()
        stack.enter_context(stopping([made]))
        made.prepared(made.prepare("fell", SKIS))
        made.serve()
        yield made


def import_and_kill(node: Node, content_type: str, text: str) -> list[Any]:
    """Import a file and kill the node after the first lines of its answer; gives what came."""
    headers = {"Authorization": f"Bearer {node.said['bench']}", "Content-Type": content_type}
    came: list[Any] = []
    with contextlib.suppress(httpx.RemoteProtocolError, httpx.ReadError):
        address = f"{node.url}/api/v1/imports"
        sent = httpx.stream(
            "POST", address, headers=headers, content=text.encode(), timeout=PATIENCE_S
        )
        with sent as answer:
            assert answer.status_code == 200
            for line in answer.iter_lines():
                came.append(json.loads(line))
                if len(came) == 1:
                    assert node.server is not None
                    kill(node.server)
    return came


def remarks(node: Node) -> list[str]:
    """The remarks of all jobs, as the export has them."""
    *lines, _ = node.get("exports", node.said["bench"]).splitlines()
    records = [json.loads(line)["record"] for line in lines]
    return [one["body"]["remarks"] for one in records if "remarks" in one["body"]]


@pytest.mark.parametrize("name", FILES)
def test_the_same_file_again_loses_nothing_and_doubles_nothing(node: Node, name: str) -> None:
    content_type, text = FILES[name]
    came = import_and_kill(node, content_type, text)
    assert {one["result"] for one in came} == {"created"}
    file = node.folder / name
    file.write_text(text, encoding="utf-8", newline="")
    again = node.run("import", "fell", str(file))
    assert again.returncode == 0, again.stderr
    written, here = (int(part.split(": ")[1]) for part in again.stdout.split(". ")[:2])
    assert written + here == VISITS
    # What was answered had been written, and the kill left more to do.
    assert here >= len(came) > 0
    assert written > 0
    third = node.run("import", "fell", str(file))
    assert f"Written: 0. Here before: {VISITS}. Refused: 0." in third.stdout
    node.serve()
    assert sorted(remarks(node)) == sorted(f"no. {n}" for n in range(VISITS))
    assert node.run("fsck").returncode == 0

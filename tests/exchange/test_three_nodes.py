"""Three real nodes, two on SQLite and one on PostgreSQL, exchange all they have."""

from __future__ import annotations

import signal
import sqlite3
import subprocess
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest

from tests.exchange.nodes import PATIENCE_S, Node, kill, stopping, until
from tests.postgres import private_server

SKIS = 300
TRIGGERS = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"


def test_three_nodes_exchange_all_they_have(nodes: list[Node]) -> None:
    # One test, so that the nodes are made once and not by each worker of the tests.
    fell, lake, ridge = nodes
    in_any_order_with_cuts_and_repeats_all_come_to_the_same(nodes)
    checkpoints_bear_the_cosignatures_of_the_others(nodes)
    a_loop_brings_what_is_written_and_ends_when_told_to(nodes)
    a_rewritten_old_row_is_named_by_the_next_pull_and_by_fsck(fell, lake)
    a_rewritten_old_row_is_named_by_the_next_pull_and_by_fsck(ridge, fell)


@pytest.fixture
def nodes(tmp_path: Path) -> Iterator[list[Node]]:
    """Three nodes that serve, each following the other two."""
    with private_server() as url:
        made = [
            Node(f"{name}.example", tmp_path / name, url if name == "ridge" else "")
            for name in ("fell", "lake", "ridge")
        ]
        with stopping(made):
            for node in made:
                node.folder.mkdir()
            together([(node, node.prepare(node.host[:4], SKIS)) for node in made])
            for node in made:
                node.serve()
            follow_each_other(made)
            yield made


def together(started: list[tuple[Node, subprocess.Popen[str]]]) -> None:
    """Wait for nodes that are prepared side by side."""
    for node, process in started:
        node.prepared(process)


def follow_each_other(nodes: list[Node]) -> None:
    """Let each node follow the others; all commands run side by side."""
    started = [
        node.start("add-peer", other.url, "--key", other.said["vkey"], "--token-file", token(other))
        for node in nodes
        for other in nodes
        if other is not node
    ]
    for process in started:
        _, err = process.communicate(timeout=PATIENCE_S)
        assert process.returncode == 0, err


def token(node: Node) -> str:
    """The file with the API key that a node issued for its feed."""
    return str(node.folder / "token")


def pull(node: Node, *others: Node) -> subprocess.CompletedProcess[str]:
    """Pull once, and well."""
    done = node.run("pull", *(other.host for other in others))
    assert done.returncode == 0, done.stderr
    return done


def killed_in_the_middle(node: Node, other: Node) -> int:
    """Pull, and kill the pull after a page; gives how many rows it said were in."""
    process = node.start("pull", other.host)
    try:
        assert process.stderr is not None
        for line in process.stderr:
            done = int(line.split()[1])
            if done:
                return done
    finally:
        kill(process)
        process.communicate(timeout=PATIENCE_S)
    raise AssertionError("The pull ended before it could be killed.")


def cut_in_the_middle(node: Node, other: Node) -> None:
    """Pull, and kill the node that is pulled from after a page; it serves again afterwards."""
    process = node.start("pull", other.host)
    try:
        assert process.stderr is not None
        assert int(process.stderr.readline().split()[1]) > 0
        assert other.server is not None
        kill(other.server)
        _, said = process.communicate(timeout=PATIENCE_S)
        assert process.returncode == 1, said
    finally:
        kill(process)
        other.serve()


def link(node: Node, ski: dict[str, str], other: dict[str, str]) -> None:
    """State that two tags are on one ski."""
    body = {"other_ski": other, "evidence": ["serial_number"]}
    document = {"kind": "same-ski", "ski": ski, "performed_at": "2025-02-01", "body": body}
    node.post("links", document)


def in_any_order_with_cuts_and_repeats_all_come_to_the_same(nodes: list[Node]) -> None:
    """Pulls and servers are killed in the middle; sets and answers are equal in the end."""
    fell, lake, ridge = nodes
    first = killed_in_the_middle(fell, lake)
    assert 0 < first < SKIS
    cut_in_the_middle(ridge, fell)
    assert f"{lake.host}: " in pull(fell, lake).stdout
    pull(lake, ridge)
    ski, other = (
        {"shop": one.said["shop"], "tag": f"{one.host[:4].upper()}-0"} for one in (fell, lake)
    )
    link(fell, ski, other)
    pull(lake, fell)
    link(lake, other, ski)
    for node in (ridge, lake, fell, ridge, fell, lake):
        done = pull(node)
        assert "checkpoint cosigned" in done.stdout, done.stdout
    assert "0 since the last pull; 0 new here" in pull(ridge, lake).stdout
    logs = [node.ids() for node in nodes]
    assert sorted(logs[0]) == sorted(logs[1]) == sorted(logs[2])
    assert [len(set(log)) for log in logs] == [3 * (SKIS + 2 + 2) + 2] * 3
    same_answers(nodes, f"skis/{ski['shop']}/{ski['tag']}/condition")
    same_answers(nodes, f"skis/{other['shop']}/{other['tag']}/condition")
    same_answers(nodes, f"skis/{ridge.said['shop']}/RIDG-0/condition")
    for node in nodes:
        assert node.run("fsck").returncode == 0


def same_answers(nodes: list[Node], path: str) -> None:
    """All nodes answer the same, and that is not nothing."""
    first, *others = (node.json(path) for node in nodes)
    assert first["material"]
    assert all(other == first for other in others)


def checkpoints_bear_the_cosignatures_of_the_others(nodes: list[Node]) -> None:
    """Both peers vouch for the newest checkpoint."""
    fell, lake, ridge = nodes
    for node in (lake, ridge):
        pull(node, fell)
    lines = fell.get("log/checkpoint").decode().splitlines()[4:]
    assert [line.split()[1] for line in lines] == [
        "fell.example/log",
        "lake.example/log",
        "ridge.example/log",
    ]


def a_loop_brings_what_is_written_and_ends_when_told_to(nodes: list[Node]) -> None:
    """A record arrives without another call, and SIGTERM is a good end."""
    lake, ridge = nodes[1:]
    loop = ridge.start("pull", lake.host, "--loop", "--every", "1")
    try:
        tag = {"shop": lake.said["shop"], "tag": "LAKE-0"}
        use = {"ski": tag, "performed_at": "2025-02-05", "body": {"days": 3}}
        written = lake.post("usage", use)["id"]
        until(lambda: written in ridge.ids())
        loop.send_signal(signal.SIGTERM)
        out, err = loop.communicate(timeout=PATIENCE_S)
        assert (loop.returncode, out.splitlines()[-1]) == (0, "Ended."), err
        assert f"{lake.host}: " in out
    finally:
        kill(loop)


def rewrite(node: Node, index: int) -> None:
    """Change the bytes of an old row underneath the node, past the guard of the database."""
    changed = "UPDATE registry_record SET document = {} WHERE log_index = {}"
    if node.database_url:
        with psycopg.connect(node.database_url) as connection:
            connection.execute("ALTER TABLE registry_record DISABLE TRIGGER USER")
            bytes_of = "convert_to(replace(convert_from(document, 'UTF8'), '1710', '1700'), 'UTF8')"
            connection.execute(changed.format(bytes_of, index))
            connection.execute("ALTER TABLE registry_record ENABLE TRIGGER USER")
        return
    with sqlite3.connect(node.folder / "registry.sqlite3", timeout=30) as database:
        triggers = database.execute(TRIGGERS).fetchall()
        for name, _ in triggers:
            database.execute(f"DROP TRIGGER {name}")
        bytes_of = "CAST(replace(CAST(document AS TEXT), '1710', '1700') AS BLOB)"
        database.execute(changed.format(bytes_of, index))
        for _, sql in triggers:
            database.execute(sql)


def a_rewritten_old_row_is_named_by_the_next_pull_and_by_fsck(liar: Node, reader: Node) -> None:
    """The liar is caught and stopped, with the row and the proof at hand."""
    pull(reader, liar)
    row = id_of_row(liar, 5)
    rewrite(liar, 5)
    refused = reader.run("pull", liar.host)
    assert refused.returncode == 1
    assert f"Row 5 of {liar.host} was rewritten" in refused.stderr
    again = reader.run("pull", liar.host)
    assert again.returncode == 1
    assert "was stopped" in again.stderr
    shown = reader.run("peers", liar.host).stdout
    assert "evidence" in shown
    assert row in shown
    checked = liar.run("fsck")
    assert checked.returncode == 1
    assert row in checked.stdout.splitlines()[0]


def id_of_row(node: Node, index: int) -> str:
    """The id of a row."""
    return node.ids()[index]

"""A node's process runs commands in turn, says what fails, and leaves nothing behind."""

from __future__ import annotations

import io
import os
import signal
import socket
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from service_registry.demo import console, node_process
from service_registry.demo.asking import NotAnswered, Wire
from service_registry.demo.node_process import ENDING_S, NodeProcess, free_port
from service_registry.demo.surroundings import own_settings, with_settings


@pytest.fixture
def node(tmp_path: Path) -> Iterator[NodeProcess]:
    settings = with_settings(own_settings(tmp_path), os.environ)
    process = NodeProcess(settings, tmp_path / "server.log")
    yield process
    process.end()
    assert not process.is_running


def test_commands_begun_together_are_answered_in_turn(node: NodeProcess) -> None:
    for arguments in (["fsck"], ["prepare"], ["add-shop", "fellbench"], ["no-such-command"]):
        node.begin(*arguments)
    early, prepared, added, wrong = (node.result() for _ in range(4))
    assert (early.status, early.out) == (1, "")
    assert "service-registry prepare" in early.err
    assert prepared.status == 0
    assert added.out.startswith("Added fellbench@")
    assert (wrong.status, "no-such-command" in wrong.err) == (2, True)


def test_a_command_that_fails_is_told_with_what_it_said(node: NodeProcess) -> None:
    with pytest.raises(NotAnswered, match=r"fsck: status 1\. .*prepare"):
        node.run("fsck")


def test_a_node_whose_server_ends_is_gone(node: NodeProcess) -> None:
    # There is no port 0, which the server says when it begins.
    node.begin_to_serve(0)
    assert node.went_well("serve") == ""
    with pytest.raises(NotAnswered, match=r"took no connection\. Look at .*server\.log"):
        node.wait_until_served(free_port())
    with pytest.raises(NotAnswered, match="process of a node ended"):
        node.run("peers")


def test_the_server_ends_with_the_one_that_held_the_node(node: NodeProcess) -> None:
    port = free_port()
    node.run("prepare")
    node.begin_to_serve(port)
    assert node.went_well("serve") == ""
    node.wait_until_served(port)
    # Whoever holds the node may be killed without a word: then its input ends, as here.
    node.end()
    end = time.monotonic() + ENDING_S
    while is_open(port):
        # What was killed closes its sockets a little later.
        assert time.monotonic() < end
        time.sleep(0.1)


def is_open(port: int) -> bool:
    """Say whether somebody listens there."""
    try:
        with socket.create_connection(("127.0.0.1", port), 5):
            return True
    except OSError:
        return False


def test_a_command_that_takes_too_long_is_not_waited_for(
    node: NodeProcess, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(node_process, "PATIENCE_S", 0.01)
    with pytest.raises(NotAnswered, match="longer than"):
        node.result()


def test_a_node_that_is_not_there_answers_nothing() -> None:
    with pytest.raises(NotAnswered, match="ConnectionRefusedError"):
        Wire("127.0.0.1", free_port()).get(AnyShop(), "/openapi.json")


class AnyShop:
    """A shop with a key that no node knows."""

    token = "skireg_none"


def test_the_console_answers_a_line_with_a_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO('["no-such-command"]\n'))
    monkeypatch.setattr(signal, "signal", lambda *_: None)
    assert console.main() == 0
    (line,) = capsys.readouterr().out.splitlines()
    assert '"status": 2' in line


def test_the_console_ends_with_its_server(monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[Any] = []
    held = threading.Event()

    class Held:
        """An input that stays open."""

        def __iter__(self) -> Iterator[str]:
            yield '["serve", "--port", "0"]\n'
            held.wait(60)

    def start(arguments: list[str]) -> Any:
        started.append(real(arguments))
        return started[-1]

    real = console.start
    monkeypatch.setattr(sys, "stdin", Held())
    monkeypatch.setattr(console, "start", start)
    monkeypatch.setattr(signal, "signal", lambda *_: None)
    assert console.main() == 1
    held.set()
    assert started[0].poll() is not None

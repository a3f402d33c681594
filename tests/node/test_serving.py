"""A served node outlives a worker that is killed."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from service_registry.demo.node_process import free_port
from tests.exchange.nodes import until
from tests.node.running import ROOT

PATIENCE_S = 120


def workers(server: int) -> set[int]:
    """The processes that a server started and that live."""
    listed = subprocess.run(
        ["ps", "-A", "-o", "pid=,ppid=,stat=,args="], capture_output=True, text=True, check=True
    )
    rows = (line.split(None, 3) for line in listed.stdout.splitlines())
    return {
        int(pid)
        for pid, parent, state, what in rows
        if int(parent) == server and "Z" not in state and "resource_tracker" not in what
    }


def answers(port: int) -> bool:
    """Say whether the node answers."""
    try:
        with urllib.request.urlopen(
            f"http://127.0.0.1:{port}/api/v1/", timeout=PATIENCE_S
        ) as answer:
            return bool(answer.status == 200)
    except OSError:
        return False


@pytest.fixture
def port() -> int:
    """A port that is free."""
    return free_port()


@pytest.fixture
def server(port: int, tmp_path: Path) -> Iterator[subprocess.Popen[bytes]]:
    """A node with two workers."""
    command = [sys.executable, "-m", "service_registry", "serve", "--port", str(port)]
    environment = {"PATH": os.defpath, "DATA_DIR": str(tmp_path / "data")}
    with (tmp_path / "log").open("wb") as log:
        process = subprocess.Popen(
            [*command, "--workers", "2"],
            env=environment,
            cwd=ROOT,
            stdout=log,
            stderr=log,
            process_group=0,
        )
    try:
        yield process
    finally:
        # All of them at once: this is about how they live, and a test must not wait for the end.
        os.killpg(process.pid, signal.SIGKILL)
        process.wait(PATIENCE_S)


def test_a_killed_worker_is_started_anew(server: subprocess.Popen[bytes], port: int) -> None:
    until(lambda: answers(port), within_s=PATIENCE_S)
    until(lambda: len(workers(server.pid)) == 2, within_s=PATIENCE_S)
    killed = min(workers(server.pid))
    os.kill(killed, signal.SIGKILL)
    until(lambda: len(workers(server.pid) - {killed}) == 2, within_s=PATIENCE_S)
    until(lambda: answers(port), within_s=PATIENCE_S)
    assert server.poll() is None

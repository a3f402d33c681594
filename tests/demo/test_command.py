"""The command as a person starts it: a process of its own, on a database of its own."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from service_registry.demo.node_process import free_port
from tests.demo.curl import PATIENCE_S, curl_lines

COMMAND = [sys.executable, "-m", "service_registry", "demo"]
ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def environment(tmp_path: Path) -> dict[str, str]:
    """An environment whose ordinary node lies in a folder that must stay empty."""
    ordinary = tmp_path / "ordinary"
    ordinary.mkdir()
    url = f"sqlite:///{ordinary / 'ordinary.sqlite3'}"
    return {**os.environ, "DATA_DIR": str(ordinary), "DATABASE_URL": url}


def run(environment: dict[str, str], *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*COMMAND, *arguments], env=environment, cwd=ROOT, capture_output=True, text=True
    )


def test_the_story_is_the_same_told_once_and_served(
    tmp_path: Path, environment: dict[str, str]
) -> None:
    once = run(environment, "--once", "--folder", str(tmp_path / "demo"))
    assert once.stderr == ""
    assert once.returncode == 0
    for word in ("partly_ground_away", "stands", "undecided", "feasible", "steel-grew"):
        assert word in once.stdout
    served = told_and_served(tmp_path / "demo", environment)
    told, alone = without_commands(served), without_commands(once.stdout.splitlines())
    # They differ in how they end only.
    pages = next(n for n, line in enumerate(told) if line.startswith("The pages are on"))
    assert told[: pages - 1] == alone[:-2]
    assert list((tmp_path / "ordinary").iterdir()) == []


def without_commands(story: list[str]) -> list[str]:
    """The story without the lines that hold keys and ports, which are others each time."""
    commands = ("  curl ", "  service-registry ", "  env ")
    return [line.rstrip("\n") for line in story if not line.startswith(commands)]


@pytest.mark.parametrize("seed", ["-1", "x", "1.5"])
def test_a_seed_is_a_whole_number(environment: dict[str, str], seed: str) -> None:
    refused = run(environment, "--once", "--seed", seed)
    assert refused.returncode == 2
    assert "whole number" in refused.stderr or "expected one argument" in refused.stderr


def test_a_port_in_use_is_refused_before_anything_is_made(
    tmp_path: Path, environment: dict[str, str]
) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        refused = run(environment, "--port", port, "--folder", str(tmp_path / "demo"))
    assert refused.returncode == 1
    assert "--port" in refused.stderr
    assert not (tmp_path / "demo").exists()


def told_and_served(folder: Path, environment: dict[str, str]) -> list[str]:
    """Let it serve, ask all that its curl lines ask, and end it; gives what it printed."""
    arguments = ["--port", str(free_port()), "--folder", str(folder)]
    with subprocess.Popen(
        [*COMMAND, *arguments],
        env=environment,
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as served:
        try:
            assert served.stdout is not None
            story = list(until_serving(served.stdout))
            lines = curl_lines(story)
            assert len({line.place for line in lines}) == 2
            for line in lines:
                answer = line.answer()
                assert isinstance(answer, dict)
                assert "type" not in answer, answer
        finally:
            served.terminate()
            served.communicate(timeout=PATIENCE_S)
    assert served.returncode == 0
    for place in {line.place for line in lines}:
        wait_until_free(place)
    return story


def wait_until_free(place: tuple[str, int]) -> None:
    """Wait until nothing answers at a place any more."""
    end = time.monotonic() + PATIENCE_S
    while True:
        try:
            socket.create_connection(place, 5).close()
        except ConnectionRefusedError:
            return
        assert time.monotonic() < end
        time.sleep(0.1)


def until_serving(lines: Iterator[str]) -> Iterator[str]:
    for line in lines:
        yield line
        if line.startswith("Serving on"):
            return
    raise AssertionError("It ended without serving.")

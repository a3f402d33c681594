"""The command as a person starts it: a process of its own, on a database of its own."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.demo.curl import CurlLine, curl_lines

COMMAND = [sys.executable, "-m", "service_registry", "demo"]
ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 120


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


def test_once_tells_the_story_and_ends_well(tmp_path: Path, environment: dict[str, str]) -> None:
    folder = tmp_path / "demo"
    first = run(environment, "--once", "--folder", str(folder))
    assert first.stderr == ""
    assert first.returncode == 0
    for word in ("partly_ground_away", "stands", "undecided", "feasible", "steel-grew"):
        assert word in first.stdout
    assert len(curl_lines(first.stdout.splitlines())) >= 6
    assert list((tmp_path / "ordinary").iterdir()) == []
    again = run(environment, "--once", "--folder", str(folder))
    assert without_curl(again.stdout) == without_curl(first.stdout)


def without_curl(story: str) -> list[str]:
    return [line for line in story.splitlines() if "curl " not in line]


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


def test_it_serves_what_the_curl_lines_ask(tmp_path: Path, environment: dict[str, str]) -> None:
    port = free_port()
    arguments = ["--port", str(port), "--folder", str(tmp_path / "demo")]
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
            for line in curl_lines(story):
                answer = answer_of(line)
                assert isinstance(answer, dict)
                assert "type" not in answer, answer
        finally:
            served.terminate()
            served.communicate(timeout=PATIENCE_S)


def until_serving(lines: Iterator[str]) -> Iterator[str]:
    for line in lines:
        yield line
        if line.startswith("Serving on"):
            return
    raise AssertionError("It ended without serving.")


def answer_of(line: CurlLine) -> object:
    """Ask until the server is up."""
    body = None if line.body is None else line.body.encode()
    request = urllib.request.Request(line.address, data=body, headers=line.headers)  # noqa: S310
    end = time.monotonic() + PATIENCE_S
    while True:
        try:
            with urllib.request.urlopen(request, timeout=PATIENCE_S) as answer:  # noqa: S310
                return json.loads(answer.read())
        except urllib.error.HTTPError:
            raise
        except OSError:
            if time.monotonic() > end:
                raise
            time.sleep(0.1)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])

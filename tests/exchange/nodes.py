"""Real nodes for tests: processes of their own, each with a database of its own."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx

from service_registry.demo.node_process import free_port

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 180
RATES = {f"RATE_{name}": "1000000/minute" for name in ("READ", "WRITE", "COMPUTE", "UNKNOWN")}


def until(holds: Callable[[], bool], *, within_s: float = PATIENCE_S) -> None:
    """Wait until something holds; long enough for a machine that is busy with other tests."""
    end = time.monotonic() + within_s
    while not holds():
        assert time.monotonic() < end
        time.sleep(0.05)


def end(process: subprocess.Popen[Any]) -> None:
    """End a process with all that it started: asked first, then killed."""
    if process.poll() is None:
        process.send_signal(signal.SIGTERM)
        with contextlib.suppress(subprocess.TimeoutExpired):
            process.wait(20)
    kill(process)


def kill(process: subprocess.Popen[Any]) -> None:
    """Kill a process with all that it started, without a word before."""
    with contextlib.suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    process.wait(PATIENCE_S)


@dataclass
class Node:
    """One node: its settings, and what it runs."""

    host: str
    folder: Path
    database_url: str = ""
    port: int = field(default_factory=free_port)
    said: dict[str, str] = field(default_factory=dict)
    server: subprocess.Popen[Any] | None = None

    @property
    def environment(self) -> Mapping[str, str]:
        """All its settings."""
        database = {"DATABASE_URL": self.database_url} if self.database_url else {}
        return {
            "PATH": os.defpath,
            "NODE_HOST": self.host,
            "DATA_DIR": str(self.folder),
            "LOG_LEVEL": "WARNING",
            **RATES,
            **database,
        }

    @property
    def url(self) -> str:
        """Its address."""
        return f"http://127.0.0.1:{self.port}"

    def start(self, *arguments: str) -> subprocess.Popen[str]:
        """Start a command of the node's, with what it says kept in pipes."""
        return subprocess.Popen(
            [sys.executable, "-m", "service_registry", *arguments],
            env=dict(self.environment),
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
        )

    def run(self, *arguments: str) -> subprocess.CompletedProcess[str]:
        """Run a command to its end."""
        process = self.start(*arguments)
        try:
            out, err = process.communicate(timeout=PATIENCE_S)
        finally:
            kill(process)
        return subprocess.CompletedProcess(arguments, process.returncode, out, err)

    def prepare(self, code: str, skis: int) -> subprocess.Popen[str]:
        """Begin to prepare the node; `prepared` waits for it."""
        return subprocess.Popen(
            [sys.executable, "-m", "tests.exchange.node_setup", code, str(skis)],
            env=dict(self.environment),
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
        )

    def prepared(self, process: subprocess.Popen[str]) -> None:
        """Wait until the node is prepared, and keep what it said."""
        out, err = process.communicate(timeout=PATIENCE_S)
        assert process.returncode == 0, err
        self.said = json.loads(out.splitlines()[-1])
        (self.folder / "token").write_text(self.said["feed"] + "\n")

    def serve(self, *more: str) -> None:
        """Serve, and wait until it answers."""
        command = [sys.executable, "-m", "service_registry", "serve", "--prepared"]
        with (self.folder / "server.log").open("ab") as log:
            self.server = subprocess.Popen(
                [*command, "--port", str(self.port), *more],
                env=dict(self.environment),
                cwd=ROOT,
                stdout=log,
                stderr=log,
                start_new_session=True,
            )
        until(self.answers)

    def answers(self) -> bool:
        """Say whether it answers."""
        try:
            return bool(self.get("log/checkpoint"))
        except httpx.HTTPError:
            return False

    def get(self, path: str, token: str = "") -> bytes:
        """GET an address below the API."""
        headers = {"Authorization": f"Bearer {token}"} if token else {}
        answer = httpx.get(f"{self.url}/api/v1/{path}", headers=headers, timeout=PATIENCE_S)
        assert answer.status_code == 200, answer.text
        return answer.content

    def json(self, path: str) -> Any:
        """GET a document as its shop."""
        return json.loads(self.get(path, self.said["bench"]))

    def post(self, path: str, document: object) -> Any:
        """POST a document as its shop."""
        headers = {
            "Authorization": f"Bearer {self.said['bench']}",
            "Idempotency-Key": f"key-{time.monotonic_ns()}",
        }
        url = f"{self.url}/api/v1/{path}"
        answer = httpx.post(url, json=document, headers=headers, timeout=PATIENCE_S)
        assert answer.status_code == 201, answer.text
        return answer.json()

    def ids(self) -> list[str]:
        """The ids of its log, in its order, by its feed."""
        found: list[str] = []
        size = int(self.get("log/checkpoint").split(b"\n")[1])
        while len(found) < size:
            path = f"log/records?from={len(found)}&until={size}&limit=500"
            page = json.loads(self.get(path, self.said["feed"]))
            found += [item["id"] for item in page["items"]]
        return found

    def stop(self) -> None:
        """Stop serving."""
        if self.server is not None:
            end(self.server)
            self.server = None


@contextlib.contextmanager
def stopping(nodes: list[Node]) -> Iterator[None]:
    """Stop all nodes in the end, whatever happened."""
    try:
        yield
    finally:
        for node in nodes:
            node.stop()

"""A real node of the demo: a process with settings of its own, that runs commands and serves."""

from __future__ import annotations

import contextlib
import json
import os
import queue
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import IO, cast

from service_registry.demo.asking import NotAnswered

Pipe = IO[str]

LOOPBACK = "127.0.0.1"
PATIENCE_S = 180
ENDING_S = 30
GLANCE_S = 0.05


@dataclass(frozen=True, slots=True)
class Said:
    """What a command came to.

    Parameters
    ----------
    status : int
        Its exit status.
    out, err : str
        What it printed.
    """

    status: int
    out: str
    err: str


def free_port() -> int:
    """Give a port of this machine that nobody has."""
    with socket.socket() as probe:
        probe.bind((LOOPBACK, 0))
        return int(probe.getsockname()[1])


class NodeProcess:
    """A node in a process of its own.

    Parameters
    ----------
    environment : mapping
        All of its environment.
    log : Path
        File for what its server says.
    """

    def __init__(self, environment: Mapping[str, str], log: Path) -> None:
        with log.open("ab") as file:
            # In a session of its own, no key that is struck here ends it before its time.
            self._process = subprocess.Popen(
                [sys.executable, "-m", "service_registry.demo.console"],
                env=dict(environment),
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=file,
                text=True,
                start_new_session=True,
            )
        self._log = log
        self._lines: queue.Queue[str | None] = queue.Queue()
        self._input = cast("Pipe", self._process.stdin)
        self._output = cast("Pipe", self._process.stdout)
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        for line in self._output:
            self._lines.put(line)
        self._lines.put(None)

    @property
    def is_running(self) -> bool:
        """Whether it is there still; it ends when its server does."""
        return self._process.poll() is None

    def begin(self, *arguments: str) -> None:
        """Begin a command; commands are run in turn, and answered in turn by `result`."""
        try:
            self._input.write(json.dumps(arguments) + "\n")
            self._input.flush()
        except OSError as error:
            raise self._gone() from error

    def result(self) -> Said:
        """Wait for the oldest command that was begun and not asked for yet.

        Raises
        ------
        NotAnswered
            When the node ended, or takes too long.
        """
        try:
            line = self._lines.get(timeout=PATIENCE_S)
        except queue.Empty as error:
            raise NotAnswered(f"A command took longer than {PATIENCE_S} seconds.") from error
        if line is None:
            raise self._gone()
        return Said(**json.loads(line))

    def run(self, *arguments: str) -> str:
        """Run a command to its end, and give what it printed.

        Raises
        ------
        NotAnswered
            With what it said, when its status is not 0.
        """
        self.begin(*arguments)
        return self.went_well(*arguments[:1])

    def went_well(self, name: str) -> str:
        """Give what the oldest command that was begun printed.

        Raises
        ------
        NotAnswered
            With what it said, when its status is not 0.
        """
        said = self.result()
        if said.status:
            raise NotAnswered(f"{name}: status {said.status}. {said.out}{said.err}")
        return said.out

    def begin_to_serve(self, port: int) -> None:
        """Begin to serve on a port; the server lives beside the commands that come after."""
        self.begin("serve", "--prepared", "--host", LOOPBACK, "--port", str(port))

    def wait_until_served(self, port: int) -> None:
        """Wait until the port takes connections.

        Raises
        ------
        NotAnswered
        """
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end and self.is_running:
            with contextlib.suppress(OSError), socket.create_connection((LOOPBACK, port), 1):
                return
            time.sleep(GLANCE_S)
        raise NotAnswered(f"Port {port} took no connection. Look at {self._log}.")

    def end(self) -> None:
        """End it with all that it started: asked first, then killed."""
        for ask in (self.hang_up, self._process.terminate):
            ask()
            with contextlib.suppress(subprocess.TimeoutExpired):
                self._process.wait(ENDING_S)
                break
        # Whatever it left behind is in its session still.
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait(ENDING_S)
        self._reader.join(ENDING_S)
        self._output.close()

    def hang_up(self) -> None:
        """Ask it to end, and don't wait for it."""
        with contextlib.suppress(OSError):
            self._input.close()

    def _gone(self) -> NotAnswered:
        return NotAnswered(f"The process of a node ended. Look at {self._log}.")

"""The process of one node of the demo: runs its commands one after another, and serves it beside.

``python -m service_registry.demo.console`` reads a JSON list of arguments a line and answers each
with a line, so that Django starts once a node and not once a command. It ends, and its server with
it, when nobody holds its standard input any more.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import queue
import signal
import subprocess
import sys
import threading
from collections.abc import Sequence
from typing import Any

GLANCE_S = 0.5
PATIENCE_S = 20
SERVE = "serve"


def main() -> int:
    """Answer until the input ends; 1 when the server ended by itself."""
    # No SystemExit: a command that ends so is answered like any other.
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    lines: queue.Queue[str] = queue.Queue()
    threading.Thread(target=_read, args=[lines], daemon=True).start()
    server: subprocess.Popen[bytes] | None = None
    try:
        while server is None or server.poll() is None:
            arguments = _next(lines)
            if arguments is None:
                return 0
            if arguments[:1] == [SERVE]:
                server = start(arguments)
                _say({"status": 0, "out": "", "err": ""})
            elif arguments:
                _say(answer(arguments))
        return 1
    except KeyboardInterrupt:
        return 0
    finally:
        if server is not None:
            end(server)


def _read(lines: queue.Queue[str]) -> None:
    for line in sys.stdin:
        lines.put(line)
    lines.put("")


def _next(lines: queue.Queue[str]) -> list[str] | None:
    """Give the next command, nothing when there is none yet, None when there will be no more."""
    try:
        line = lines.get(timeout=GLANCE_S)
    except queue.Empty:
        return []
    return [str(word) for word in json.loads(line)] if line else None


def answer(arguments: Sequence[str]) -> dict[str, Any]:
    """Run one command as the command line does, and give its status and what it printed."""
    from service_registry.__main__ import main as run

    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            status = run(arguments)
        except SystemExit as ended:
            # A wrong call ends the parser so.
            status = ended.code if isinstance(ended.code, int) else 1
    return {"status": status, "out": out.getvalue(), "err": err.getvalue()}


def start(arguments: Sequence[str]) -> subprocess.Popen[bytes]:
    """Start the server; what it says goes where this process's errors go."""
    command = [sys.executable, "-m", "service_registry", *arguments]
    return subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=sys.stderr)  # noqa: S603


def end(process: subprocess.Popen[bytes]) -> None:
    """Ask a process to end, and end it if it does not."""
    process.terminate()
    try:
        process.wait(PATIENCE_S)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait(PATIENCE_S)


def _say(document: dict[str, Any]) -> None:
    print(json.dumps(document), flush=True)  # noqa: T201 - read by the demo


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "service_registry.settings")
    sys.exit(main())

"""Runs every test: ``python -m tests``, with any arguments of pytest behind it.

The whole suite runs on SQLite; then every test that touches the database runs again on a private
PostgreSQL, and the pages are opened in a real browser. Without arguments the first run must also
cover the code. A run without PostgreSQL or without a browser fails: what was not tried
there is not known to work there.

The browser has a step of its own. Its driver runs an event loop in the test's thread, in which
Django refuses the database to whichever test comes next; and each worker keeps a browser and a
node, which beside the other tests would have them all wait for each other. No coverage is kept
there: the code that these tests try runs in the node's process.
"""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tests.postgres import NoPostgres, end_on_signal, private_server

ROOT = Path(__file__).resolve().parents[1]
WORKERS = "2"
NO_TESTS = 5
STEP_SECONDS = 1800
TOOK_TOO_LONG = 124
PURE_ROOMS = "apps/records/*,apps/tuning/*"
LEAST_OF_ALL = 95
LEAST_OF_PURE_ROOMS = 100


@dataclass(frozen=True)
class Step:
    """One step of the run and what it came to."""

    name: str
    status: int

    @property
    def is_well(self) -> bool:
        """Whether it succeeded."""
        return self.status == 0

    def __str__(self) -> str:
        return f"{self.name}: {'passed' if self.is_well else f'FAILED (exit {self.status})'}"


def run(command: Sequence[str], environment: Mapping[str, str] | None = None) -> int:
    """Run a command at the top of the repository; gives its exit status.

    A command that does not end is ended with all that it started, so that a run always says
    what it came to.
    """
    variables = {**os.environ, **(environment or {})}
    with subprocess.Popen(command, cwd=ROOT, env=variables, process_group=0) as process:
        try:
            return process.wait(STEP_SECONDS)
        except subprocess.TimeoutExpired:
            print(f"Not done after {STEP_SECONDS} seconds: {' '.join(command)}", file=sys.stderr)
            return TOOK_TOO_LONG
        finally:
            # Also where this process is ended itself, and for what the tests left running.
            with contextlib.suppress(ProcessLookupError):
                os.killpg(process.pid, signal.SIGKILL)


def pytest(name: str, arguments: Sequence[str], **environment: str) -> Step:
    """Run pytest in a step of its own."""
    print(f"\n== {name}", flush=True)
    command = (sys.executable, "-m", "pytest", "-n", WORKERS, *arguments)
    return Step(name, run(command, environment))


def on_sqlite(arguments: Sequence[str]) -> Step:
    """Run everything on SQLite, whatever database the environment names."""
    # Keeping coverage makes a run half as long again, so one run keeps it for both databases.
    options = ("--cov", "--cov-report=", "-m", "not browser")
    return pytest("SQLite", (*options, *arguments), DATABASE_URL="")


def on_postgresql(arguments: Sequence[str]) -> Step:
    """Run what touches the database again on PostgreSQL."""
    name = "PostgreSQL"
    try:
        with private_server() as url:
            return pytest(name, ("-m", "database", *arguments), DATABASE_URL=url)
    except NoPostgres as error:
        print(error, file=sys.stderr)
        return Step(name, 1)


def in_browser(arguments: Sequence[str]) -> Step:
    """Open the pages of a real node in a real browser."""
    name = "Browser"
    print(f"\n== {name}", flush=True)
    command = (sys.executable, "-m", "pytest", "-n", WORKERS, "-m", "browser", *arguments)
    return Step(name, run(command))


def settled(steps: Sequence[Step], arguments: Sequence[str]) -> list[Step]:
    """Let a step hold none of the tests that were chosen, as long as another one holds some."""
    held_none = [step.status == NO_TESTS for step in steps]
    if not arguments or all(held_none):
        return list(steps)
    return [
        replace(step, status=0) if none else step
        for step, none in zip(steps, held_none, strict=True)
    ]


def coverage() -> list[Step]:
    """Hold the run on SQLite to what must be covered."""
    print("\n== Coverage", flush=True)
    tool = (sys.executable, "-m", "coverage")
    all_rooms = (*tool, "report", f"--fail-under={LEAST_OF_ALL}")
    pure = (*tool, "report", f"--include={PURE_ROOMS}", f"--fail-under={LEAST_OF_PURE_ROOMS}")
    return [
        Step(f"Coverage of at least {LEAST_OF_ALL} %", run(all_rooms)),
        Step(f"Coverage of the pure rooms of {LEAST_OF_PURE_ROOMS} %", run(pure)),
    ]


def main(arguments: Sequence[str]) -> int:
    """Run all steps, whatever the ones before came to, and sum up."""
    end_on_signal()
    ran = [on_sqlite(arguments), on_postgresql(arguments), in_browser(arguments)]
    steps = settled(ran, arguments)
    if not arguments:
        steps += coverage()
    print("\n== Summary")
    for step in steps:
        print(step)
    return 0 if all(step.is_well for step in steps) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

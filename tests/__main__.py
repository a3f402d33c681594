"""Runs every test: ``python -m tests``, with any arguments of pytest behind it.

The whole suite runs on SQLite; then every test that touches the database runs again on a private
PostgreSQL. Without arguments both together must also cover the code. A run without PostgreSQL
fails: what was not tried there is not known to work there.
"""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
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
    """Run pytest with coverage kept in a file of this step's own."""
    print(f"\n== {name}", flush=True)
    options = ("-n", WORKERS, "--cov", "--cov-report=")
    command = (sys.executable, "-m", "pytest", *options, *arguments)
    data = str(ROOT / f".coverage.{name.lower()}")
    return Step(name, run(command, {"COVERAGE_FILE": data, **environment}))


def on_sqlite(arguments: Sequence[str]) -> Step:
    """Run everything on SQLite, whatever database the environment names."""
    return pytest("SQLite", arguments, DATABASE_URL="")


def on_postgresql(arguments: Sequence[str]) -> Step:
    """Run what touches the database again on PostgreSQL."""
    name = "PostgreSQL"
    try:
        with private_server() as url:
            step = pytest(name, ("-m", "database", *arguments), DATABASE_URL=url)
    except NoPostgres as error:
        print(error, file=sys.stderr)
        return Step(name, 1)
    # A choice of tests may hold none that touches the database; the whole suite may not.
    return Step(name, 0) if arguments and step.status == NO_TESTS else step


def coverage() -> list[Step]:
    """Join both runs and hold them to what must be covered."""
    print("\n== Coverage", flush=True)
    tool = (sys.executable, "-m", "coverage")
    run((*tool, "combine", "--quiet", ".coverage.sqlite", ".coverage.postgresql"))
    all_rooms = (*tool, "report", f"--fail-under={LEAST_OF_ALL}")
    pure = (*tool, "report", f"--include={PURE_ROOMS}", f"--fail-under={LEAST_OF_PURE_ROOMS}")
    return [
        Step(f"Coverage of at least {LEAST_OF_ALL} %", run(all_rooms)),
        Step(f"Coverage of the pure rooms of {LEAST_OF_PURE_ROOMS} %", run(pure)),
    ]


def main(arguments: Sequence[str]) -> int:
    """Run all steps, whatever the ones before came to, and sum up."""
    end_on_signal()
    steps = [on_sqlite(arguments), on_postgresql(arguments)]
    if not arguments:
        steps += coverage()
    print("\n== Summary")
    for step in steps:
        print(step)
    return 0 if all(step.is_well for step in steps) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

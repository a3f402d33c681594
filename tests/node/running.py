"""Runs the command line as a process of its own, with nothing but the given settings."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def run_command(*arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run one command to its end."""
    return subprocess.run(
        [sys.executable, "-m", "service_registry", *arguments],
        env={"PATH": os.defpath, **environment},
        cwd=ROOT,
        capture_output=True,
        text=True,
    )

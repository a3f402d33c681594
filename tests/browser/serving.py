"""A real node that serves the scenario, in a process of its own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from service_registry.demo.node_process import LOOPBACK, NodeProcess, free_port
from service_registry.demo.surroundings import SERVER_LOG, own_settings, with_settings

ROOT = Path(__file__).resolve().parents[2]
LOADING_S = 120


@dataclass(frozen=True)
class Node:
    """What a test knows of the node.

    Parameters
    ----------
    address : str
        Where it is served, without a slash at the end.
    people : mapping
        Name and password of those who may log in, by role: of the hire, and of the operator.
    places : mapping
        What is this node's own in the paths of `every_page`.
    """

    address: str
    people: Mapping[str, tuple[str, str]]
    places: Mapping[str, str]

    def fill(self, path: str) -> str:
        """Give a path of `every_page` as it is on this node."""
        return path.format(**self.places)


@contextmanager
def served(folder: Path) -> Iterator[Node]:
    """Load the scenario into a folder, serve it on a free port, and end the server in the end."""
    settings = with_settings(own_settings(folder), os.environ)
    loaded = _loaded(settings)
    port = free_port()
    process = NodeProcess(settings, folder / SERVER_LOG)
    try:
        process.begin_to_serve(port)
        process.went_well("serve")
        process.wait_until_served(port)
        yield Node(f"http://{LOOPBACK}:{port}", loaded["people"], loaded["places"])
    finally:
        process.end()


def _loaded(settings: Mapping[str, str]) -> dict[str, Any]:
    command = [sys.executable, "-m", "tests.browser.loading"]
    done = subprocess.run(
        command, env=settings, cwd=ROOT, timeout=LOADING_S, check=True, stdout=subprocess.PIPE
    )
    loaded: dict[str, Any] = json.loads(done.stdout)
    return loaded

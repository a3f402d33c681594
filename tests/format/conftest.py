"""What the tests of the format share."""

from __future__ import annotations

import ast
from collections.abc import Callable
from pathlib import Path

import pytest


def _imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            found.add(node.module or "")
    return found


@pytest.fixture
def imports() -> Callable[[Path], set[str]]:
    """Read which modules a file imports."""
    return _imports

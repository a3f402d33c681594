"""What the tests of the demo share."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytest_django import Settings


@pytest.fixture
def written_static(settings: Settings, tmp_path: Path) -> None:
    """Give the static files a folder, as preparing a node does; a missing one is warned of."""
    settings.STATIC_ROOT = tmp_path

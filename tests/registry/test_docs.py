"""What the page on the data model promises is there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.apps import apps

from apps.registry import fsck

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "data-model.md").read_text(encoding="utf-8")


def test_every_table_is_on_the_page_once() -> None:
    table = PAGE[PAGE.index("| **Truth**") : PAGE.index("A record is one JSON document")]
    named = re.findall(r"`(\w+)`", table)
    rooms = [apps.get_app_config(room) for room in ("registry", "exchange")]
    models = {model.__name__ for room in rooms for model in room.get_models()}
    assert sorted(named) == sorted(models)


@pytest.mark.parametrize("name", re.findall(r"`(\w+_\w+)`", PAGE[PAGE.index("- **Named") :]))
def test_every_name_on_the_page_is_in_the_code(name: str) -> None:
    rooms = Path(fsck.__file__).resolve().parent
    assert any(name in path.read_text(encoding="utf-8") for path in rooms.rglob("*.py"))


def test_every_code_of_a_check_is_on_the_page() -> None:
    source = Path(fsck.__file__).read_text(encoding="utf-8")
    codes = set(re.findall(r'"((?:hole|wrong|bad|missing|extra)-[a-z-]+|unreadable)"', source))
    listed = PAGE[PAGE.index("| code |") : PAGE.index("## Errors")]
    assert codes == set(re.findall(r"`([a-z-]+)`", listed)) - {"rebuild"}

"""What is made from the code stands as it is made, and a drift is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from service_registry.__main__ import main
from service_registry.commands.contract import write_or_check


@pytest.mark.parametrize("command", ["schema", "openapi"])
def test_what_is_committed_has_not_drifted(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command, "--check"]) == 0, capsys.readouterr().err


def test_a_drifted_file_is_named_and_left(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tmp_path / "page.md"
    page.write_text("old")
    assert write_or_check({page: "new", tmp_path / "absent.md": "new"}, check=True) == 1
    told = capsys.readouterr().err
    assert "page.md has drifted" in told
    assert "absent.md has drifted" in told
    assert page.read_text() == "old"


def test_writing_makes_it_stand(tmp_path: Path) -> None:
    page = tmp_path / "page.md"
    assert write_or_check({page: "new"}, check=False) == 0
    assert write_or_check({page: "new"}, check=True) == 0
    assert page.read_text() == "new"

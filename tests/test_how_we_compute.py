"""The worked numbers on the pages of how we compute are what the code gives."""

from __future__ import annotations

import doctest
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PAGES = sorted((ROOT / "docs" / "how-we-compute").glob("*.md"))


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_the_worked_numbers_of_a_page_are_recomputed(page: Path) -> None:
    result = doctest.testfile(
        str(page), module_relative=False, optionflags=doctest.ELLIPSIS, encoding="utf-8"
    )
    assert result.attempted > 0, "The page works out no number."
    assert result.failed == 0


def test_the_index_links_every_page() -> None:
    index = (ROOT / "docs" / "how-we-compute.md").read_text(encoding="utf-8")
    assert [page.name for page in PAGES if f"(how-we-compute/{page.name})" not in index] == []

"""Every worked value of the pages is made anew, and none stands there unmade."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.format.pages import BLOCK, ROOT, WORKED, golden, pages

OTHERS = [ROOT / "docs" / name for name in ("format.md", "trust.md", "mappings.md")]
# A hash, a key, a signature, or base64 of one.
VALUE = re.compile(r"[0-9a-f]{64}|[A-Za-z0-9+/_-]{43,}")


def blocks(page: Path) -> list[tuple[str, str]]:
    return BLOCK.findall(page.read_text(encoding="utf-8"))


@pytest.mark.parametrize("page", pages(), ids=lambda page: page.name)
def test_each_worked_value_comes_out_the_same(page: Path) -> None:
    for name, kept in blocks(page):
        assert WORKED[name]() == kept, name


def test_each_worked_value_stands_once() -> None:
    named = [name for page in pages() for name, _ in blocks(page)]
    assert sorted(named) == sorted(WORKED)


@pytest.mark.parametrize("page", [*pages(), *OTHERS], ids=lambda page: page.name)
def test_no_value_stands_outside_the_worked_ones(page: Path) -> None:
    rest = BLOCK.sub("", page.read_text(encoding="utf-8"))
    rest = re.sub(r"\]\([^)]*\)", "", rest)
    assert VALUE.findall(rest) == []


def test_the_golden_erasure_is_about_the_row_that_the_pages_erase() -> None:
    assert golden("erasure")["document"]["refers_to"] == [golden("measurement-value")["id"]]

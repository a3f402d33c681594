"""The docs of the pages lead where they say, and show every picture that is kept."""

from __future__ import annotations

import re
from pathlib import Path

DOCS = Path(__file__).resolve().parents[1] / "docs"
OVERVIEW = DOCS / "pages.md"
PAGES = (OVERVIEW, *sorted((DOCS / "pages").glob("*.md")))
MOST_BYTES = 1_500_000
LINK = re.compile(r"\]\(([^)#\s]+)")


def linked() -> set[Path]:
    found = ((page.parent, LINK.findall(page.read_text(encoding="utf-8"))) for page in PAGES)
    addresses = {(folder, link) for folder, links in found for link in links if ":" not in link}
    return {(folder / link).resolve() for folder, link in addresses}


def test_every_link_leads_to_a_file() -> None:
    assert [str(path) for path in sorted(linked()) if not path.is_file()] == []


def test_the_overview_names_every_page() -> None:
    assert set(PAGES) <= linked() | {OVERVIEW}


def test_every_picture_is_shown_and_together_they_are_small() -> None:
    pictures = set((DOCS / "pages").glob("*.png"))
    assert pictures
    assert pictures <= linked()
    assert sum(picture.stat().st_size for picture in pictures) < MOST_BYTES

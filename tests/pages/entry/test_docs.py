"""What the page on people promises of the entry is what the code does."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.conf import settings

from apps.pages.entry import tries
from apps.pages.shop.shown_once import MAX_AGE_S
from apps.registry.sharing import LONGEST_SHARE_DAYS

TEXT = " ".join((Path(__file__).parents[3] / "docs" / "pages" / "people.md").read_text().split())


def test_the_tries_are_as_many_as_are_promised() -> None:
    minutes = tries.PERIOD_S // 60
    said = f"({tries.MOST_A_NAME} tries in {minutes} minutes) and by address alone"
    assert f"{said} ({tries.MOST_AN_ADDRESS})" in TEXT


def test_the_counts_have_room_for_whoever_tries_many_names() -> None:
    cache: Any = settings.CACHES["default"]
    most = cache["OPTIONS"]["MAX_ENTRIES"]
    assert most > 100 * tries.MOST_AN_ADDRESS


def test_a_secret_travels_as_long_as_is_promised() -> None:
    assert MAX_AGE_S == 2 * 60
    assert "for two minutes at most" in TEXT


def test_links_last_as_long_as_is_promised() -> None:
    assert f"for {LONGEST_SHARE_DAYS} days at most" in TEXT

"""What the page about the demo promises is so."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from service_registry.demo.exchange_story import TAG
from service_registry.demo.scenario import DEFAULT_SEED, Scenario, make_scenario
from service_registry.demo.shops import NEIGHBOUR
from service_registry.demo.surroundings import BUNDLE, CHANGED_BUNDLE, SECOND_HOST, SERVER_LOG
from tests.demo.test_exchange_story import APART

PAGE = Path(__file__).resolve().parents[2] / "docs" / "demo.md"


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return make_scenario(DEFAULT_SEED, date(2026, 11, 25))


def kinds_on(scenario: Scenario, tag: str) -> list[str]:
    (book,) = (book for book in scenario.chronicles if book.ski.tag == tag)
    return [entry.kind for entry in book.entries]


def test_the_page_counts_the_skis(scenario: Scenario) -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert f"{len(scenario.chronicles)} skis" in page
    for book in scenario.chronicles:
        assert f"`{book.ski.shop.code}`" in page


@pytest.mark.parametrize(
    ("tag", "kind"),
    [("VH-102-A", "correction"), ("VH-103-A", "retraction"), ("VH-107-B", "measurement")],
)
def test_the_mistakes_are_where_the_page_says(scenario: Scenario, tag: str, kind: str) -> None:
    assert kind in kinds_on(scenario, tag)


@pytest.mark.parametrize(
    "tag", ["VH-105-A", "VH-105-B", "VH-111-A", "VH-117-A", "PS-02-A", "PS-02-B"]
)
def test_the_unmeasured_are_those_the_page_names(scenario: Scenario, tag: str) -> None:
    (book,) = (book for book in scenario.chronicles if book.ski.tag == tag)
    assert not any(entry.body.get("measurements") for entry in book.entries)
    assert "measurement" not in kinds_on(scenario, tag)


@pytest.mark.parametrize(
    ("tag", "status"),
    [
        ("VH-107-A", "sold"),
        ("VH-113-A", "retired"),
        ("VH-116-A", "quarantined"),
        ("VH-118-A", "missing"),
    ],
)
def test_the_ends_are_as_the_page_says(scenario: Scenario, tag: str, status: str) -> None:
    (book,) = (book for book in scenario.chronicles if book.ski.tag == tag)
    last = [entry.body["status"] for entry in book.entries if entry.kind == "status"][-1]
    assert last == status


def test_the_page_has_the_parts_of_the_story_and_names_what_is_in_the_last(
    scenario: Scenario,
) -> None:
    page = PAGE.read_text(encoding="utf-8")
    numbers = [int(found) for found in re.findall(r"^(\d+)\. ", page, re.MULTILINE)]
    assert numbers == list(range(1, APART + 1))
    assert scenario.hero.tag in page
    for name in (TAG, NEIGHBOUR.code, SECOND_HOST, BUNDLE, CHANGED_BUNDLE, SERVER_LOG):
        assert f"`{name}`" in page

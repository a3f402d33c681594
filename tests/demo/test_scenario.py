"""The scenario is the same for the same seed, believable, and as large as promised."""

from __future__ import annotations

from collections import Counter, defaultdict
from datetime import date
from decimal import Decimal
from functools import cache
from math import hypot

import pytest

from apps.records.kinds import KINDS_ABOUT_A_SKI
from apps.records.reading import read_draft
from service_registry.demo.chronicle import Entry
from service_registry.demo.scenario import DEFAULT_SEED, HERO_TAGS, Scenario, make_scenario
from service_registry.demo.seasons import SEASONS, Season, seasons_until
from service_registry.demo.shops import SHOPS

TODAY = date(2026, 11, 25)
HOST = "localhost.invalid"
SEEDS = (DEFAULT_SEED, 0, 77)
# These are what shops and nodes say to each other; one node alone has no need of them.
BETWEEN_NODES = {"same-ski", "distinct-ski", "dispute", "erasure"}


@cache
def scenario(seed: int = DEFAULT_SEED) -> Scenario:
    return make_scenario(seed, TODAY)


def entries_of(one: Scenario, tag: str) -> list[Entry]:
    return [entry for book in one.chronicles if book.ski.tag == tag for entry in book.entries]


def readings(entries: list[Entry]) -> list[tuple[str, Decimal, Decimal]]:
    """Every edge height that stands, in the order written: edge, value, uncertainty."""
    found = []
    retracted = {entry.refers_to for entry in entries if entry.kind == "retraction"}
    for entry in entries:
        if entry.label in retracted:
            continue
        bodies = entry.body.get("measurements", [])
        bodies = [entry.body] if entry.kind == "measurement" else bodies
        found += [
            (body["edge"], Decimal(body["value"]), Decimal(body["uncertainty"]))
            for body in bodies
            if body["quantity"] == "edge_height_mm"
        ]
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_the_same_seed_makes_the_same_entries(seed: int) -> None:
    assert make_scenario(seed, TODAY).entries() == scenario(seed).entries()


def test_it_changes_with_the_winter_and_not_with_the_day() -> None:
    assert make_scenario(DEFAULT_SEED, date(2026, 5, 20)).entries() == scenario().entries()
    assert make_scenario(DEFAULT_SEED, date(2026, 5, 19)).entries() != scenario().entries()


def test_another_seed_makes_other_entries() -> None:
    assert scenario(0).entries() != scenario(1).entries()


@pytest.mark.parametrize("seed", SEEDS)
def test_three_shops_and_forty_skis_with_three_winters_each(seed: int) -> None:
    one = scenario(seed)
    assert {book.ski.shop for book in one.chronicles} == set(SHOPS)
    full = [
        book
        for book in one.chronicles
        if len({Season.of(entry.day) for entry in book.entries}) >= SEASONS
    ]
    assert len(full) >= 40


def test_every_kind_of_record_is_in_it() -> None:
    told = {entry.kind for entry in scenario().entries()}
    assert told == set(KINDS_ABOUT_A_SKI) - BETWEEN_NODES


@pytest.mark.parametrize("seed", SEEDS)
def test_every_entry_is_a_draft_that_the_api_would_take(seed: int) -> None:
    one = scenario(seed)
    ids = {entry.label: f"{number:064x}" for number, entry in enumerate(one.entries())}
    for entry in one.entries():
        draft = read_draft(entry.kind, entry.draft(ids), node_host=HOST)
        assert draft.ski.tag == entry.ski.tag


def test_an_entry_speaks_only_of_earlier_ones() -> None:
    known: dict[str, str] = {}
    for entry in scenario().entries():
        entry.draft(known)
        known[entry.label] = "0" * 64


@pytest.mark.parametrize("seed", SEEDS)
def test_readings_fall_within_their_uncertainty_but_for_the_slip(seed: int) -> None:
    # JCGM 100:2008: two expanded uncertainties of one coverage factor add as a root of squares.
    risen: defaultdict[str, int] = defaultdict(int)
    for book in scenario(seed).chronicles:
        last: dict[str, tuple[Decimal, Decimal]] = {}
        for edge, value, expanded in readings(book.entries):
            before, its = last.get(edge, (value, expanded))
            risen[book.ski.tag] += value - before > Decimal(hypot(expanded, its))
            last[edge] = (value, expanded)
    assert {tag for tag, rises in risen.items() if rises} == {HERO_TAGS[1]}


@pytest.mark.parametrize("seed", SEEDS)
def test_the_last_readings_of_the_hero_tell_the_truth(seed: int) -> None:
    one = scenario(seed)
    last = {edge: (value, u) for edge, value, u in readings(entries_of(one, HERO_TAGS[0]))}
    for edge, true in (("left", one.hero_true.left), ("right", one.hero_true.right)):
        value, expanded = last[edge]
        assert abs(float(value) - true.height_mm) <= float(expanded)


def test_some_skis_were_never_read() -> None:
    never = [book for book in scenario().chronicles if not readings(book.entries)]
    assert len(never) >= 6


def test_the_hero_was_used_harder_than_any_other() -> None:
    days: Counter[str] = Counter()
    for entry in scenario().entries():
        days[entry.ski.tag] += entry.body.get("days", 0)
    assert {tag for tag, _ in days.most_common(2)} == set(HERO_TAGS)


@pytest.mark.parametrize(
    ("today", "last"),
    [
        (date(2026, 5, 19), Season(2024)),
        (date(2026, 5, 20), Season(2025)),
        (date(2026, 12, 31), Season(2025)),
        (date(2027, 1, 1), Season(2025)),
    ],
)
def test_the_winters_are_the_last_that_are_over(today: date, last: Season) -> None:
    seasons = seasons_until(today)
    assert seasons[-1] == last
    assert len(seasons) == SEASONS


def test_a_winter_runs_from_august_to_july() -> None:
    winter = Season(2024)
    assert str(winter) == "2024/25"
    assert winter.day(11, 5) == date(2024, 11, 5)
    assert winter.day(3, 1) == date(2025, 3, 1)
    assert [Season.of(day) for day in (date(2024, 8, 1), date(2025, 7, 31))] == [winter, winter]

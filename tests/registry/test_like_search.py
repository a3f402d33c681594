"""Like skis are found by an index and pooled by the database: the same queries for any number."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from pytest_django import DjangoAssertNumQueries

from apps.registry import like_search
from apps.registry.actors import Actor
from apps.registry.like_rows import described_by
from apps.registry.like_search import Kind, LikeSkis, described_ski, find_like
from apps.tuning.likeness import SkiDescribed
from apps.tuning.model_text import model_text
from service_registry.benchmark.like_fleet import asked_for, fill
from tests.registry.like_skis import described, one_ski_each, set_bevels, shops
from tests.registry.making import a_draft, write

pytestmark = pytest.mark.django_db

SCREE = SkiDescribed(model_text("Corvid", "Scree 84"), 2019, 1720)
BASE_SET = Kind("base_bevel", "set")
QUERIES = 5
NOBODY = "nobody@node.example"


def found(asked: SkiDescribed = SCREE, **more: Any) -> LikeSkis:
    return find_like(asked, asker=more.pop("asker", NOBODY), **more)


def values_told(result: LikeSkis, kind: Kind = BASE_SET) -> list[int]:
    return sorted(one.thousandths for one in result.stated[kind].others)


def test_what_shops_state_is_gathered_shop_by_shop() -> None:
    actors = shops(3)
    one_ski_each(actors, "0.50", "0.75", "1.00")
    result = found()
    stated = result.stated[BASE_SET]
    assert {(one.shop, one.thousandths, one.times) for one in stated.others} == {
        (actors[0].handle, 500, 2),
        (actors[1].handle, 750, 2),
        (actors[2].handle, 1000, 2),
    }
    assert (stated.skis, stated.own, result.skis) == ((3, 0, 0), (), (3, 0, 0))
    assert result.shops_by_band[0] == {by.handle for by in actors}


def test_the_asker_s_own_is_kept_apart() -> None:
    actors = shops(3)
    one_ski_each(actors, "0.50", "0.75", "1.00")
    stated = found(asker=actors[0].handle).stated[BASE_SET]
    assert {one.shop for one in stated.others} == {by.handle for by in actors[1:]}
    assert [one.thousandths for one in stated.own] == [500]
    assert (stated.skis, stated.own_skis) == ((2, 0, 0), (1, 0, 0))


def test_the_ski_itself_does_not_count(shop: Actor) -> None:
    key = described(shop, "L-1")
    set_bevels(shop, "L-1", "0.50")
    assert not found(described_ski(key), without=key).is_found
    described(shop, "L-2")
    set_bevels(shop, "L-2", "0.75")
    assert values_told(found(described_ski(key), without=key)) == [750]


@pytest.mark.parametrize("model", ["Skree 84", "scree-84", "Sreee 84", "Corvid Scree 84"])
def test_a_misspelt_model_is_found(shop: Actor, model: str) -> None:
    described(shop, "L-1")
    set_bevels(shop, "L-1", "0.50")
    assert values_told(found(SkiDescribed(model_text(None, model)))) == [500]


@pytest.mark.parametrize("model", ["Scree 94", "Moraine 84", "Scree GS 84 X 7", ""])
def test_another_model_is_not(shop: Actor, model: str) -> None:
    described(shop, "L-1", model_text="Scree 84 SL")
    assert not found(SkiDescribed(model_text("Corvid", model))).is_found


def test_bands_follow_year_and_length(shop: Actor) -> None:
    for tag, changed in (
        ("L-1", {}),
        ("L-2", {"model_year": 2016, "length_mm": 1650}),
        ("L-3", {"model_year": 2010, "length_mm": 1600}),
    ):
        described(shop, tag, **changed)
        set_bevels(shop, tag, "0.50")
    assert found().stated[BASE_SET].skis == (1, 1, 1)
    assert [len(one) for one in found().likenesses] == [1, 1, 1]


def test_retracted_and_corrected_records_are_folded(shop: Actor) -> None:
    described(shop, "L-1")
    set_bevels(shop, "L-1", "0.50")
    wrong = set_bevels(shop, "L-1", "2.00", day="2025-02-10")
    assert values_told(found()) == [2000]
    write(shop, a_draft("retraction", tag="L-1", refers_to=[wrong]))
    assert values_told(found()) == [500]


def test_sold_and_retired_skis_count(shop: Actor) -> None:
    for tag, status in (("L-1", {"status": "sold"}), ("L-2", {"status": "missing"})):
        described(shop, tag)
        set_bevels(shop, tag, "0.50")
        write(shop, a_draft("status", tag=tag, body=status))
    assert found().stated[BASE_SET].skis == (2, 0, 0)


def test_nothing_is_looked_for_without_a_model(
    shop: Actor, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    key = described(shop, "L-1", model_text=None)
    with django_assert_num_queries(1):
        asked = described_ski(key)
    assert asked.text.model == ""
    with django_assert_num_queries(0):
        assert not found(asked).is_found


@pytest.mark.parametrize("skis", [12, 1_200])
def test_the_queries_do_not_grow_with_the_skis(
    skis: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    fill(skis, kinds=max(3, skis // 10))
    with django_assert_num_queries(QUERIES):
        result = found(asked_for(0))
    assert result.is_found


def test_every_query_goes_by_an_index() -> None:
    fill(2_000, kinds=200)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
        if connection.vendor == "postgresql":
            # A table as small as a test's is read faster as a whole; is there an index to go by?
            cursor.execute("SET LOCAL enable_seqscan = off")
    with CaptureQueriesContext(connection) as captured:
        assert found(asked_for(0)).is_found
    assert len(captured) == QUERIES
    for query in captured.captured_queries:
        plan = explained(query["sql"])
        assert "Seq Scan" not in plan, plan
        assert "SCAN registry_" not in plan, plan


def explained(sql: str) -> str:
    """How the database means to answer."""
    prefix = "EXPLAIN QUERY PLAN" if connection.vendor == "sqlite" else "EXPLAIN"
    with connection.cursor() as cursor:
        cursor.execute(f"{prefix} {sql}")
        return "\n".join(str(row) for row in cursor.fetchall())


def test_texts_beyond_the_most_are_left_out_the_least_like_first(
    shop: Actor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(like_search, "BEST_TEXTS", 1)
    for tag, model, base in (("L-1", "Scree 84", "0.50"), ("L-2", "Screes 84", "1.00")):
        described(shop, tag, model_text=model)
        set_bevels(shop, tag, base)
    assert values_told(found()) == [500]


def test_of_too_many_variants_the_nearest_are_taken(
    shop: Actor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(like_search, "MOST_VARIANTS", 2)
    for tag, length, base in (("L-1", 1650, "1.50"), ("L-2", None, "2.00"), ("L-3", 1720, "0.50")):
        described(shop, tag, length_mm=length)
        set_bevels(shop, tag, base)
    assert values_told(found()) == [500, 1500]


def test_a_row_becomes_what_the_arithmetic_reads() -> None:
    columns = {"text": "corvid/scree 84", "year": None, "length_mm": 1720, "construction": ""}
    ski = described_by({**columns, "use": "piste", "waist_width_um": 84_500})
    assert (ski.text.model, ski.year, ski.construction) == ("scree 84", None, None)
    assert (ski.use, ski.waist_mm) == ("piste", 84.5)

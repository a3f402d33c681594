"""A fleet as a list: every ski once, in any order, by one query and an index."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from pytest_django import DjangoAssertNumQueries

from apps.registry.actors import Actor
from apps.registry.fleet import Bound, Order, Place, Row, Selection, fleet_query, fleet_rows
from apps.registry.fleet_columns import SORTABLE, kept_columns, order_of
from apps.registry.models import Condition
from service_registry.benchmark.synthetic import LAST_DAY, fill
from tests.registry.making import a_draft, a_ski, write

pytestmark = pytest.mark.django_db
SORTS = [sign + name for name in SORTABLE for sign in ("", "-")]
INDEXED = {
    "tag": "condition_of_shop",
    "edge_height_least_mm": "condition_by_edge_height",
    "base_thickness_least_mm": "condition_by_base_thickness",
    "services_left_low": "condition_by_services",
    "last_job_day": "condition_by_last_job",
    "days_out_since_job_high": "condition_by_days_out",
    "due_on": "condition_by_due",
}


@pytest.fixture
def fleet(shop: Actor, other_shop: Actor) -> str:
    """A fleet of 90 skis with ties and unknown values, and two skis of another shop."""
    fill(shop.handle, 90)
    fill(other_shop.handle, 2)
    return shop.handle


def read(handle: str, sort: str, **more: Any) -> list[Row]:
    skis = more.pop("selection", Selection()).of(handle)
    return list(fleet_rows(skis, order_of(sort), kept_columns(LAST_DAY), **more))


def keys(rows: list[Row]) -> list[str]:
    return [row[1] for row in rows]


def paged(handle: str, sort: str, size: int) -> list[Row]:
    """Every row, read a page at a time."""
    found: list[Row] = []
    place = None
    while page := read(handle, sort, after=place, size=size):
        found += page
        value, key = page[-1][:2]
        place = Place(value, key)
    return found


@pytest.mark.parametrize("sort", SORTS)
def test_pages_hold_every_ski_once_in_one_order(fleet: str, sort: str) -> None:
    whole = read(fleet, sort)
    assert len(whole) == 90
    assert paged(fleet, sort, 7) == whole
    assert keys(read(fleet, sort, after=Place(*whole[40][:2]))) == keys(whole)[41:]


@pytest.mark.parametrize("sort", SORTS)
def test_it_is_the_order_of_the_values_with_unknown_ones_last(fleet: str, sort: str) -> None:
    rows = read(fleet, sort, size=90)
    known = [(row[0], row[1]) for row in rows if row[0] is not None]
    assert known == sorted(known, reverse=sort.startswith("-"))
    assert [row[0] for row in rows[len(known) :]] == [None] * (90 - len(known))


def test_some_values_are_unknown_and_some_are_tied(fleet: str) -> None:
    for sort in ("edge_height_least_mm", "last_job_day", "services_left_low"):
        values = [row[0] for row in read(fleet, sort)]
        assert None in values
    services = [row[0] for row in read(fleet, "services_left_low")]
    assert len(set(services)) < 30


def test_words_stand_from_the_best_to_the_worst(fleet: str) -> None:
    rows = Condition.objects.in_bulk(keys(read(fleet, "-worst_severity")))
    words = [rows[key].worst_severity for key in keys(read(fleet, "-worst_severity"))]
    assert list(dict.fromkeys(words)) == ["severe", "moderate", "slight", ""]


@pytest.mark.parametrize("count", [30, 3000])
@pytest.mark.parametrize("sort", ["tag", "-edge_height_least_mm", "worst_severity"])
def test_a_page_is_one_query_whatever_the_fleet(
    shop: Actor, count: int, sort: str, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    fill(shop.handle, count)
    with django_assert_num_queries(1):
        first = read(shop.handle, sort, size=20)
    with django_assert_num_queries(1):
        second = read(shop.handle, sort, after=Place(*first[-1][:2]), size=20)
    assert len(first) == 20
    assert not set(keys(first)) & set(keys(second))


def explained(query: Any) -> str:
    """How the database would find the rows if the table were large."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            # Of a small table PostgreSQL reads all rows, index or not.
            cursor.execute("SET LOCAL enable_seqscan = off")
            cursor.execute("SET LOCAL enable_bitmapscan = off")
    return str(query.explain())


@pytest.mark.parametrize("sign", ["", "-"])
@pytest.mark.parametrize(("name", "index"), INDEXED.items())
def test_a_page_is_found_by_an_index_that_is_in_its_order(
    fleet: str, name: str, index: str, sign: str
) -> None:
    order = order_of(sign + name)
    for place in (None, Place(*read(fleet, sign + name)[20][:2])):
        query = fleet_query(Selection().of(fleet), order, ["status"], after=place, size=10)
        plan = explained(query)
        assert index in plan, plan


def test_an_order_without_an_index_of_its_own_still_looks_at_the_own_skis_only(fleet: str) -> None:
    query = fleet_query(Selection().of(fleet), Order("grinds"), ["status"], size=10)
    assert "condition_" in explained(query)


def chosen(handle: str, **wanted: Any) -> list[Condition]:
    rows = Condition.objects.in_bulk(keys(read(handle, "tag", selection=Selection(**wanted))))
    return list(rows.values())


class TestSelection:
    def test_the_own_skis_only(self, fleet: str, other_shop: Actor) -> None:
        assert len(read(fleet, "tag")) == 90
        assert keys(read(other_shop.handle, "tag")) == [
            f"{other_shop.handle}/Z-000000",
            f"{other_shop.handle}/Z-000001",
        ]

    def test_by_words(self, fleet: str) -> None:
        rows = chosen(fleet, words={"status": ("", "on_bench")})
        assert {row.status for row in rows} == {"", "on_bench"}

    @pytest.mark.parametrize("how", ["lt", "lte", "gt", "gte"])
    def test_by_an_end_which_an_unknown_value_never_meets(self, fleet: str, how: Any) -> None:
        end = 1300
        found = chosen(fleet, bounds=(Bound("edge_height_least_um", how, end),))
        tests = {"lt": int.__lt__, "lte": int.__le__, "gt": int.__gt__, "gte": int.__ge__}
        expected = {
            row.ski_id
            for row in Condition.objects.fleet_of(fleet)
            if row.edge_height_least_um is not None and tests[how](row.edge_height_least_um, end)
        }
        assert {row.ski_id for row in found} == expected
        assert 0 < len(expected) < 60

    def test_by_how_the_tag_begins(self, fleet: str, shop: Actor) -> None:
        a_ski(shop, tag="A_1")
        a_ski(shop, tag="AB1")
        assert [row.ski_id for row in chosen(fleet, tag_prefix="A_")] == [f"{fleet}/A_1"]
        assert len(chosen(fleet, tag_prefix="Z-00001")) == 10


def test_a_new_ski_is_in_the_list_with_its_next_record(ski: str, shop: Actor) -> None:
    assert keys(read(shop.handle, "tag")) == [ski]
    write(shop, a_draft("measurement"))
    ((value, *_),) = read(shop.handle, "edge_height_least_mm")
    assert value == Condition.objects.get(ski=ski).edge_height_least_um

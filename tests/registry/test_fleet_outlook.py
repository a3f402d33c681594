"""What an outlook rests on: the kept columns, one query, and every ski of the fleet counted."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest
from pytest_django import DjangoAssertNumQueries

from apps.registry.actors import Actor
from apps.registry.fleet_outlook import wear_columns, worn_fleet
from apps.registry.histories import read_fold
from apps.registry.models import Wear
from apps.registry.practices import practice_of
from apps.registry.visits import visits_of
from apps.tuning.history import in_order
from apps.tuning.practice import Practice
from apps.tuning.wear import QUANTITIES, wear_summary
from apps.tuning.wear_statistics import FIELDS, WearStatistics
from service_registry.benchmark.synthetic import fill
from tests.registry.making import a_draft, write
from tests.registry.season import played

pytestmark = pytest.mark.django_db


def test_a_column_for_every_number_of_the_arithmetic() -> None:
    columns = {field.attname for field in Wear._meta.concrete_fields}
    assert columns - {"ski_id", "quantity", "shop", "in_fleet"} == set(FIELDS)
    assert set(FIELDS) == {field.name for field in fields(WearStatistics)}


def test_the_kept_rows_are_what_the_histories_come_down_to(shop: Actor, other_shop: Actor) -> None:
    played(shop, other_shop)
    rows = Wear._default_manager.all()
    assert len(rows) == 3 * len(QUANTITIES)
    for row in rows:
        visits = in_order(visits_of(read_fold([row.ski_id]).effective))
        summary = wear_summary(visits, practice_of(row.shop))
        for quantity in QUANTITIES:
            if quantity == row.quantity:
                kept = tuple(getattr(row, name) for name in FIELDS)
                assert kept == summary.statistics(quantity).row


def test_a_reading_reaches_the_columns(ski: str, shop: Actor) -> None:
    assert np.isnan(wear_columns(shop.handle, "edge_height").level_mm).all()
    write(shop, a_draft("measurement"))
    columns = wear_columns(shop.handle, "edge_height")
    assert (columns.count, list(columns.readings)) == (1, [1.0])
    assert list(columns.level_mm) == [1.785]


@pytest.mark.parametrize("count", [30, 3000])
def test_it_is_one_query_whatever_the_fleet(
    shop: Actor, count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    fill(shop.handle, count)
    with django_assert_num_queries(1):
        fleet = worn_fleet(shop.handle, "edge_height", Practice())
    retired = Wear._default_manager.filter(in_fleet=False).count()
    assert fleet.columns.count == count - retired
    assert 0 < retired < count


def test_a_ski_that_is_gone_wears_no_further(ski: str, shop: Actor, other_shop: Actor) -> None:
    write(shop, a_draft("measurement"))
    body = {"status": "sold"}
    write(shop, a_draft("status", body=body, performed_at="2025-02-20"))
    assert wear_columns(shop.handle, "edge_height").count == 0
    write(shop, a_draft("status", body={"status": "in_service"}, performed_at="2025-02-21"))
    assert wear_columns(shop.handle, "edge_height").count == 1
    assert wear_columns(other_shop.handle, "edge_height").count == 0

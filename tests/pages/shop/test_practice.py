"""The shop's practice, read only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from apps.pages.shop.practice_labels import GROUPS
from apps.registry.actions import set_practice
from apps.registry.actors import Actor
from apps.registry.people import set_taste
from apps.tuning.practice import Practice
from tests.pages.people import text_of

# Told by their operations and findings, which the page of wear and the due list show.
ELSEWHERE = {"due_for_finding", "service_operations", "removals"}


def test_every_setting_has_its_line() -> None:
    shown = [name for group in GROUPS for name, _label in group.settings]
    assert len(shown) == len(set(shown))
    assert set(shown) == {field.name for field in fields(Practice)} - ELSEWHERE


@pytest.mark.parametrize(
    ("settings", "said"),
    [
        ({"least_edge_height_mm": "0.9"}, "Edge height 0.900 mm your shop"),
        ({"bevel_tolerance_deg": "0.2"}, "may lie beside its target by 0.2° your shop"),
        ({"pair_length_mm": "7"}, "Length 7.0 mm your shop"),
        ({"radius_uncertainty_m": "0.4"}, "A turn radius out of widths 0.4 m your shop"),
        ({"gauge_shared_share": "0.25"}, "one gauge share 0.25 your shop"),
        ({"mend_severe_days": 2}, "A severe finding is mended within 2 days your shop"),
        ({"season_first": "11-15"}, "The season begins on 15 November your shop"),
    ],
)
def test_what_the_shop_set_is_told_from_common_practice(
    settings: Mapping[str, Any], said: str, reader: Client, shop: Actor
) -> None:
    before = text_of(reader.get("/shop/practice"))
    assert "your shop" not in before
    assert "A severe finding is mended within 1 day common practice" in before
    set_practice(shop=shop.handle, settings=settings, by=shop)
    after = text_of(reader.get("/shop/practice"))
    assert said in after
    assert after.count("your shop") == 1


def test_what_operations_take_off_is_mentioned_where_the_shop_set_it(
    reader: Client, shop: Actor
) -> None:
    amount = {"low_mm": "0.01", "usual_mm": "0.02", "high_mm": "0.03"}
    removals = {"stone_grind": {"edge_height": amount}}
    assert "single operations" not in text_of(reader.get("/shop/practice"))
    set_practice(shop=shop.handle, settings={"removals": removals}, by=shop)
    assert "Your shop also set what single operations take off." in text_of(
        reader.get("/shop/practice")
    )


def test_lengths_come_in_the_unit_of_who_reads(reader: Client) -> None:
    set_taste(username="reader.one", unit="um")
    assert "Edge height 800 µm" in text_of(reader.get("/shop/practice"))


def test_the_page_asks_a_fixed_number_of_queries(
    reader: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_num_queries(4):
        assert reader.get("/shop/practice").status_code == 200

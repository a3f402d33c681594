"""What a shop's own readings say about what its operations take off."""

from __future__ import annotations

from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from apps.registry.actors import Actor
from apps.registry.own_rates import framed_visits, own_pairs, own_rates
from tests.registry.making import a_draft, write

pytestmark = pytest.mark.django_db


def ground(before: str, after: str) -> dict[str, Any]:
    """A job with one grind between two readings of the left edge."""
    readings = (("before", before), ("after", after))
    return {
        "steps": [{"operation": "stone_grind"}],
        "measurements": [
            {"quantity": "edge_height_mm", "edge": "left", "value": value, "moment": moment}
            for moment, value in readings
        ],
    }


def grind(shop: Actor, before: str, after: str, day: str = "2025-02-10") -> str:
    (appended,) = write(shop, a_draft("job", body=ground(before, after), performed_at=day))
    return appended.record_id


@pytest.mark.usefixtures("ski")
def test_pairs_come_from_ones_own_jobs(shop: Actor, other_shop: Actor) -> None:
    mine = grind(shop, "1.800", "1.750")
    grind(other_shop, "1.750", "1.700")
    write(shop, a_draft("job"))
    (pair,) = own_pairs(shop.handle)
    assert (pair.record, pair.operation, pair.quantity) == (mine, "stone_grind", "edge_height")
    assert (pair.before_mm, pair.after_mm) == (1.8, 1.75)


@pytest.mark.usefixtures("ski")
def test_a_correction_counts_and_a_retraction_too(shop: Actor) -> None:
    corrected, retracted = grind(shop, "1.800", "1.750"), grind(shop, "1.750", "1.700")
    replacement = {
        "kind": "job",
        "performed_at": "2025-02-10",
        "body": ground("1.800", "1.770"),
    }
    body = {"reason": "wrong_value", "replacement": replacement}
    write(shop, a_draft("correction", refers_to=[corrected], body=body))
    write(shop, a_draft("retraction", refers_to=[retracted]))
    (pair,) = own_pairs(shop.handle)
    assert (pair.record, pair.after_mm) == (corrected, 1.77)


@pytest.mark.usefixtures("ski")
def test_a_rate_is_learned_from_enough_of_them(shop: Actor) -> None:
    for before, after in (("1.80", "1.76"), ("1.76", "1.71"), ("1.71", "1.65")):
        grind(shop, before + "0", after + "0")
    (rate,) = own_rates(shop.handle)
    assert (rate.operation, rate.quantity, rate.count) == ("stone_grind", "edge_height", 3)
    assert rate.basis == "readings"
    assert rate.mean_mm == pytest.approx(0.05)


@pytest.mark.usefixtures("ski")
def test_only_the_latest_visits_are_read(
    shop: Actor,
    monkeypatch: pytest.MonkeyPatch,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    days = ("2025-02-01", "2025-02-03", "2025-02-02")
    written = {day: grind(shop, "1.800", "1.750", day) for day in days}
    monkeypatch.setattr("apps.registry.own_rates.MOST_VISITS", 2)
    with django_assert_num_queries(2):
        visits = list(framed_visits(shop.handle))
    assert [visit.record for visit in visits] == [written["2025-02-03"], written["2025-02-02"]]


def test_a_shop_without_readings_has_no_rates(shop: Actor) -> None:
    assert own_rates(shop.handle) == ()

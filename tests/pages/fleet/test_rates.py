"""What the work takes off here: learned from readings, or practice until there are enough."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from apps.pages.fleet.rates import operation_row, rates_of
from apps.registry.actors import Actor
from apps.tuning.practice import Practice
from apps.tuning.rates import RemovalPair, learn_rate
from service_registry.benchmark.synthetic import fill
from tests.pages.people import a_person, sitting, text_of
from tests.registry.making import a_draft, a_ski, write


def ground(shop: Actor, tag: str, before: str, after: str) -> None:
    """Register a ski and grind it between two readings."""
    a_ski(shop, tag=tag)
    reading: dict[str, Any] = {"quantity": "edge_height_mm", "edge": "left", "station": "waist"}
    body = {
        "steps": [{"operation": "stone_grind"}],
        "measurements": [
            {**reading, "moment": "before", "value": before, "uncertainty": "0.010"},
            {**reading, "moment": "after", "value": after, "uncertainty": "0.010"},
        ],
    }
    write(shop, a_draft("job", tag=tag, body=body))


def test_too_few_readings_say_so_and_practice_stands_in(shop: Actor, reader: Client) -> None:
    ground(shop, "R-1", "1.800", "1.760")
    text = text_of(reader.get("/fleet/rates"))
    assert "Stone grind" in text
    assert "1 pair of readings. 3 are needed, so practice stands in." in text
    assert "They say 0.040" in text


def test_three_pairs_are_learned_from(shop: Actor, reader: Client) -> None:
    for tag, after in (("R-1", "1.760"), ("R-2", "1.750"), ("R-3", "1.740")):
        ground(shop, tag, "1.800", after)
    (row,) = rates_of(shop.handle).operations
    assert (row.name, row.quantity, row.count, row.basis) == (
        "stone_grind",
        "edge_height",
        3,
        "readings",
    )
    assert row.usual_mm == pytest.approx(0.05)
    text = text_of(reader.get("/fleet/rates"))
    assert "3 pairs of readings." in text
    assert "are needed" not in text.partition("One usual service")[0]
    micrometres = sitting(a_person(shop.handle, "owner", unit="um"))
    assert "50\u202fµm" in micrometres.get("/fleet/rates").content.decode()


def test_readings_that_show_nothing_taken_off_say_so() -> None:
    pairs = [RemovalPair("stone_grind", "edge_height", 1.5, 1.5, 0.01)] * 3
    row = operation_row(learn_rate(pairs, "stone_grind", "edge_height", Practice()))
    assert row.basis == "practice"
    assert row.sentence.startswith("The readings show nothing taken off")


def test_without_readings_it_says_what_to_measure(reader: Client) -> None:
    text = text_of(reader.get("/fleet/rates"))
    assert "No visit has readings before and after yet." in text
    assert "0 skis have readings with a service between them." in text


def test_a_service_is_learned_from_the_skis(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 60)
    rates = rates_of(shop.handle)
    assert [row.quantity for row in rates.services] == [
        "edge_height",
        "edge_width",
        "base_thickness",
    ]
    height = rates.services[0]
    assert height.basis == "readings"
    assert height.low_mm < height.usual_mm < height.high_mm
    assert "Learned from" in text_of(reader.get("/fleet/rates"))


def test_it_takes_no_filter(reader: Client) -> None:
    assert reader.get("/fleet/rates?tag=A").status_code == 400

"""What each shop states of a ski, as far as it is pooled: the latest, the first, the median."""

from __future__ import annotations

from typing import Any

import pytest

from apps.registry.actors import Actor
from apps.registry.histories import read_fold
from apps.registry.like_values import Respect, values_of
from tests.registry.like_skis import described, set_bevels
from tests.registry.making import a_draft, write

pytestmark = pytest.mark.django_db

MATERIAL_KINDS = ("edge_height", "edge_width", "base_thickness")


@pytest.fixture
def key(shop: Actor) -> str:
    """A described ski of the shop; gives its key."""
    return described(shop, "FB-0042", shovel_width_mm="128.0", declared_radius_m="15.5")


def values(key: str, *, source: str) -> dict[tuple[str, str, str, str], int]:
    """The values of one source, by shop, what, operation and place."""
    found = values_of(read_fold([key]))
    return {
        (respect.author.partition("@")[0], respect.what, respect.operation, respect.place): value
        for respect, value in found.items()
        if respect.source == source
    }


def measured(by: Actor, day: str, *bodies: dict[str, Any]) -> str:
    """Write a job of readings; gives its id."""
    body = {"measurements": list(bodies)}
    (appended,) = write(by, a_draft("job", body=body, performed_at=day))
    return appended.record_id


def height(edge: str, value: str, **more: str) -> dict[str, Any]:
    return {"quantity": "edge_height_mm", "edge": edge, "value": value, **more}


def test_what_descriptions_say_is_the_describing_shop_s(
    key: str, shop: Actor, other_shop: Actor
) -> None:
    write(other_shop, a_draft("description", body={"waist_width_mm": "83.5"}))
    assert values(key, source="described") == {
        ("fellbench", "shovel_width", "", ""): 128_000,
        ("fellbench", "waist_width", "", ""): 84_000,
        ("fellbench", "radius", "", ""): 15_500,
        ("tarnedge", "waist_width", "", ""): 83_500,
    }


def test_the_latest_bevels_of_each_shop_edge_by_edge(
    key: str, shop: Actor, other_shop: Actor
) -> None:
    set_bevels(shop, "FB-0042", "1.00", "3.00")
    left = {"edge": "left", "base_bevel_deg": "0.50", "basis": "set"}
    write(shop, a_draft("bevel-setting", body=left, performed_at="2025-02-10"))
    write(other_shop, a_draft("bevel-setting", body={**left, "basis": "measured"}))
    assert values(key, source="set") == {
        ("fellbench", "base_bevel", "", "left"): 500,
        ("fellbench", "base_bevel", "", "right"): 1_000,
        ("fellbench", "side_bevel", "", "left"): 3_000,
        ("fellbench", "side_bevel", "", "right"): 3_000,
    }
    assert values(key, source="measured") == {("tarnedge", "base_bevel", "", "left"): 500}


def test_a_stretch_of_an_edge_says_nothing_of_the_ski(key: str, shop: Actor) -> None:
    set_bevels(shop, "FB-0042", "1.00", station_from_mm=0, station_to_mm=200)
    assert values(key, source="set") == {}


def test_widths_and_radius_as_measured(key: str, shop: Actor) -> None:
    measured(
        shop,
        "2025-02-10",
        {"quantity": "width_mm", "station": "waist", "value": "84.3"},
        {"quantity": "width_mm", "station": "forebody", "value": "99.0"},
        {"quantity": "width_mm", "position_mm": 300, "value": "98.0"},
        {"quantity": "radius_m", "value": "15.1"},
        {"quantity": "chord_mm", "not_measured": "no_gauge"},
    )
    assert values(key, source="measured") == {
        ("fellbench", "waist_width", "", ""): 84_300,
        ("fellbench", "radius", "", ""): 15_100,
    }


def test_a_row_of_widths_has_a_waist(key: str, shop: Actor) -> None:
    # The middle of three even widths is the vertex of their parabola.
    profile = [
        {"position_mm": place, "width_mm": width}
        for place, width in ((600, "86.0"), (700, "84.2"), (800, "86.0"))
    ]
    measured(shop, "2025-02-10", {"quantity": "width_profile", "profile": profile})
    assert values(key, source="measured") == {("fellbench", "waist_width", "", ""): 84_200}


def test_steel_and_base_when_first_seen_by_whom_it_may_be(
    key: str, shop: Actor, other_shop: Actor
) -> None:
    measured(
        other_shop,
        "2025-02-01",
        height("left", "1.800", moment="before"),
        height("left", "1.750", moment="after"),
        height("right", "1.790", moment="after"),
        {"quantity": "base_thickness_mm", "value": "1.30"},
        {"quantity": "edge_width_mm", "edge": "left", "not_measured": "no_gauge"},
    )
    measured(shop, "2025-02-10", height("left", "1.700"))
    assert values(key, source="first_seen") == {
        ("tarnedge", "edge_height", "", "left"): 1_800,
        ("tarnedge", "edge_height", "", "right"): 1_790,
        ("tarnedge", "base_thickness", "", ""): 1_300,
    }


def test_of_several_places_the_middle_one(key: str, shop: Actor) -> None:
    stations = (("waist", "1.700"), ("shovel", "1.800"), ("tail", "1.900"))
    measured(shop, "2025-02-01", *(height("left", v, station=s) for s, v in stations))
    assert values(key, source="first_seen") == {("fellbench", "edge_height", "", "left"): 1_800}


def test_what_operations_took_off(key: str, shop: Actor) -> None:
    for day, removed in (("2025-02-01", "0.030"), ("2025-02-02", "0.050"), ("2025-02-03", "0.040")):
        steps = [
            {"operation": "stone_grind", "base_removed_mm": removed},
            {"operation": "other", "operation_text": "planed", "base_removed_mm": "0.900"},
        ]
        write(shop, a_draft("job", body={"steps": steps}, performed_at=day))
    assert values(key, source="stated") == {
        ("fellbench", "base_thickness", "stone_grind", ""): 40,
    }


def test_what_readings_before_and_after_say(key: str, shop: Actor) -> None:
    for operation, after in (("side_bevel", "1.960"), ("other", "1.900")):
        step = {"operation": operation, "edge_width_removed_mm": "0.100"}
        if operation == "other":
            step["operation_text"] = "planed"
        readings = [
            {"quantity": "edge_width_mm", "edge": "left", "value": value, "moment": moment}
            for moment, value in (("before", "2.000"), ("after", after))
        ]
        write(shop, a_draft("job", body={"steps": [step], "measurements": readings}))
    assert values(key, source="readings") == {("fellbench", "edge_width", "side_bevel", ""): 40}


def test_corrections_and_retractions_count(key: str, shop: Actor) -> None:
    wrong, doubtful = set_bevels(shop, "FB-0042", "1.00"), set_bevels(shop, "FB-0042", "2.00")
    replacement = {
        "kind": "bevel-setting",
        "performed_at": "2025-01-31",
        "body": {"edge": "both", "base_bevel_deg": "0.75", "basis": "set"},
    }
    body = {"reason": "typing_error", "replacement": replacement}
    write(shop, a_draft("correction", refers_to=[wrong], body=body))
    write(shop, a_draft("retraction", refers_to=[doubtful]))
    assert values(key, source="set") == {
        ("fellbench", "base_bevel", "", "left"): 750,
        ("fellbench", "base_bevel", "", "right"): 750,
    }


def test_a_ski_of_which_nothing_is_stated(ski: str) -> None:
    found = values_of(read_fold([ski]))
    assert {respect.source for respect in found} == {"described"}
    assert isinstance(next(iter(found)), Respect)

"""An old straight ski at a bench that can't learn its maker's values; all of it common practice."""

from __future__ import annotations

from typing import Any

import pytest

from apps.tuning.bevel import included_angle_deg
from apps.tuning.sidecut import radius_chord_m
from tests.api.client import ApiClient
from tests.api.making import TAG, register

DAY = "2025-01-31"


def width(station: str, value: str) -> dict[str, str]:
    return {"quantity": "width_mm", "station": station, "value": value}


@pytest.fixture
def ski(client: ApiClient) -> str:
    """More than two metres long, with an open centre groove of 10 mm."""
    return register(
        client, TAG, length_mm=2050, centre_groove_width_mm="10.0", base_material="extruded"
    )


@pytest.fixture
def condition(client: ApiClient, ski: str) -> Any:
    """The condition after a visit in which the bench chose its own bevels."""
    body = {
        "findings": [
            {"what": "gouge", "severity": "moderate", "state": "open", "depth_mm": "0.40"},
            {"what": "rust", "severity": "slight", "state": "repaired"},
        ],
        "steps": [
            {"operation": "remove_rust"},
            {"operation": "fill_gouge", "repair_method": "drip", "repair_colour": "clear"},
            {"operation": "remove_excess"},
            {"operation": "recut_groove", "groove_width_mm": "10.0"},
            {"operation": "side_bevel", "tool_text": "file in a guide"},
            {"operation": "base_bevel", "tool_text": "file in a guide"},
            {"operation": "deburr"},
            {"operation": "wax", "wax_class": "universal", "iron_temperature_c": 110},
        ],
        "measurements": [
            width("shovel", "88.0"),
            width("waist", "70.0"),
            width("tail", "80.0"),
            {"quantity": "chord_mm", "value": "1800"},
        ],
        "bevel_settings": [{"edge": "both", "side_bevel_deg": 1, "base_bevel_deg": 0.5}],
        "remarks": "Marker ink on the edge: filed until it was gone down to the corner.",
    }
    written = client.post(
        "jobs", {"ski": {"shop": "fellbench", "tag": TAG}, "performed_at": DAY, "body": body}
    )
    assert written.status == 201, written.content
    return client.get(f"{ski}/condition").json


def test_the_benchs_own_choice_is_set_and_no_specification(condition: Any) -> None:
    for edge in condition["bevels"]:
        base, side = edge["base"][0], edge["side"][0]
        assert (base["standing"], base["stated"]["basis"]) == ("stands", "set")
        assert (base["stated"]["bevel_deg"], side["stated"]["bevel_deg"]) == ("0.50", "1.00")
        assert (edge["specified_base"], edge["specified_side"]) == ([], [])


def test_the_edge_is_a_little_sharper_than_square(condition: Any) -> None:
    stated = condition["bevels"][0]
    base = float(stated["base"][0]["stated"]["bevel_deg"])
    side = float(stated["side"][0]["stated"]["bevel_deg"])
    # Side 1 and base 0.5 make 89.5: common practice, no source.
    assert included_angle_deg(base, side) == 89.5


def test_its_waist_and_turn_radius_come_from_its_widths(condition: Any) -> None:
    shape = condition["shape"]
    assert (shape["waist"]["value_mm"], shape["waist"]["source"]) == ("70.0", "measured")
    radii = {one["method"]: one["radius_m"] for one in shape["radii"]}
    # C**2 / (2000 (S + T - 2W)): the depth form of Lind and Sanders, The Physics of Skiing.
    assert radii["chord"] == f"{1800**2 / (2000 * (88 + 80 - 140)):.1f}"
    assert radii["chord"] == f"{radius_chord_m(88.0, 70.0, 80.0, 1800.0).radius_m:.1f}"


def test_nobody_measured_its_steel_and_the_answer_says_so(condition: Any) -> None:
    assert condition["material"]["known"] == []
    unknown = {(one["quantity"], one.get("edge")) for one in condition["material"]["unknown"]}
    assert unknown == {
        ("edge_height", "left"),
        ("edge_height", "right"),
        ("edge_width", "left"),
        ("edge_width", "right"),
        ("base_thickness", None),
    }


def test_a_ski_of_two_metres_sixty_is_taken_and_a_longer_one_is_not(client: ApiClient) -> None:
    register(client, "FB-0001", length_mm=2600)
    refused = client.post("skis", {"ski": {"tag": "FB-0002"}, "body": {"length_mm": 2601}})
    assert refused.status == 400
    assert refused.pointers == ["/body/length_mm"]

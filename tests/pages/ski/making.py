"""Makes the ski that tests of its page start from: described, tuned, worked on since, damaged."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from apps.records.envelope import Draft
from apps.registry.actors import Actor
from apps.registry.submissions import Written
from tests.registry.making import TAG, a_draft, write

SHOP = "fellbench"
TECHNICIAN = "fb-07"
REMARK = "Holes drilled beside the old ones."
FINDING_REMARK = "Guest hit a rock under the lift."

TUNE: dict[str, Any] = {
    "findings": [
        {
            "what": "core_shot",
            "where": {"surface": "base", "station": "forebody", "position_mm": 1100},
            "severity": "severe",
            "state": "repaired",
            "depth_mm": 1.4,
        },
        {
            "what": "gouge",
            "where": {"surface": "base", "edge": "left", "station": "waist"},
            "severity": "moderate",
            "state": "open",
            "depth_mm": 0.6,
            "width_mm": 3.5,
            "remarks": FINDING_REMARK,
        },
    ],
    "steps": [
        {"operation": "fill_gouge", "repair_method": "weld", "repair_colour": "black"},
        {"operation": "stone_grind", "passes": 3, "base_removed_mm": 0.04},
        {"operation": "side_bevel", "tool_text": "file guide"},
        {"operation": "wax", "wax_class": "cold", "iron_temperature_c": 130},
    ],
    "measurements": [
        {
            "quantity": "edge_height_mm",
            "value": 1.785,
            "uncertainty": 0.03,
            "edge": "left",
            "station": "waist",
            "instrument": "depth gauge 2",
            "moment": "after",
        },
        {"quantity": "base_thickness_mm", "value": 1.21, "station": "waist", "moment": "after"},
        {"quantity": "camber_mm", "not_measured": "no_gauge"},
    ],
    "bevel_settings": [
        {"edge": "both", "base_bevel_deg": 0.5, "side_bevel_deg": 3, "basis": "set"},
    ],
    "target": {"base_bevel_deg": 0.5, "side_bevel_deg": 3},
    "technician": TECHNICIAN,
    "remarks": REMARK,
}
SPECIFIED = {"edge": "both", "base_bevel_deg": 1, "side_bevel_deg": 2, "basis": "specified"}


def a_tune(*, day: str = "2025-01-31", tag: str = TAG, **changed: Any) -> Draft:
    """A visit with everything in it."""
    return a_draft("job", shop=SHOP, tag=tag, performed_at=day, body={**TUNE, **changed})


def a_grind(day: str, *, tag: str = TAG) -> Draft:
    """A visit that ground the base to an unknown depth."""
    body = {"steps": [{"operation": "stone_grind"}]}
    return a_draft("job", shop=SHOP, tag=tag, performed_at=day, body=body)


def tuned(shop: Actor, *drafts: Draft) -> list[Written]:
    """Write a tune on the usual tag, and what comes after it."""
    return write(shop, a_tune(), *drafts)


def visits(count: int) -> Iterable[Draft]:
    """So many visits that each measure and set something."""
    for number in range(count):
        yield a_tune(day=f"2025-02-{1 + number % 28:02d}", remarks=f"Visit {number}.")

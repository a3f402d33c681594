"""A season at two shops: records of every kind, corrections, a retraction, and a double entry."""

from __future__ import annotations

from typing import Any

from apps.records.examples import BEVEL_SETTING, MEASUREMENT
from apps.registry.actors import Actor
from tests.registry.making import DAY, a_draft, a_ski, write

BEFORE_AFTER: dict[str, Any] = {
    "findings": [
        {"what": "core_shot", "severity": "severe", "state": "open", "where": {"surface": "base"}},
        {
            "what": "scratch",
            "severity": "slight",
            "state": "repaired",
            "where": {"edge": "left", "position_mm": 800, "length_mm": 30},
            "depth_mm": "0.40",
            "width_mm": 1.5,
        },
    ],
    "steps": [
        {"operation": "stone_grind", "passes": 3, "base_removed_mm": "0.050"},
        {"operation": "side_bevel", "edge": "right", "place": {"station": "waist"}},
        {"operation": "wax", "wax_class": "universal"},
    ],
    "measurements": [
        {**MEASUREMENT, "moment": "before", "value": "1.785", "instrument": "gauge A"},
        {**MEASUREMENT, "moment": "after", "value": "1.735"},
        {"quantity": "base_thickness_mm", "value": "1.20"},
        {"quantity": "edge_width_mm", "edge": "left", "not_measured": "no_gauge"},
        {
            "quantity": "base_gap_profile",
            "station": "waist",
            "moment": "after",
            "profile": [{"x_mm": x, "gap_um": 10 * x} for x in range(0, 60, 10)],
        },
        {
            "quantity": "width_profile",
            "profile": [{"position_mm": 0, "width_mm": 90}, {"position_mm": 9, "width_mm": 91}],
        },
    ],
    "bevel_settings": [
        {**BEVEL_SETTING, "uncertainty_deg": "0.10", "instrument": "guide"},
        {
            "edge": "left",
            "base_bevel_deg": "0.75",
            "basis": "measured",
            "moment": "after",
            "station_from_mm": 0,
            "station_to_mm": 300,
            "facet_width_mm": "2.50",
        },
    ],
    "technician": "t7",
    "target": {"side_bevel_deg": 2},
}


def played(shop: Actor, other: Actor) -> None:
    """Write the season."""
    a_ski(shop)
    a_ski(shop, tag="FB-0043")
    a_ski(other, tag="T-1")
    write(shop, a_draft("description", body={"maker_text": "Corvid", "model_text": "Scree 84"}))
    write(shop, *(a_draft(kind) for kind in ("job", "measurement", "bevel-setting", "usage")))
    write(shop, a_draft("status", performed_at="2025-02-20"), a_draft("pair"))
    write(shop, a_draft("job", body=BEFORE_AFTER, performed_at="2025-02-10T09:30:00+01:00"))
    write(
        other, a_draft("job", body={"remarks": "seen"}), a_draft("job", shop="tarnedge", tag="T-1")
    )
    double = a_draft("usage", performed_at="2025-02-11")
    first, second = write(shop, double, double)
    write(shop, a_draft("retraction", refers_to=[second.record_id]))
    replacement = {"kind": "usage", "performed_at": DAY, "body": {"days": 4}}
    body = {"reason": "wrong_value", "replacement": replacement}
    write(shop, a_draft("correction", refers_to=[first.record_id], body=body))

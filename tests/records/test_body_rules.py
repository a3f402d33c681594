"""The rules between the fields of a body, each from both sides."""

from __future__ import annotations

from typing import Any

import pytest

from apps.records.examples import OTHER_SKI, SKI
from tests.records.refusals import accepted_body, coded, draft_errors

EDGE_HEIGHT = {"quantity": "edge_height_mm", "edge": "left"}
GAPS = {"quantity": "base_gap_profile"}
TRACE = {"spacing_um": 5, "heights_um": [0, 1.25]}
POINTS = [{"x_mm": 0, "gap_um": 0}, {"x_mm": 30.5, "gap_um": 12}]
WIDTHS = [{"position_mm": 100, "width_mm": 100}, {"position_mm": 800, "width_mm": 68}]
STATUS = {"status": "retired"}
JOB_STEPS = "/body/steps/0"

GOOD: list[tuple[str, dict[str, Any]]] = [
    ("description", {}),
    ("description", {"shovel_width_mm": 70, "waist_width_mm": 70, "tail_width_mm": 70}),
    ("description", {"shovel_width_mm": 70, "waist_width_mm": 80}),
    ("description", {"construction": "other", "construction_text": "laminated bamboo"}),
    ("measurement", {**EDGE_HEIGHT, "value": 1.785, "uncertainty": 0.02}),
    ("measurement", {**EDGE_HEIGHT, "not_measured": "no_gauge"}),
    ("measurement", {"quantity": "base_thickness_mm", "value": 1.2}),
    ("measurement", {**GAPS, "profile": POINTS, "uncertainty": 5}),
    ("measurement", {"quantity": "width_profile", "profile": WIDTHS}),
    ("measurement", {"quantity": "texture_trace", "trace": TRACE, "standard": "ISO 21920-2:2021"}),
    ("measurement", {"quantity": "other", "quantity_text": "mass", "unit_text": "g", "value": 1}),
    ("measurement", {"quantity": "other", "quantity_text": "mass", "not_measured": "no_gauge"}),
    ("bevel-setting", {"edge": "left", "side_angle_deg": 88, "side_bevel_deg": "2.00"}),
    ("bevel-setting", {"edge": "left", "base_bevel_deg": 1, "basis": "measured",
                       "moment": "before"}),
    ("bevel-setting", {"edge": "left", "base_bevel_deg": 1, "station_from_mm": 0,
                       "station_to_mm": 300}),
    ("status", {"status": "sold"}),
    ("status", {**STATUS, "reason": "worn_out"}),
    ("pair", {"other_ski": OTHER_SKI}),
    ("job", {"target": {"structure_text": "fine linear"}}),
    ("job", {"steps": [{"operation": "wax", "wax_class": "cold", "iron_temperature_c": 140}]}),
    ("job", {"steps": [{"operation": "patch_base", "repair_method": "patch",
                        "repair_colour": "black"}]}),
    ("job", {"steps": [{"operation": "recut_groove", "groove_width_mm": 8}]}),
    ("job", {"steps": [{"operation": "inspect_binding", "inspection": {
        "procedure_text": "ISO 11088:2023", "inspected_as": "owned_or_long_rental",
        "device_calibrated_on": "2024-11-05", "outcome": "passed"}}]}),
]  # fmt: skip

BROKEN: list[tuple[str, dict[str, Any], list[tuple[str, str]]]] = [
    ("description", {"use": "other"}, [("/body/use_text", "text-needed")]),
    ("description", {"use": "piste", "use_text": "x"}, [("/body/use_text", "text-refused")]),
    ("description", {"use_text": "x"}, [("/body/use_text", "text-refused")]),
    ("measurement", EDGE_HEIGHT, [("/body/value", "no-reading")]),
    ("measurement", {**EDGE_HEIGHT, "value": 1, "not_measured": "no_gauge"},
     [("/body/not_measured", "measured-and-not")]),
    ("measurement", {"quantity": "edge_width_mm", "value": 2}, [("/body/edge", "edge-needed")]),
    ("measurement", {**EDGE_HEIGHT, "value": 1, "profile": POINTS},
     [("/body/profile", "wrong-shape")]),
    ("measurement", {**GAPS, "value": 1, "profile": POINTS}, [("/body/value", "wrong-shape")]),
    ("measurement", {**GAPS, "trace": TRACE},
     [("/body/trace", "wrong-shape"), ("/body/profile", "no-reading")]),
    ("measurement", {**GAPS, "profile": WIDTHS}, [("/body/profile", "wrong-points")]),
    ("measurement", {**GAPS, "profile": POINTS[::-1]}, [("/body/profile", "points-not-in-order")]),
    ("measurement", {**GAPS, "profile": POINTS[:1]}, [("/body/profile", "too-few")]),
    ("measurement", {**GAPS, "profile": [{"x_mm": 0, "gap_um": 0}, 7]},
     [("/body/profile/1", "not-an-object")]),
    ("measurement", {**GAPS, "profile": [POINTS[0], {"x_mm": 300, "gap_um": -1}]},
     [("/body/profile/1/x_mm", "out-of-range"), ("/body/profile/1/gap_um", "out-of-range")]),
    ("measurement", {"quantity": "width_profile", "profile": [WIDTHS[0], WIDTHS[0]]},
     [("/body/profile", "points-not-in-order")]),
    ("measurement", {"quantity": "camber_mm", "value": 1, "unit_text": "mm"},
     [("/body/unit_text", "does-not-belong")]),
    ("measurement", {"quantity": "other", "quantity_text": "mass", "value": 1},
     [("/body/unit_text", "unit-needed")]),
    ("measurement", {"quantity": "camber_mm", "value": 1, "uncertainty": -0.1},
     [("/body/uncertainty", "out-of-range")]),
    ("bevel-setting", {"edge": "left", "base_bevel_deg": 1, "moment": "after"},
     [("/body/moment", "does-not-belong")]),
    ("bevel-setting", {"edge": "left", "base_bevel_deg": 1, "station_from_mm": 5},
     [("/body/station_to_mm", "half-a-stretch")]),
    ("bevel-setting", {"edge": "left", "base_bevel_deg": 1, "station_to_mm": 5},
     [("/body/station_from_mm", "half-a-stretch")]),
    ("bevel-setting", {"edge": "left", "base_bevel_deg": 1, "station_from_mm": 9,
                       "station_to_mm": 9}, [("/body/station_from_mm", "stretch-reversed")]),
    ("status", STATUS, [("/body/reason", "reason-needed")]),
    ("pair", {"other_ski": SKI}, [("/body/other_ski", "own-pair")]),
    ("job", {"target": {}}, [("/body/target", "nothing-given")]),
    ("job", {"steps": [{"operation": "brush", "wax_class": "cold", "iron_temperature_c": 99}]},
     [(f"{JOB_STEPS}/wax_class", "does-not-belong"),
      (f"{JOB_STEPS}/iron_temperature_c", "does-not-belong")]),
    ("job", {"steps": [{"operation": "wax", "repair_method": "drip"}]},
     [(f"{JOB_STEPS}/repair_method", "does-not-belong")]),
    ("job", {"steps": [{"operation": "wax", "groove_width_mm": 8}]},
     [(f"{JOB_STEPS}/groove_width_mm", "does-not-belong")]),
    ("job", {"steps": [{"operation": "wax", "inspection": {"procedure_text": "x",
     "inspected_as": "short_rental", "outcome": "failed"}}]},
     [(f"{JOB_STEPS}/inspection", "does-not-belong")]),
    ("job", {"steps": [{"operation": "inspect_binding", "inspection": {"procedure_text": "x",
     "inspected_as": "short_rental", "outcome": "passed", "release_value": 6}}]},
     [(f"{JOB_STEPS}/inspection/release_value", "unknown-field")]),
    ("job", {"findings": [{"what": "rust", "severity": "slight", "state": "open", "where": {}}]},
     [("/body/findings/0/where", "nothing-given")]),
    ("correction", {"reason": "omitted", "replacement": {"kind": "usage"}},
     [("/body/replacement/performed_at", "missing"), ("/body/replacement/body", "missing")]),
    ("correction", {"reason": "omitted", "replacement": {"kind": "retraction", "body": {}}},
     [("/body/replacement", "unknown-kind")]),
    ("correction", {"reason": "omitted", "replacement": {"body": {}}},
     [("/body/replacement", "missing")]),
    ("correction", {"reason": "omitted", "replacement": {
        "kind": "job", "performed_at": "2025-01-31", "body": {"step": []}}},
     [("/body/replacement/body/step", "unknown-field")]),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "body"), GOOD)
def test_a_body_that_keeps_the_rules_is_accepted(kind: str, body: dict[str, Any]) -> None:
    said = accepted_body(kind, body)
    assert set(said) >= set(body) - {"side_angle_deg"}


@pytest.mark.parametrize(("kind", "body", "errors"), BROKEN)
def test_a_broken_rule_names_the_field(
    kind: str, body: dict[str, Any], errors: list[tuple[str, str]]
) -> None:
    assert coded(draft_errors(kind, body)) == errors


@pytest.mark.parametrize(
    ("angle", "bevel"),
    # The trade writes "88" and "2" for one edge: common practice, no source.
    [(88, "2.00"), (87, "3.00"), (89.25, "0.75"), (90, "0.00"), (80, "10.00")],
)
def test_a_side_angle_is_stored_as_bevel(angle: float, bevel: str) -> None:
    said = accepted_body("bevel-setting", {"edge": "both", "side_angle_deg": angle})
    assert said == {"edge": "both", "basis": "set", "side_bevel_deg": bevel}


def test_an_empty_list_in_a_draft_is_absent_from_the_record() -> None:
    said = accepted_body("job", {"findings": [], "steps": [], "remarks": "nothing to do"})
    assert said == {"remarks": "nothing to do"}


def test_a_draft_body_may_use_numbers_and_the_record_uses_strings() -> None:
    body = {"quantity": "base_gap_profile", "profile": POINTS, "uncertainty": "5"}
    assert accepted_body("measurement", body) == {
        "quantity": "base_gap_profile",
        "profile": [{"x_mm": "0.0", "gap_um": 0}, {"x_mm": "30.5", "gap_um": 12}],
        "uncertainty": "5",
    }

"""Makes the golden records with a fixed key and fixed salts: `python -m tests.records.make_golden`.

The seeds are those of RFC 8032 section 7.1, test 1 for the shop and test 2 for its node, which
everybody knows: these records prove nothing.
"""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

from apps.records.canonical import canonical_bytes, record_id
from apps.records.examples import BY_NODE, NODE, OTHER_SHOP_SKI, OTHER_SKI, SKI
from apps.records.key_proof import prove
from apps.records.reading import compose
from apps.records.signing import PrivateKey
from tests.records.refusals import read_any_draft

FOLDER = Path(__file__).parents[2] / "fixtures" / "records"
SEED = bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
NODE_SEED = bytes.fromhex("4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb")
AUTHOR = SKI["shop"]
SHOP_KEY, NODE_KEY = PrivateKey.from_seed(SEED), PrivateKey.from_seed(NODE_SEED)

INSPECTION = {
    "procedure_text": "ISO 11088:2023",
    "device_text": "test device no. 3",
    "device_calibrated_on": "2024-11-05",
    "inspected_as": "owned_or_long_rental",
    "outcome": "passed",
}
JOB: dict[str, Any] = {
    "findings": [
        {
            "what": "core_shot",
            "where": {"surface": "base", "station": "forebody", "position_mm": 1100},
            "severity": "severe",
            "state": "repaired",
            "depth_mm": 1.4,
            "width_mm": 3.5,
        },
        {"what": "other", "what_text": "glue on the topsheet", "severity": "slight",
         "state": "open", "where": {"surface": "top", "station": "waist"}},
    ],
    "steps": [
        {"operation": "clean"},
        {"operation": "fill_gouge", "repair_method": "weld", "repair_colour": "black",
         "place": {"surface": "base", "position_mm": 1100, "length_mm": 60}},
        {"operation": "stone_grind", "grit_text": "medium dressing", "passes": 3,
         "base_removed_mm": 0.04, "edge_height_removed_mm": 0.03},
        {"operation": "side_bevel", "edge": "both", "tool_text": "file guide",
         "edge_width_removed_mm": 0.02},
        {"operation": "recut_groove", "groove_width_mm": 8},
        {"operation": "wax", "wax_class": "universal", "iron_temperature_c": 130},
        {"operation": "inspect_binding", "inspection": INSPECTION},
    ],
    "measurements": [
        {"quantity": "edge_height_mm", "value": 1.785, "edge": "left", "station": "waist",
         "uncertainty": 0.02, "moment": "before", "instrument": "caliper"},
        {"quantity": "base_thickness_mm", "not_measured": "no_gauge"},
    ],
    "bevel_settings": [{"edge": "both", "base_bevel_deg": 0.5, "side_angle_deg": 88}],
    "target": {"base_bevel_deg": 0.5, "side_bevel_deg": 2, "flatness_tolerance_mm": 0.1},
    "technician": "t7",
    "remarks": "Tail dulled over the last 5 cm.\nGuest skis on hard snow: größte Schärfe.",
}  # fmt: skip
BODIES: dict[str, tuple[str, dict[str, Any]]] = {
    "description": ("description", {
        "length_mm": 1710, "shovel_width_mm": 121, "waist_width_mm": 68, "tail_width_mm": 103,
        "chord_mm": 1480, "construction": "other", "construction_text": "laminated bamboo",
        "base_material": "sintered", "base_colour": "black", "model_year": 2019,
        "model_text": "Example 68", "use": "piste", "declared_radius_m": 14.5,
        "giai": "4000001FB42"}),
    "description-empty": ("description", {}),
    "job": ("job", JOB),
    "measurement-value": ("measurement", {
        "quantity": "edge_height_mm", "value": 1.785, "edge": "right", "station": "tail"}),
    "measurement-profile": ("measurement", {
        "quantity": "base_gap_profile", "uncertainty": 5, "station": "waist", "profile": [
            {"x_mm": 0, "gap_um": 0}, {"x_mm": 34, "gap_um": 60}, {"x_mm": 68, "gap_um": 0}]}),
    "measurement-widths": ("measurement", {
        "quantity": "width_profile", "profile": [
            {"position_mm": 80, "width_mm": 103}, {"position_mm": 790, "width_mm": 68}]}),
    "measurement-trace": ("measurement", {
        "quantity": "texture_trace", "standard": "ISO 21920-2:2021",
        "trace": {"spacing_um": 5, "heights_um": [0, 6.25, -6.25, 0]}}),
    "measurement-absent": ("measurement", {
        "quantity": "edge_width_mm", "edge": "left", "not_measured": "other",
        "not_measured_text": "covered with glue"}),
    "bevel-setting": ("bevel-setting", {
        "edge": "left", "base_bevel_deg": 0.75, "side_bevel_deg": 3, "basis": "measured",
        "uncertainty_deg": 0.1, "station_from_mm": 100, "station_to_mm": 1500}),
    "usage": ("usage", {"days": 12}),
    "status": ("status", {"status": "retired", "reason": "worn_out"}),
    "pair": ("pair", {"other_ski": OTHER_SKI}),
    "same-ski": ("same-ski", {
        "other_ski": OTHER_SHOP_SKI, "evidence": ["both_labels", "other"],
        "evidence_text": "the owner's bill", "remarks": "Both labels on the left ski."}),
    "same-ski-retag": ("same-ski", {"other_ski": OTHER_SKI, "evidence": ["label_lost"]}),
    "distinct-ski": ("distinct-ski", {
        "other_ski": OTHER_SHOP_SKI, "evidence": ["side_by_side", "serial_number"]}),
}  # fmt: skip


def key_body(key: PrivateKey, handle: str, held_by: str) -> dict[str, str]:
    """Give the body of a key record."""
    proof = prove(key, handle)
    return {"shop": handle, "public": key.public.text, "held_by": held_by, "proof": proof}


KEYS: dict[str, tuple[str, dict[str, Any]]] = {
    "key-node": ("key", key_body(NODE_KEY, NODE, "node")),
    "key": ("key", key_body(SHOP_KEY, AUTHOR, "shop")),
    "key-end": ("key-end", {"shop": AUTHOR, "key": SHOP_KEY.key_id, "reason": "rotated"}),
}


def golden_record(name: str, kind: str, draft: dict[str, Any]) -> dict[str, Any]:
    """Compose and sign one record; its salt follows from its name."""
    author, key = (NODE, NODE_KEY) if kind in BY_NODE else (AUTHOR, SHOP_KEY)
    salt = hashlib.sha256(name.encode()).hexdigest()[:32]
    document = compose(read_any_draft(kind, draft), author=author, key=key.key_id, salt=salt)
    data = canonical_bytes(document)
    return {
        "document": document,
        "canonical_hex": data.hex(),
        "id": record_id(data),
        "signature": key.sign_text(data),
        "public_key": key.public.text,
    }


def golden_records() -> dict[str, dict[str, Any]]:
    """Make every golden record by name."""
    made: dict[str, dict[str, Any]] = {}
    for name, (kind, body) in BODIES.items():
        draft = {"ski": SKI, "performed_at": "2025-01-31T14:30:00+01:00", "body": body}
        made[name] = golden_record(name, kind, draft)
    correction = {
        "reason": "wrong_value",
        "replacement": {"kind": "usage", "performed_at": "2025-01-31", "body": {"days": 21}},
    }
    later = {"ski": SKI, "performed_at": "2025-02-03", "refers_to": [made["usage"]["id"]]}
    made["correction"] = golden_record("correction", "correction", {**later, "body": correction})
    later["refers_to"] = [made["correction"]["id"]]
    withdrawn = {**later, "body": {"reason": "withdrawn"}}
    made["retraction"] = golden_record("retraction", "retraction", withdrawn)
    made |= _about_others(made["measurement-value"]["id"])
    for name, (kind, body) in KEYS.items():
        made[name] = golden_record(name, kind, {"performed_at": "2025-01-01", "body": body})
    return made


def _about_others(target: str) -> dict[str, dict[str, Any]]:
    about = {"ski": SKI, "performed_at": "2025-02-10", "refers_to": [target]}
    doubt = {"reason": "wrong_value", "remarks": "1.60 mm, read twice."}
    why = {"reason": "other", "reason_text": "written on the wrong node"}
    return {
        "dispute": golden_record("dispute", "dispute", {**about, "body": doubt}),
        "erasure": golden_record("erasure", "erasure", {**about, "body": why}),
    }


def golden_text(golden: dict[str, Any]) -> str:
    """Write one golden record as a file's text."""
    return json.dumps(golden, indent=2, sort_keys=True, ensure_ascii=False) + "\n"


def main() -> None:
    """Write every golden record into its file."""
    for name, golden in golden_records().items():
        (FOLDER / f"{name}.json").write_text(golden_text(golden), encoding="utf-8")


if __name__ == "__main__":
    main()

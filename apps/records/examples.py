"""One example of each kind; they stand in the JSON Schema and the OpenAPI document."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

SKI = {"shop": "fellbench@node.example", "tag": "FB-0042"}
OTHER_SKI = {"shop": "fellbench@node.example", "tag": "FB-0043"}
KEY = "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k"
SALT = "000102030405060708090a0b0c0d0e0f"
RECORD = "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb"
PERFORMED_AT = "2025-01-31"
NODE = "node@node.example"
OTHER_SHOP_SKI = {"shop": "tarnside@lake.example", "tag": "TS-7"}
# The key of RFC 8037 appendix A.1, whose private half everybody knows, and its proof for the shop.
PUBLIC_KEY = "11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo"
PROOF = "PpjVMefPNMuQTn1H1GMOcAyFMkzcfPRptQ0S8-EBWRvK6A0EaiGOhILSRRxRYfXlYUhLvmHmnIeAMv1BWBZ5Dw"

MEASUREMENT: dict[str, Any] = {
    "quantity": "edge_height_mm",
    "value": "1.785",
    "edge": "left",
    "station": "waist",
    "uncertainty": "0.020",
}
BEVEL_SETTING: dict[str, Any] = {
    "edge": "both",
    "base_bevel_deg": "0.50",
    "side_bevel_deg": "2.00",
    "basis": "set",
}
BODIES: dict[str, dict[str, Any]] = {
    "description": {
        "length_mm": 1710,
        "shovel_width_mm": "121.0",
        "waist_width_mm": "68.0",
        "tail_width_mm": "103.0",
        "construction": "sandwich",
        "base_material": "sintered",
        "use": "piste",
        "declared_radius_m": "14.5",
    },
    "job": {
        "findings": [{"what": "gouge", "severity": "moderate", "state": "repaired"}],
        "steps": [
            {"operation": "fill_gouge", "repair_method": "drip", "repair_colour": "black"},
            {"operation": "stone_grind", "passes": 2, "base_removed_mm": "0.030"},
        ],
        "measurements": [{**MEASUREMENT, "moment": "after"}],
        "bevel_settings": [BEVEL_SETTING],
        "technician": "t7",
    },
    "measurement": MEASUREMENT,
    "bevel-setting": BEVEL_SETTING,
    "usage": {"days": 12},
    "status": {"status": "retired", "reason": "worn_out"},
    "pair": {"other_ski": OTHER_SKI},
    "correction": {
        "reason": "typing_error",
        "replacement": {"kind": "usage", "performed_at": PERFORMED_AT, "body": {"days": 21}},
    },
    "retraction": {"reason": "wrong_ski"},
    "same-ski": {"other_ski": OTHER_SHOP_SKI, "evidence": ["both_labels", "serial_number"]},
    "distinct-ski": {"other_ski": OTHER_SHOP_SKI, "evidence": ["side_by_side"]},
    "dispute": {"reason": "wrong_value", "remarks": "1.60 mm at the waist, read twice."},
    "erasure": {"reason": "personal_data"},
    "key": {"shop": SKI["shop"], "public": PUBLIC_KEY, "held_by": "shop", "proof": PROOF},
    "key-end": {"shop": SKI["shop"], "key": KEY, "reason": "rotated"},
}
REFERRING = frozenset({"correction", "retraction", "dispute", "erasure"})
BY_NODE = frozenset({"erasure", "key", "key-end"})
WITHOUT_SKI = frozenset({"key", "key-end"})


def example_draft(kind: str) -> dict[str, Any]:
    """Give the example of a kind as a client may send it."""
    draft = {"performed_at": PERFORMED_AT, "body": BODIES[kind]}
    if kind not in WITHOUT_SKI:
        draft["ski"] = SKI
    if kind in REFERRING:
        draft["refers_to"] = [RECORD]
    return deepcopy(draft)


def example_record(kind: str) -> dict[str, Any]:
    """Give the example of a kind as a whole record."""
    author = NODE if kind in BY_NODE else SKI["shop"]
    filled = {"format": 1, "kind": kind, "author": author, "key": KEY, "salt": SALT}
    return {"refers_to": [], **filled, **example_draft(kind)}


def draft_example(kind: str) -> dict[str, Any]:
    """Give the schema extra that carries the draft example."""
    return {"examples": [example_draft(kind)]}


def record_example(kind: str) -> dict[str, Any]:
    """Give the schema extra that carries the record example."""
    return {"examples": [example_record(kind)]}

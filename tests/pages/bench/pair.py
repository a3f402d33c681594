"""A pair of skis with a past: bevels set, steel read, a gouge left open on one of them."""

from __future__ import annotations

from typing import Any

from apps.records.envelope import Draft
from apps.registry.actors import Actor
from tests.registry.making import a_draft, a_ski, write

LEFT, OTHER = "VH-1-A", "VH-1-B"
CODE = "veskerdal-hire"
GOUGE = {
    "what": "gouge",
    "severity": "moderate",
    "state": "open",
    "where": {"surface": "base", "station": "forebody", "position_mm": 1080},
    "depth_mm": "0.60",
}


def reading(quantity: str, value: str, **where: Any) -> dict[str, Any]:
    """A reading with the uncertainty of a good gauge."""
    return {"quantity": quantity, "value": value, "uncertainty": "0.020", **where}


def past_job(tag: str, *, findings: list[dict[str, Any]]) -> Draft:
    """A visit of the winter before."""
    body = {
        "findings": findings,
        "steps": [{"operation": "side_bevel"}, {"operation": "base_bevel"}],
        "measurements": [
            reading("edge_height_mm", "1.800", edge="left"),
            reading("edge_height_mm", "1.790", edge="right"),
            reading("edge_width_mm", "2.000", edge="left"),
            reading("edge_width_mm", "2.010", edge="right"),
            reading("base_thickness_mm", "1.100"),
        ],
        "bevel_settings": [
            {"edge": "both", "base_bevel_deg": "1.00", "side_bevel_deg": "2.00", "basis": "set"}
        ],
    }
    return a_draft("job", shop=CODE, tag=tag, body={k: v for k, v in body.items() if v})


def a_pair(by: Actor) -> None:
    """Register both skis, pair them and write a visit of each."""
    for tag in (LEFT, OTHER):
        a_ski(by, tag=tag)
    other = {"other_ski": {"shop": CODE, "tag": OTHER}}
    write(by, a_draft("pair", shop=CODE, tag=LEFT, body=other))
    write(by, past_job(LEFT, findings=[GOUGE]), past_job(OTHER, findings=[]))

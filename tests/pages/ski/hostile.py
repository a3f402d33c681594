"""A ski in whose records every free text is one that would run, were it not escaped."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from apps.registry.actors import Actor
from tests.registry.making import TAG, a_draft, a_ski, write

SHOP, OTHER, OTHER_TAG = "fellbench", "tarnedge", "TE-1"
TECHNICIANS = ("zz-tech-1", "zz-tech-2", "zz-tech-3")
MARK = "zz-"
Draft = dict[str, Any]


def running(name: str) -> str:
    """A text that holds a tag, both quotes, an entity, and a name by which it is found."""
    return f"=1+1 <script>{MARK}{name}</script> \"'&lt;`onload=x"


def texts(*names: str) -> dict[str, str]:
    """Such a text for each field."""
    return {name: running(name) for name in names}


DESCRIPTION: Draft = {
    **dict.fromkeys(("construction", "base_material", "base_colour", "use"), "other"),
    **texts("construction_text", "base_material_text", "base_colour_text", "use_text"),
    **texts("maker_text", "model_text", "serial_text"),
    "giai": f"<script>{MARK}giai</script>",
}
STEPS: list[Draft] = [
    {"operation": "other", **texts("operation_text", "tool_text", "grit_text")},
    {"operation": "wax", "wax_class": "other", **texts("wax_class_text")},
    {
        "operation": "fill_gouge",
        "repair_method": "other",
        "repair_colour": "other",
        **texts("repair_method_text", "repair_colour_text"),
    },
    {
        "operation": "inspect_binding",
        "inspection": {
            "outcome": "passed",
            "inspected_as": "other",
            **texts("procedure_text", "device_text", "inspected_as_text"),
        },
    },
]
READINGS: list[Draft] = [
    {
        "quantity": "other",
        "value": "1",
        **texts("quantity_text", "unit_text", "instrument", "standard"),
    },
    {"quantity": "camber_mm", "not_measured": "other", **texts("not_measured_text")},
]


def job(technician: str, remarks: str) -> Draft:
    """A job with each of its texts."""
    return {
        "findings": [
            {
                "what": "other",
                "severity": "severe",
                "state": "open",
                "what_text": running("what_text"),
                "remarks": running(f"{remarks}-of-finding"),
                "where": {"surface": "base", "station": "waist"},
            }
        ],
        "steps": STEPS,
        "measurements": READINGS,
        "bevel_settings": [
            {
                "edge": "both",
                "base_bevel_deg": "1",
                "basis": "measured",
                "instrument": running("bevel-instrument"),
            }
        ],
        "target": {"base_bevel_deg": "1", **texts("structure_text")},
        "technician": technician,
        "remarks": running(remarks),
    }


def reason(name: str, **more: Any) -> Draft:
    """Another reason than the listed ones."""
    return {"reason": "other", "reason_text": running(name), **more}


def a_hostile_ski(shop: Actor, other: Actor) -> None:
    """Register it, work on it, correct, dispute and take back, and join it with another tag."""
    a_ski(other, tag=OTHER_TAG)
    write(shop, a_draft("description", body=DESCRIPTION), registers=True)
    first, second, third = (_job(shop, number) for number in range(3))
    replacement = {
        "kind": "job",
        "performed_at": "2025-01-30",
        "body": job(TECHNICIANS[2], "remarks-corrected"),
    }
    body = reason("correction", replacement=replacement)
    write(
        shop,
        a_draft("correction", refers_to=[second], body=body),
        a_draft("retraction", refers_to=[third], body=reason("retraction")),
        *_kept(),
        *_links(SHOP, TAG, OTHER, OTHER_TAG),
    )
    disputed = reason("dispute", remarks=running("remarks-of-dispute"))
    write(
        other,
        a_draft("dispute", refers_to=[first], body=disputed),
        a_draft("dispute", refers_to=[second], body=disputed),
        *_links(OTHER, OTHER_TAG, SHOP, TAG),
    )


def _job(shop: Actor, number: int) -> str:
    body = job(TECHNICIANS[number], f"remarks-{number}")
    (written,) = write(shop, a_draft("job", body=body))
    return written.record_id


def _kept() -> Iterator[Any]:
    yield a_draft("usage", body={"days": 3, "remarks": running("remarks-of-usage")})
    retired = reason("status", status="retired")
    yield a_draft("status", body=retired)


def _links(shop: str, tag: str, other: str, other_tag: str) -> Sequence[Any]:
    body = {
        "other_ski": {"shop": other, "tag": other_tag},
        "evidence": ["other"],
        "evidence_text": running("evidence_text"),
        "remarks": running("remarks-of-link"),
    }
    return [a_draft("same-ski", shop=shop, tag=tag, body=body)]

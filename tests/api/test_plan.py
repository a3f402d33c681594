"""A planned tune over HTTP: what it takes, whether it can be done, and that nothing is stored."""

from __future__ import annotations

from typing import Any

import pytest

from apps.registry.models import LogHead, LookUp
from tests.api.client import ApiClient
from tests.api.making import draft, write
from tests.api.test_condition import service


def plan(client: ApiClient, ski: str, document: dict[str, Any]) -> dict[str, Any]:
    """A plan that is well."""
    answer = client.post(f"{ski}/plan", document)
    assert answer.status == 200, answer.content
    found: dict[str, Any] = answer.json
    return found


def both(**bevels: Any) -> dict[str, Any]:
    """Targets for both edges."""
    return {"targets": {"both": bevels}}


def test_closing_a_base_bevel_takes_the_grind_of_the_formula(client: ApiClient, ski: str) -> None:
    # 2.0 to 1.0 degree over a facet of 2 mm: 2 (tan 2 - tan 1) = 0.034931 mm (derived from the
    # geometry of the facet; check value of the bench arithmetic).
    edge = {"base_bevel_deg": 2, "facet_width_mm": 2, "edge_height_mm": 1.8, "edge_width_mm": 2}
    assumed = {"left": edge, "right": edge, "concavity_mm": 0, "uncertainty_mm": 0}
    assumed["uncertainty_deg"] = 0
    found = plan(client, ski, {**both(base_bevel_deg=1), "assumed": assumed})
    assert found["plane"]["governed_by"] == "closing"
    assert found["plane"]["closing"]["left"]["taken"]["usual_mm"] == "0.035"
    assert found["plane"]["steel"]["basis"] == "geometry"


def test_an_angle_is_read_as_a_bevel(client: ApiClient, ski: str) -> None:
    by_angle = plan(client, ski, both(side_angle_deg=87))
    assert by_angle == plan(client, ski, both(side_bevel_deg="3.00"))


def test_edges_by_themselves(client: ApiClient, ski: str) -> None:
    found = plan(client, ski, {"targets": {"left": {"side_bevel_deg": 3}}})
    edges = {tuple(step["edges"]) for step in found["steps"] if step["operation"] == "side_bevel"}
    assert edges == {("left",)}


def test_a_plan_names_cautions_and_no_binding_setting(client: ApiClient, ski: str) -> None:
    document = {**both(side_bevel_deg=2), "wax": True, "iron_temperature_c": 160}
    found = plan(client, ski, document)
    codes = {caution["code"] for caution in found["cautions"]}
    assert {"sharp-edges", "wax-fume", "iron-too-hot"} <= codes
    assert "binding_setting" not in str(found)


def test_a_plan_below_the_least_is_not_feasible(client: ApiClient, ski: str) -> None:
    edge = {"edge_height_mm": "0.700", "edge_width_mm": 2, "base_bevel_deg": 1}
    document = {"assumed": {"left": edge, "right": edge}, "flatness_tolerance_mm": 0.01}
    found = plan(client, ski, document)
    assert found["verdict"]["outcome"] == "not_feasible"
    assert {reason["code"] for reason in found["verdict"]["reasons"]} == {"below-least"}
    assert found["options"][0]["saves"]


def test_nothing_is_stored(client: ApiClient, ski: str) -> None:
    size = LogHead.objects.get().size
    first = plan(client, ski, {**both(base_bevel_deg=0.5), "structure": True})
    assert LogHead.objects.get().size == size
    assert LookUp.objects.count() == 0
    assert plan(client, ski, {**both(base_bevel_deg=0.5), "structure": True}) == first


def test_an_open_finding_is_mended(client: ApiClient, ski: str) -> None:
    job = service(client)
    found = plan(client, ski, {"repair": [{"record": job, "index": 0}]})
    assert "fill_gouge" in {step["operation"] for step in found["steps"]}
    assert len(found["before"]["findings"]) == 1
    assert found["after"]["findings"] == []


def test_a_described_groove_is_reckoned_with(client: ApiClient, ski: str) -> None:
    body = {"centre_groove_width_mm": 8}
    write(client, "descriptions", draft("description", body=body, performed_at="2025-02-01"))
    assert plan(client, ski, {})["before"]["centre_groove_width_mm"] == "8.000"
    groove = {"quantity": "centre_groove_width_mm", "value": 7.5}
    write(client, "measurements", draft("measurement", body=groove, performed_at="2025-02-02"))
    assert plan(client, ski, {})["before"]["centre_groove_width_mm"] == "7.500"


BAD: list[tuple[dict[str, Any], str, str]] = [
    (both(side_bevel_deg=45), "/targets/both/side_bevel_deg", "side_angle_deg 88"),
    (both(side_bevel_deg=2, side_angle_deg=87), "/targets/both/side_angle_deg", "one of the two"),
    (both(base_bevel=1), "/targets/both/base_bevel", "did you mean `base_bevel_deg`?"),
    (
        {"targets": {"both": {}, "left": {"side_bevel_deg": 2}}},
        "/targets/both",
        "but not all of them",
    ),
    ({"flatness_tolerance_mm": -0.1}, "/flatness_tolerance_mm", "outside"),
    ({"spot_flatten": True, "flatness_tolerance_mm": 0.1}, "/spot_flatten", "Give one of the two"),
    (
        {"assumed": {"concavity_mm": 0.1, "convexity_mm": 0.1}},
        "/assumed/convexity_mm",
        "exclude each other",
    ),
    ({"assumed": {"left": {"edge_height_mm": 9}}}, "/assumed/left/edge_height_mm", "outside"),
    ({"iron_temperature_c": 20}, "/iron_temperature_c", "at least 60"),
    ({"plane_operation": "axe"}, "/plane_operation", "none of the words"),
    ({"wax": None}, "/wax", "leave the field out"),
    ({"binding_setting": 7}, "/binding_setting", "No field `binding_setting`"),
]


@pytest.mark.parametrize(("document", "pointer", "words"), BAD, ids=lambda one: str(one)[:40])
def test_a_bad_request(
    document: dict[str, Any], pointer: str, words: str, client: ApiClient, ski: str
) -> None:
    answer = client.post(f"{ski}/plan", document)
    assert (answer.status, answer.slug, answer.pointers) == (400, "invalid-fields", [pointer])
    assert words in answer.json["errors"][0]["detail"]


def test_a_finding_that_is_not_open(client: ApiClient, ski: str) -> None:
    job = service(client)
    document = {"repair": [{"record": job, "index": 0}, {"record": job, "index": 4}]}
    answer = client.post(f"{ski}/plan", document)
    assert (answer.status, answer.slug) == (422, "unknown-reference")
    assert answer.pointers == ["/repair/1"]


@pytest.mark.parametrize("body", [b"[]", b'"wax"', b"7"])
def test_a_request_that_is_no_object(body: bytes, client: ApiClient, ski: str) -> None:
    answer = client.send("POST", f"{ski}/plan", body)
    assert (answer.status, answer.slug) == (400, "invalid-fields")

"""What pages show of a ski and of a fleet is what programs are told, rounded as people read it."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any

import pytest
from django.test import Client

from apps.records.envelope import Draft
from apps.registry.actors import Actor
from service_registry.benchmark.synthetic import fill
from tests.api.client import ApiClient
from tests.api.making import a_client
from tests.pages.people import text_of
from tests.registry.making import a_draft, a_ski, write

pytestmark = pytest.mark.django_db
CODE, TAG = "veskerdal-hire", "VH-0007"


@pytest.fixture
def program(shop: Actor) -> ApiClient:
    """A program of the shop."""
    return a_client(CODE, new=False)


@pytest.fixture
def ski(shop: Actor) -> str:
    """A ski that was read three times, ground since to an unknown depth, and used."""
    a_ski(shop, tag=TAG)
    readings = (("2024-01-10", "1.900", "1.300"), ("2024-12-10", "1.810", "1.220"))
    write(shop, *(visit(*one) for one in readings), visit("2025-01-31", "1.785", "1.210"))
    grind = {"steps": [{"operation": "stone_grind"}], "findings": [OPEN]}
    write(
        shop,
        a_draft("usage", shop=CODE, tag=TAG, performed_at="2024-02-10", body={"days": 17}),
        a_draft("job", shop=CODE, tag=TAG, performed_at="2025-02-20", body=grind),
        a_draft("usage", shop=CODE, tag=TAG, performed_at="2025-03-01", body={"days": 9}),
    )
    return f"skis/{CODE}/{TAG}"


OPEN = {"what": "gouge", "severity": "moderate", "state": "open"}
BEVELS = {"edge": "both", "base_bevel_deg": "0.75", "side_bevel_deg": "2.50", "basis": "set"}


def visit(day: str, height_mm: str, base_mm: str) -> Draft:
    """A visit that worked the edges, set and measured."""
    place = {"station": "waist", "moment": "after"}
    body = {
        "steps": [{"operation": "side_bevel"}, {"operation": "stone_grind"}],
        "measurements": [
            {"quantity": "edge_height_mm", "value": height_mm, "edge": "left", **place},
            {"quantity": "base_thickness_mm", "value": base_mm, **place},
        ],
        "bevel_settings": [BEVELS],
    }
    return a_draft("job", shop=CODE, tag=TAG, performed_at=day, body=body)


def read(program: ApiClient, path: str) -> Any:
    """What a program is told."""
    answer = program.get(path)
    assert answer.status == 200
    return answer.json


def hundredths(text: str) -> str:
    """A figure of the wire as pages round it."""
    return str(Decimal(text).quantize(Decimal("0.01"), rounding=ROUND_HALF_EVEN))


def limits(figure: dict[str, Any]) -> str:
    """Both limits of a figure as pages write them."""
    return f"{hundredths(figure['low_mm'])} to {hundredths(figure['high_mm'])}"


def test_a_ski_is_as_far_gone_on_its_page_as_programs_are_told(
    technician: Client, program: ApiClient, ski: str
) -> None:
    told = read(program, f"{ski}/condition")
    shown = text_of(technician.get(f"/t/{CODE}/{TAG}"))
    known = told["material"]["known"]
    assert len(known) == 2
    for one in known:
        value, services = hundredths(one["left"]["value_mm"]), one["services"]
        assert f"{value} mm {limits(one['left'])} mm" in shown
        assert f"Above the shop's least {hundredths(one['reserve']['value_mm'])} mm" in shown
        counted = f"{services['services']} services, between {services['low']} and"
        assert f"{counted} {services['high']}" in shown
    assert f"{told['use']['total_days']} days out were reported." in shown
    assert f"{len(told['open_findings'])} finding is open." in shown


def test_the_fleet_shows_a_ski_as_its_own_page_and_as_programs_are_told(
    technician: Client, program: ApiClient, ski: str
) -> None:
    (told,) = read(program, "fleet")["items"]
    in_fleet, alone = (text_of(technician.get(path)) for path in ("/fleet", f"/t/{CODE}/{TAG}"))
    for name in ("edge_height", "base_thickness"):
        value, low, high = (told[f"{name}_{end}_mm"] for end in ("least", "low", "high"))
        left = f"{hundredths(low)} to {hundredths(high)}"
        assert f"{hundredths(value)} {left}" in in_fleet
        assert f"{hundredths(value)} mm {left} mm" in alone
    assert f"{told['services_left_low']} to {told['services_left_high']}" in in_fleet
    assert f"{told['days_since_job']} days ago" in in_fleet


def test_a_ski_is_as_urgent_on_the_page_as_programs_are_told(
    technician: Client, program: ApiClient, ski: str
) -> None:
    (told,) = read(program, "fleet/due")["items"]
    shown = text_of(technician.get("/fleet/due"))
    assert f"{told['urgency']} {TAG} due since 20 Feb 2025" in shown
    allowed = {one["code"]: one["allowed_days"] for one in told["reasons"]}
    assert f"mends such a one within {allowed['finding']} days" in shown
    assert f"services after {allowed['date']} days" in shown


@pytest.mark.parametrize(("base", "side"), [("0.5", "3"), ("1", "2"), ("0.75", "2.5")])
def test_a_tune_costs_on_the_page_what_programs_are_told(
    base: str, side: str, technician: Client, program: ApiClient, ski: str
) -> None:
    bevels = {"base_bevel_deg": float(base), "side_bevel_deg": float(side)}
    told = program.post(f"{ski}/plan", {"targets": {"both": bevels}}).json
    address = f"/bench/{CODE}/{TAG}/plan?base={base}&side={side}"
    shown = text_of(technician.get(address))
    spent = [one for one in _spent(told["spent"]) if Decimal(one["high_mm"])]
    assert spent
    for one in spent:
        assert f"{one['usual_mm']} mm ({one['low_mm']} to {one['high_mm']} mm)" in shown
    for step in told["steps"]:
        for one in _spent(step["taken"]):
            if Decimal(one["high_mm"]):
                assert f"{one['usual_mm']} mm ({one['low_mm']} to {one['high_mm']} mm)" in shown


def _spent(taken: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """The amounts in what is taken off, of both edges and of the base."""
    for one in taken.values():
        if isinstance(one, dict) and "usual_mm" in one:
            yield one
        elif isinstance(one, dict):
            yield from _spent(one)


def test_the_outlook_and_the_rates_are_those_that_programs_are_told(
    shop: Actor, technician: Client, program: ApiClient
) -> None:
    fill(shop.handle, 60)
    told = read(program, "fleet/outlook?months=12")
    shown = text_of(technician.get("/fleet/outlook?months=12"))
    assert f"Of {told['skis']} skis" in shown
    assert f"{told['unknown']} skis are left out" in shown
    rows = [
        f"{one['below']['expected']} {one['below']['low']} to {one['below']['high']}"
        for one in told["months"]
    ]
    assert len(set(rows)) > 2
    table = shown.partition("Month by month")[2]
    assert [table.count(row) for row in rows] == [rows.count(row) for row in rows]
    rates = text_of(technician.get("/fleet/rates"))
    for one in read(program, "fleet/rates")["services"]:
        assert one["mean_mm"] in rates
        assert f"{one['low_mm']} mm to {one['high_mm']} mm" in rates

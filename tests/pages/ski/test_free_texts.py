"""Free texts of records: nowhere do they run, and a buyer reads no remarks and no technician."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from typing import Any

import pytest
from django.test import Client

from apps.records.kinds import KINDS
from apps.records.model import RecordModel
from apps.registry.actors import Actor
from apps.registry.models import Record
from apps.registry.sharing import make_share_link
from tests.pages.people import text_of
from tests.pages.ski.hostile import MARK, TECHNICIANS, a_hostile_ski, running
from tests.registry.making import TAG

pytestmark = pytest.mark.django_db
OWN_PAGES = (
    "/t/fellbench/FB-0042",
    "/t/tarnedge/TE-1",
    "/bench/fellbench/FB-0042",
    "/bench/fellbench/FB-0042/plan?base=1",
    "/bench/fellbench/FB-0042/job",
    "/fleet",
    "/fleet/due?on=2025-06-01",
    "/fleet/pairs",
    "/fleet/rates",
)
NOT_FOR_BUYERS = (
    "remarks-0",
    "remarks-1",
    "remarks-2",
    "remarks-corrected",
    "remarks-0-of-finding",
    "remarks-corrected-of-finding",
    "remarks-of-dispute",
    "remarks-of-usage",
    "remarks-of-link",
)


@pytest.fixture(autouse=True)
def hostile(shop: Actor, other_shop: Actor) -> None:
    """The ski whose texts would run."""
    a_hostile_ski(shop, other_shop)


@pytest.fixture
def token(shop: Actor) -> str:
    """A link to it."""
    return make_share_link(shop=shop.handle, tag=TAG, by=shop).token


def test_no_text_runs_on_any_page(technician: Client) -> None:
    ids = Record.objects.values_list("id", flat=True)
    records = [f"/t/fellbench/FB-0042/records/{one}" for one in ids.filter(subject__tag=TAG)]
    for path in (*OWN_PAGES, *records):
        page = technician.get(path)
        assert page.status_code == 200, path
        assert f"<script>{MARK}" not in page.content.decode(), path


def test_the_shop_reads_every_text_as_it_was_written(technician: Client) -> None:
    shown = text_of(technician.get(OWN_PAGES[0]))
    for name in (*NOT_FOR_BUYERS, "structure_text", "tool_text", "evidence_text", "dispute"):
        assert running(name) in shown, name
    # The second one stood in the record that was corrected since.
    for alias in (TECHNICIANS[0], TECHNICIANS[2]):
        assert alias in shown


@pytest.mark.parametrize("page", ["", "/certificate"])
def test_a_buyer_is_sent_no_remarks_and_no_technician(
    page: str, client: Client, token: str
) -> None:
    sent = client.get(f"/s/{token}{page}").content.decode()
    assert "zz-what_text" in sent
    assert f"<script>{MARK}" not in sent
    for name in (*NOT_FOR_BUYERS, *TECHNICIANS):
        assert name not in sent, name


def test_nothing_else_lies_behind_a_link(client: Client, token: str) -> None:
    record = Record.objects.filter(subject__tag=TAG).latest("log_index").pk
    ends = ("/bundle", f"/records/{record}", "/records", "/visits", ".json", "/certificate/", "/")
    for end in ends:
        answer = client.get(f"/s/{token}{end}", headers={"accept": "text/html"})
        assert answer.status_code == 404, end
        assert MARK not in answer.content.decode()


def test_tables_of_data_hold_nothing_that_a_spreadsheet_would_run(technician: Client) -> None:
    for path in ("/fleet/fleet.csv", "/fleet/due.csv?on=2025-06-01"):
        data = b"".join(technician.get(path)).decode()
        cells = [cell for row in csv.reader(io.StringIO(data)) for cell in row]
        assert cells
        assert not [one for one in cells if one.startswith(("=", "+", "@", "\t", "\r"))]


def test_every_free_text_of_the_schema_is_tried() -> None:
    documents = [json.loads(bytes(one.document)) for one in Record.objects.all()]
    tried = {name for document in documents for name, text in _strings(document) if MARK in text}
    assert {name for spec in KINDS.values() for name in _free_texts(spec.body)} <= tried


def _strings(node: Any, name: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(node, str):
        yield name, node
    elif isinstance(node, dict):
        for inner, value in node.items():
            yield from _strings(value, inner)
    elif isinstance(node, list):
        for value in node:
            yield from _strings(value, name)


def _free_texts(body: type[RecordModel]) -> Iterator[str]:
    """The fields that take any text: those of a kind of record, and of what is in it."""
    schema = body.model_json_schema()
    for model in (schema, *schema.get("$defs", {}).values()):
        for name, field in model.get("properties", {}).items():
            if any("maxLength" in one and "pattern" not in one for one in _ways(field)):
                yield name


def _ways(field: dict[str, Any]) -> list[dict[str, Any]]:
    return [field, *field.get("anyOf", [])]

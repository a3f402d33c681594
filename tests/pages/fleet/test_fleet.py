"""The list of the fleet: its rows, filters, order, pages, and its table of data."""

from __future__ import annotations

import csv
import io
import re
from typing import Any
from urllib.parse import unquote

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from apps.pages.fleet.tables import DUE_NAMES, FLEET_NAMES
from apps.registry.actors import Actor
from apps.registry.models import Condition, Ski, Tag, Wear
from service_registry.benchmark.synthetic import fill
from tests.pages.people import a_person, an_operator, sitting, text_of
from tests.registry.making import a_shop, a_ski

PAGES = ("/fleet", "/fleet/due?on=2025-01-31", "/fleet/outlook", "/fleet/pairs", "/fleet/rates")
TAG = re.compile(r'class="tag(?: figure)?" href="/t/fellbench/[^"]+">([^<]+)</a>')


def tags(response: Any) -> list[str]:
    """The tags that a page lists, in order."""
    return TAG.findall(response.content.decode())


def table(response: Any) -> list[dict[str, str]]:
    """The rows of a table of data."""
    text = b"".join(response.streaming_content).decode()
    return list(csv.DictReader(io.StringIO(text)))


def queries(reader: Client, address: str) -> int:
    """How many queries a page takes."""
    with CaptureQueriesContext(connection) as captured:
        assert reader.get(address).status_code == 200
    return len(captured)


@pytest.mark.parametrize("address", [*PAGES, "/fleet/fleet.csv", "/fleet/due.csv"])
def test_a_guest_is_led_to_the_door_and_back(db: None, address: str) -> None:
    response = Client().get(address)
    assert response.status_code == 302
    assert unquote(response["Location"]) == f"/enter?next={address}"


@pytest.mark.parametrize("address", PAGES)
def test_the_operator_has_no_fleet(db: None, address: str) -> None:
    assert sitting(an_operator()).get(address).status_code == 403


@pytest.mark.parametrize("address", [*PAGES, "/fleet/fleet.csv", "/fleet/due.csv"])
def test_nothing_is_written_here(reader: Client, address: str) -> None:
    assert reader.post(address).status_code == 405


@pytest.mark.parametrize("address", ["/fleet", "/fleet/due"])
def test_an_empty_fleet_says_how_to_begin(reader: Client, address: str) -> None:
    response = reader.get(address)
    text = text_of(response)
    assert "There is no ski in this fleet yet" in text
    assert 'href="/labels"' in response.content.decode()
    assert 'href="/bench"' in response.content.decode()


@pytest.mark.parametrize("address", PAGES)
def test_a_page_takes_as_many_queries_for_many_skis(
    shop: Actor, reader: Client, address: str
) -> None:
    fill(shop.handle, 5)
    few = queries(reader, address)
    Condition.objects.all().delete()
    for model in (Wear, Tag, Ski):
        model._default_manager.all().delete()
    fill(shop.handle, 60)
    assert queries(reader, address) == few <= 14


def test_a_ski_is_shown_with_what_is_known_and_not(shop: Actor, reader: Client) -> None:
    a_ski(shop)
    text = text_of(reader.get("/fleet"))
    assert "FB-0042" in text
    assert "never stated" in text
    assert "not measured" in text
    assert "none on record" in text


def test_links_that_do_not_join_are_told(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 3)
    Ski.objects.filter(key__endswith="0").update(apart="contested")
    Ski.objects.filter(key__endswith="1").update(apart="too-many")
    text = text_of(reader.get("/fleet"))
    assert "Z-000000 links disputed" in text
    assert "Z-000001 too many links" in text


def test_lengths_are_in_the_visitors_unit(shop: Actor) -> None:
    fill(shop.handle, 8)
    reader = sitting(a_person(shop.handle, "reader", unit="um"))
    text = text_of(reader.get("/fleet"))
    least = Condition.objects.exclude(edge_height_least_um=None).order_by("ski").first()
    assert least is not None
    assert "in µm" in text
    assert re.search(rf"\b{least.edge_height_least_um}\b", text)


def test_it_shows_only_the_own_skis(shop: Actor, reader: Client) -> None:
    other = a_shop("tarnedge")
    fill(shop.handle, 3)
    fill(other.handle, 4)
    assert len(tags(reader.get("/fleet"))) == 3


def test_filters_and_order_come_from_the_address(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 30)
    known = Condition.objects.filter(edge_height_least_um__lt=1200)
    wanted = [
        row.ski_id.partition("/")[2] for row in known.order_by("-edge_height_least_um", "-ski")
    ]
    response = reader.get("/fleet?steel_below=1.2&sort=-edge_height_least_mm")
    assert tags(response) == wanted
    assert 'aria-sort="descending"' in response.content.decode()
    assert "<details" in response.content.decode()
    assert " open>" in response.content.decode()


def test_a_filter_that_leaves_nothing_says_so(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 3)
    text = text_of(reader.get("/fleet?tag=NONE"))
    assert "No ski of the fleet is like that." in text
    assert "There is no ski in this fleet yet" not in text


@pytest.mark.parametrize("sort", ["tag", "-edge_height_least_mm", "due_on", "last_job_day"])
def test_pages_follow_each_other_without_gap_or_double(
    shop: Actor, reader: Client, sort: str
) -> None:
    fill(shop.handle, 120)
    address, seen = f"/fleet?sort={sort}", []
    for _ in range(3):
        response = reader.get(address)
        seen += tags(response)
        found = re.search(r'href="(\?[^"]+)" rel="next"', response.content.decode())
        address = "/fleet" + found[1].replace("&amp;", "&") if found else ""
    assert address == ""
    assert sorted(seen) == sorted(set(seen))
    assert len(seen) == 120


def test_a_place_of_another_order_is_refused(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 60)
    found = re.search(r"after=([^&\"]+)", reader.get("/fleet").content.decode())
    assert found is not None
    assert reader.get(f"/fleet?after={found[1]}").status_code == 200
    response = reader.get(f"/fleet?after={found[1]}&sort=due_on")
    assert response.status_code == 400
    assert "begin again at its first page" in text_of(response)


@pytest.mark.parametrize(
    "address",
    ["/fleet", "/fleet/fleet.csv", "/fleet/due", "/fleet/due.csv", *PAGES[2:]],
)
def test_an_unknown_filter_is_refused_and_what_was_typed_stays(
    reader: Client, address: str
) -> None:
    response = reader.get(f"{address}?colour=red")
    assert response.status_code == 400
    assert "There is no field called “colour” here." in text_of(response)


def test_a_mistake_is_told_at_its_field(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 3)
    page = reader.get("/fleet?services=many").content.decode()
    assert 'aria-invalid="true"' in page
    assert 'value="many"' in page
    assert 'id="id_services_error"' in page
    assert not tags(reader.get("/fleet?services=many"))


def test_the_table_has_every_ski_and_column_and_leads_to_the_page(
    shop: Actor, reader: Client
) -> None:
    fill(shop.handle, 60)
    response = reader.get("/fleet/fleet.csv?sort=-tag", headers={"accept-language": "de"})
    assert response["Content-Type"] == "text/csv"
    assert response["Content-Disposition"] == 'attachment; filename="fleet.csv"'
    rows = table(response)
    assert tuple(rows[0]) == FLEET_NAMES
    assert len(rows) == 60
    assert rows[0]["tag"] == "Z-000059"
    assert rows[0]["page"] == "/t/fellbench/Z-000059"
    lengths = [row["edge_height_least_mm"] for row in rows if row["edge_height_least_mm"]]
    assert all(re.fullmatch(r"\d\.\d{3}", length) for length in lengths)


def test_the_table_of_what_is_due_is_data(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 60)
    rows = table(reader.get("/fleet/due.csv?on=2025-01-31", headers={"accept-language": "de"}))
    assert tuple(rows[0]) == DUE_NAMES
    assert {code for row in rows for code in row["reasons"].split()} <= {
        "finding",
        "days-out",
        "forecast",
        "date",
        "no-job",
    }
    urgencies = [float(row["urgency"]) for row in rows]
    assert urgencies == sorted(urgencies, reverse=True)
    assert rows[0]["why"].endswith(".")

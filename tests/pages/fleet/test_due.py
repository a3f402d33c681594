"""What is due: which skis, why, and how urgently, in the visitor's words."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client

from apps.registry.actors import Actor
from service_registry.benchmark.synthetic import fill
from tests.pages.fleet.test_fleet import table, tags
from tests.pages.people import a_person, sitting, text_of
from tests.registry.making import a_draft, a_ski, write

FINDING: dict[str, Any] = {
    "findings": [
        {"what": "core_shot", "severity": "severe", "state": "open", "where": {"surface": "base"}}
    ]
}


def test_an_open_finding_makes_it_due_and_says_why(shop: Actor, reader: Client) -> None:
    a_ski(shop)
    write(shop, a_draft("job", body=FINDING, performed_at="2025-02-10"))
    response = reader.get("/fleet/due?on=2025-02-12")
    text = text_of(response)
    assert tags(response) == ["FB-0042"]
    assert "due since 10 Feb 2025" in text
    # One, and the three days that it has been open over the one day to mend it.
    assert "4.00" in text
    assert "finding has been open since 10 Feb 2025" in text


def test_who_may_write_is_led_to_the_bench(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 3)
    technician = sitting(a_person(shop.handle, "technician"))
    address = "/fleet/due?on=2026-01-31"
    assert "/bench/fellbench/Z-000000" in technician.get(address).content.decode()
    assert "/bench/fellbench/" not in reader.get(address).content.decode()


def test_what_becomes_due_within_some_days(shop: Actor, reader: Client) -> None:
    a_ski(shop)
    write(shop, a_draft("job", body={"remarks": "seen"}, performed_at="2025-02-10"))
    nothing = reader.get("/fleet/due?on=2026-02-01")
    assert "Nothing is due." in text_of(nothing)
    soon = re.search(r'<a href="(\?[^"]+)">What becomes due', nothing.content.decode())
    assert soon is not None
    assert soon[1] == "?on=2026-02-01&amp;within=30"
    text = text_of(reader.get("/fleet/due?on=2026-02-01&within=30"))
    assert "due on 10 Feb 2026" in text
    assert "The last job was on 10 Feb 2025" in text


@pytest.mark.parametrize("page", ["/fleet/due", "/fleet/due.csv"])
@pytest.mark.parametrize("day", ["0001-01-01", "1949-12-31", "2101-01-01", "9999-12-31"])
def test_days_that_nobody_can_count_to_are_refused(
    page: str, day: str, shop: Actor, reader: Client
) -> None:
    a_ski(shop)
    refused = reader.get(f"{page}?on={day}&within=366")
    assert refused.status_code == 400
    assert "Ensure this value is" in text_of(refused)


def test_the_last_days_that_are_counted_to(shop: Actor, reader: Client) -> None:
    a_ski(shop)
    for day in ("1950-01-01", "2100-12-31"):
        assert reader.get(f"/fleet/due?on={day}&within=366").status_code == 200


def test_filters(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 40)
    response = reader.get("/fleet/due?on=2025-01-31&status=on_bench")
    assert set(tags(response)) == {
        row["tag"]
        for row in table(reader.get("/fleet/due.csv?on=2025-01-31"))
        if row["status"] == "on_bench"
    }
    assert "Nothing like that is due." in text_of(reader.get("/fleet/due?tag=NONE"))


def test_the_next_page_counts_from_the_same_day(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 120)
    first = reader.get("/fleet/due?on=2025-06-30")
    found = re.search(r'href="(\?[^"]+)" rel="next"', first.content.decode())
    assert found is not None
    query = found[1].replace("&amp;", "&")
    assert "on=2025-06-30" in query
    second = reader.get(f"/fleet/due{query}")
    whole = [row["tag"] for row in table(reader.get("/fleet/due.csv?on=2025-06-30"))]
    assert [*tags(first), *tags(second)] == whole[: len(tags(first)) + len(tags(second))]


def test_today_is_kept_for_the_next_page_too(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 120)
    assert re.search(r"on=\d{4}-\d\d-\d\d", reader.get("/fleet/due").content.decode())


def test_mistakes(reader: Client) -> None:
    response = reader.get("/fleet/due?within=often")
    assert response.status_code == 400
    assert reader.get("/fleet/due?after=nowhere").status_code == 400

"""What is due over the API: every reason in words, how urgent, and as a table."""

from __future__ import annotations

from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from apps.api.fleet_due import CSV_NAMES
from apps.registry import actions
from apps.registry.actors import OPERATOR
from service_registry.benchmark.synthetic import fill
from tests.api.client import ApiClient
from tests.api.making import draft, register, write
from tests.api.test_fleet import OPEN, table
from tests.api.test_history import all_pages

# The key, the shop's practice, and the skis.
DUE_QUERIES = 3


def due(client: ApiClient, query: str) -> list[dict[str, Any]]:
    """The skis that are due."""
    items: list[dict[str, Any]] = client.get(f"fleet/due?{query}").json["items"]
    return items


def reported(client: ApiClient, day: str, days: int) -> str:
    """Report days out; gives the record's id."""
    document = draft("usage", performed_at=day) | {"body": {"days": days}}
    return str(write(client, "usage", document).json["id"])


def test_an_open_finding(client: ApiClient, ski: str) -> None:
    job = write(client, "jobs", draft("job") | {"body": OPEN}).json["id"]
    (row,) = due(client, "as_of=2025-02-02")
    assert row == {
        "shop": client.handle,
        "tag": "FB-0042",
        "due_on": "2025-01-31",
        "urgency": "4.00",
        "reasons": [
            {
                "code": "finding",
                "sentence": "A severe finding has been open since 2025-01-31; the shop mends such "
                "a one in 1 day.",
                "due_on": "2025-01-31",
                "elapsed_days": 3,
                "allowed_days": 1,
                "urgency": "4.00",
                "basis": "records",
                "method": "one, and the days open over the days to mend",
                "rests_on": [job],
            }
        ],
        "condition": "/api/v1/skis/fellbench/FB-0042/condition",
    }


def test_days_out_on_record(client: ApiClient, ski: str) -> None:
    job = write(client, "jobs", draft("job")).json["id"]
    reported(client, "2025-02-07", 12)
    last = reported(client, "2025-02-14", 10)
    (row,) = due(client, "as_of=2025-02-14")
    (reason,) = row["reasons"]
    assert (reason["code"], reason["basis"], reason["due_on"]) == (
        "days-out",
        "records",
        "2025-02-14",
    )
    assert (reason["elapsed_days"], reason["elapsed_low_days"]) == (22, 10)
    assert (reason["allowed_days"], reason["urgency"], row["urgency"]) == (20, "1.10", "1.10")
    assert reason["rests_on"] == [job, last]
    assert reason["sentence"] == (
        "22 days out are on record since the job of 2025-01-31; the shop services after 20."
    )


def test_use_carried_on_with_its_limits(client: ApiClient, ski: str) -> None:
    for day, days in (("2025-01-05", 3), ("2025-01-12", 3), ("2025-01-20", 5), ("2025-01-29", 3)):
        reported(client, day, days)
    write(client, "jobs", draft("job", performed_at="2025-01-30"))
    reported(client, "2025-02-06", 4)
    (row,) = due(client, "as_of=2025-02-10&within_days=60")
    (reason,) = row["reasons"]
    assert (reason["code"], reason["basis"]) == ("forecast", "forecast")
    assert reason["earliest"] < reason["due_on"] < reason["latest"]
    assert (reason["elapsed_days"], reason["allowed_days"]) == (5, 20)
    # 15 days out in 32 days in season; 16 more take 34.1 days from 2025-02-06 on.
    assert reason["due_on"] == "2025-03-13"
    assert reason["sentence"].startswith("Out on 0.47 of the days in season, it reaches the shop's")
    assert f"between {reason['earliest']} and {reason['latest']}" in reason["sentence"]
    assert due(client, "as_of=2025-02-10") == []
    assert float(row["urgency"]) < 1


def test_a_forecast_without_a_spread_has_no_limits(client: ApiClient, ski: str) -> None:
    reported(client, "2025-01-01", 5)
    reported(client, "2025-01-31", 6)
    ((reason,),) = [row["reasons"] for row in due(client, "as_of=2025-01-31&within_days=60")]
    assert reason["code"] == "forecast"
    assert not {"earliest", "latest"} & set(reason)
    assert "between" not in reason["sentence"]


def test_by_date(client: ApiClient, ski: str) -> None:
    job = write(client, "jobs", draft("job")).json["id"]
    register(client, "FB-0043")
    first, second = due(client, "as_of=2026-02-05")
    assert [one["reasons"][0]["code"] for one in (first, second)] == ["date", "no-job"]
    assert first["reasons"][0]["rests_on"] == [job]
    assert second["reasons"][0]["rests_on"] == []
    assert [first["due_on"], first["urgency"]] == ["2026-01-31", "1.01"]
    assert first["reasons"][0]["elapsed_days"] == 370
    assert "No job is on record" in second["reasons"][0]["sentence"]


def test_several_reasons_the_most_urgent_first(client: ApiClient, ski: str) -> None:
    write(client, "jobs", draft("job") | {"body": OPEN})
    reported(client, "2025-02-07", 30)
    (row,) = due(client, "as_of=2026-02-05")
    assert [one["code"] for one in row["reasons"]] == ["finding", "days-out", "date"]
    assert row["urgency"] == row["reasons"][0]["urgency"]
    assert row["due_on"] == "2025-01-31"


def test_a_shop_sets_its_own_intervals(client: ApiClient, ski: str) -> None:
    write(client, "jobs", draft("job"))
    reported(client, "2025-02-07", 6)
    assert due(client, "as_of=2025-02-14") == []
    settings = {"due_after_days_out": 6, "due_after_calendar_days": 7}
    actions.set_practice(shop=client.handle, settings=settings, by=OPERATOR)
    (row,) = due(client, "as_of=2025-02-14")
    assert [(one["code"], one["urgency"]) for one in row["reasons"]] == [
        ("date", "2.00"),
        ("days-out", "1.00"),
    ]


def test_a_ski_in_service_says_so(client: ApiClient, ski: str) -> None:
    write(client, "statuses", draft("status") | {"body": {"status": "on_bench"}})
    (row,) = due(client, "as_of=2026-02-05&status=on_bench")
    assert row["status"] == "on_bench"
    assert due(client, "as_of=2026-02-05&status=in_service") == []
    assert due(client, "as_of=2026-02-05&tag_prefix=x") == []


def test_pages_hold_each_once(client: ApiClient) -> None:
    fill(client.handle, 80)
    whole = client.get("fleet/due?as_of=2025-01-20&limit=500").json["items"]
    pages = all_pages(client, "fleet/due?as_of=2025-01-20&limit=9")
    assert [row for page in pages for row in page] == whole
    urgencies = [float(row["urgency"]) for row in whole]
    assert urgencies == sorted(urgencies, reverse=True)
    assert min(urgencies) >= 1


@pytest.mark.parametrize("count", [6, 90])
def test_it_costs_the_same_whatever_the_fleet(
    client: ApiClient, count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    fill(client.handle, count)
    with django_assert_num_queries(DUE_QUERIES):
        assert client.get("fleet/due?as_of=2025-01-20&limit=5").status == 200


def test_as_a_table(client: ApiClient) -> None:
    fill(client.handle, 40)
    rows = due(client, "as_of=2025-01-20&limit=500")
    header, *lines = table(client, "fleet/due?as_of=2025-01-20&format=csv")
    assert header == list(CSV_NAMES)
    assert [dict(zip(header, line, strict=True)) for line in lines] == [
        {
            **{name: row.get(name, "") for name in CSV_NAMES},
            "reasons": " ".join(one["code"] for one in row["reasons"]),
            "why": " ".join(one["sentence"] for one in row["reasons"]),
        }
        for row in rows
    ]
    assert len(table(client, "fleet/due?as_of=2025-01-20&limit=3", Accept="text/csv")) == 4


def test_only_the_own_skis(client: ApiClient, other: ApiClient, ski: str) -> None:
    assert len(due(client, "as_of=2027-01-01")) == 1
    assert due(other, "as_of=2027-01-01") == []


@pytest.mark.parametrize(
    ("query", "parameter"),
    [
        ("within_days=367", "within_days"),
        ("within_days=-1", "within_days"),
        ("within_days=soon", "within_days"),
        ("as_of=2025-02-30", "as_of"),
        ("limit=0", "limit"),
        ("sort=tag", "sort"),
        ("after=WzEsIngiXQ:abc", "after"),
        ("within=3", "within"),
    ],
)
def test_a_bad_parameter_is_named(query: str, parameter: str, client: ApiClient) -> None:
    answer = client.get(f"fleet/due?{query}")
    assert (answer.status, answer.pointers) == (400, [parameter])


def test_the_last_day_of_all(client: ApiClient, ski: str) -> None:
    answer = client.get("fleet/due?as_of=2100-12-31&within_days=366")
    assert (answer.status, answer.json["until"]) == (200, "2102-01-01")

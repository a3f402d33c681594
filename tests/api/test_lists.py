"""Lists of a shop's own records: pages, filters, bounds, and the queries they cost."""

from __future__ import annotations

from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from apps.api.kinds import ROUTES
from tests.api.client import ApiClient
from tests.api.making import draft, register, write
from tests.api.test_history import all_pages, usage
from tests.registry.making import FIRST

# The key, the length of the log, and the records.
LIST_QUERIES = 3
# Reading one: the key, and the record with the right to see it.
ITEM_QUERIES = 2


def ids(client: ApiClient, address: str) -> list[str]:
    """The ids on a page."""
    return [item["id"] for item in client.get(address).json["items"]]


@pytest.mark.parametrize("kind", sorted(ROUTES))
def test_a_list_costs_the_same_whatever_its_length(
    kind: str,
    client: ApiClient,
    ski: str,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    segment = ROUTES[kind].segment
    for count in (3, 12):
        for _ in range(count):
            write(client, segment, draft(kind))
        with django_assert_num_queries(LIST_QUERIES):
            assert client.get(segment).status == 200
    first = ids(client, segment)[0]
    with django_assert_num_queries(ITEM_QUERIES):
        assert client.get(f"{segment}/{first}").status == 200


def test_pages_hold_everything_once(client: ApiClient, ski: str) -> None:
    written = [usage(client, number) for number in range(7)]
    pages = all_pages(client, "usage?limit=3")
    assert [len(page) for page in pages] == [3, 3, 1]
    assert [item["id"] for page in pages for item in page] == written


def test_a_full_last_page_has_no_next(client: ApiClient, ski: str) -> None:
    for number in range(4):
        usage(client, number)
    assert [len(page) for page in all_pages(client, "usage?limit=2")] == [2, 2]


def test_what_is_written_meanwhile_stands_beyond_the_bound(client: ApiClient, ski: str) -> None:
    written = [usage(client, number) for number in range(3)]
    first = client.get("usage?limit=2").json
    usage(client, 9)
    rest = client.get(first["next"]).json
    assert [item["id"] for item in first["items"] + rest["items"]] == written
    assert rest["until"] == first["until"]


def test_next_keeps_the_filters(client: ApiClient, ski: str) -> None:
    register(client, "FB-0043")
    for number in range(3):
        usage(client, number)
        write(client, "usage", draft("usage", tag="FB-0043"))
    pages = all_pages(client, "usage?limit=1&tag=fb-0043")
    assert {item["record"]["ski"]["tag"] for page in pages for item in page} == {"FB-0043"}
    assert len(pages) == 3


def test_filters_by_day(client: ApiClient, ski: str) -> None:
    days = {day: usage(client, 1, f"2025-02-0{day}") for day in (1, 2, 3)}
    assert ids(client, "usage?from_day=2025-02-02") == [days[2], days[3]]
    assert ids(client, "usage?to_day=2025-02-02") == [days[1], days[2]]
    assert ids(client, "usage?from_day=2025-02-02&to_day=2025-02-02") == [days[2]]


def test_filters_by_a_tag_of_another_shop(client: ApiClient, other: ApiClient, ski: str) -> None:
    job = write(other, "jobs", draft("job")).json["id"]
    assert ids(other, "jobs?shop=fellbench&tag=FB-0042") == [job]
    assert ids(other, "jobs?tag=FB-0042") == []


def test_an_empty_list(client: ApiClient) -> None:
    assert client.get("jobs").json == {"until": FIRST, "items": []}


@pytest.mark.parametrize(
    ("query", "parameter"),
    [
        ("?page=2", "page"),
        ("?from_day=2025-13-01", "from_day"),
        ("?to_day=yesterday", "to_day"),
        ("?tag=fb%20042", "tag"),
        ("?shop=Fell", "shop"),
        ("?after=-1", "after"),
        ("?after=99999999999999999999", "after"),
        ("?limit=5000", "limit"),
    ],
)
def test_a_bad_parameter(query: str, parameter: str, client: ApiClient) -> None:
    answer = client.get(f"jobs{query}")
    assert (answer.status, answer.pointers) == (400, [parameter])


ADDRESSES: list[tuple[str, str]] = [
    ("GET", "jobs"),
    ("POST", "jobs"),
    ("POST", "jobs/bulk"),
    ("GET", "openapi.json"),
    ("GET", ""),
    ("POST", "skis"),
    ("GET", "skis/fellbench/FB-0042"),
    ("GET", "skis/fellbench/FB-0042/condition"),
    ("POST", "skis/fellbench/FB-0042/plan"),
]


@pytest.mark.parametrize(("method", "address"), ADDRESSES)
def test_an_unknown_parameter_is_refused_everywhere(
    method: str, address: str, client: ApiClient, ski: str
) -> None:
    body: Any = None if method == "GET" else b"{}"
    answer = client.send(method, f"{address}?colour=red", body)
    assert (answer.status, answer.slug) == (400, "invalid-parameters")
    assert "`colour`" in answer.json["detail"]

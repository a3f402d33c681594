"""The own fleet over the API: pages, filters, sorting, tables, and what it costs."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from apps.api.answers.fleet import FleetRow
from apps.api.fleet_columns import NAMES
from apps.registry.csv_lines import csv_lines, safe
from apps.registry.fleet_columns import SORTABLE, factor, millimetres, order_of
from apps.registry.models import Condition
from service_registry.benchmark.synthetic import fill
from tests.api.client import ROOT, ApiClient
from tests.api.making import draft, register, write
from tests.api.test_history import all_pages

# The key, and the skis.
LIST_QUERIES = 2
OPEN = {"findings": [{"what": "core_shot", "severity": "severe", "state": "open"}]}


@pytest.fixture
def fleet(client: ApiClient, other: ApiClient) -> ApiClient:
    """A client whose shop has 40 skis; another shop has three."""
    fill(client.handle, 40)
    fill(other.handle, 3)
    return client


def tags(client: ApiClient, query: str = "") -> list[str]:
    """The tags on a page."""
    return [item["tag"] for item in client.get(f"fleet{query}").json["items"]]


def table(client: ApiClient, address: str, **headers: str) -> list[list[str]]:
    """The cells of a table."""
    sent = {"Authorization": f"Bearer {client.token}", **headers}
    response: Any = client.django.get(f"{ROOT}/{address}", headers=sent)
    assert (response.status_code, response.headers["Content-Type"]) == (200, "text/csv")
    assert response.streaming
    data = b"".join(response.streaming_content)
    assert data.endswith(b"\r\n")
    return list(csv.reader(io.StringIO(data.decode(), newline="")))


def test_a_row_has_the_columns_of_its_shape_and_of_the_table() -> None:
    assert tuple(FleetRow.model_fields) == NAMES


def test_it_shows_the_folded_state(client: ApiClient, ski: str) -> None:
    write(client, "jobs", draft("job", body=OPEN))
    write(client, "measurements", draft("measurement", performed_at="2025-02-03"))
    (row,) = client.get("fleet?as_of=2025-02-14").json["items"]
    assert row == {
        "shop": client.handle,
        "tag": "FB-0042",
        "tags": 1,
        "base_bevel_standing": "never_stated",
        "side_bevel_standing": "never_stated",
        "open_findings": 1,
        "worst_severity": "severe",
        "worst_finding_day": "2025-01-31",
        "edge_height_least_mm": "1.785",
        "edge_height_low_mm": "1.765",
        "edge_height_high_mm": "1.805",
        "edge_height_basis": "readings",
        "services_left": row["services_left"],
        "services_left_low": row["services_left_low"],
        "services_left_high": row["services_left_high"],
        "grinds": 0,
        "jobs": 1,
        "last_job_day": "2025-01-31",
        "days_since_job": 14,
        "due_on": "2025-01-31",
        "warnings": 0,
        "folded_on": "2025-02-03",
        "condition": "/api/v1/skis/fellbench/FB-0042/condition",
    }
    assert client.get(row["condition"]).status == 200


def test_only_the_own_skis_are_in_it(fleet: ApiClient, other: ApiClient) -> None:
    assert len(tags(fleet)) == 40
    assert tags(other) == ["Z-000000", "Z-000001", "Z-000002"]


@pytest.mark.parametrize("sort", ["tag", "-edge_height_least_mm", "last_job_day", "-status"])
def test_pages_hold_every_ski_once(fleet: ApiClient, sort: str) -> None:
    pages = all_pages(fleet, f"fleet?sort={sort}&limit=7&as_of=2025-02-01")
    assert [len(page) for page in pages] == [7] * 5 + [5]
    shown = [row for page in pages for row in page]
    assert len({row["tag"] for row in shown}) == 40
    assert shown == fleet.get(f"fleet?sort={sort}&limit=500&as_of=2025-02-01").json["items"]


def test_unknown_values_stand_last_in_either_direction(fleet: ApiClient) -> None:
    for sort in ("edge_height_least_mm", "-edge_height_least_mm"):
        rows = fleet.get(f"fleet?sort={sort}").json["items"]
        has = ["edge_height_least_mm" in row for row in rows]
        assert has == sorted(has, reverse=True)
        assert {True, False} == set(has)


@pytest.mark.parametrize(
    ("query", "holds"),
    [
        ("status=on_bench,unknown", lambda row: row.status in {"", "on_bench"}),
        ("base_bevel_standing=stands", lambda row: row.base_bevel_standing == "stands"),
        ("side_bevel_standing=stands", lambda row: row.side_bevel_standing == "stands"),
        ("severity_at_least=moderate", lambda row: row.worst_severity in {"moderate", "severe"}),
        ("edge_height_below=1.2", lambda row: (row.edge_height_least_um or 9999) < 1200),
        ("edge_height_at_least=1.2", lambda row: (row.edge_height_least_um or 0) >= 1200),
        ("base_thickness_below=0.900", lambda row: (row.base_thickness_um or 9999) < 900),
        ("base_thickness_at_least=0.9", lambda row: (row.base_thickness_um or 0) >= 900),
        ("services_left_at_most=3", lambda row: (row.services_left_low or 0) <= 3
         and row.services_left_low is not None),
        ("last_job_before=2024-06-01", lambda row: str(row.last_job_day or "9") < "2024-06-01"),
        ("last_job_after=2024-06-01", lambda row: str(row.last_job_day or "") > "2024-06-01"),
        ("days_out_since_job_at_least=20", lambda row: row.days_out_since_job_high >= 20),
        ("tag_prefix=z-00001", lambda row: "/Z-00001" in row.ski_id),
    ],
)  # fmt: skip
def test_a_filter(fleet: ApiClient, query: str, holds: Any) -> None:
    own = Condition.objects.fleet_of(fleet.handle).order_by("ski")
    expected = [row.ski_id.partition("/")[2] for row in own if holds(row)]
    assert 0 < len(expected) < 40
    assert tags(fleet, f"?{query}") == expected


def test_filters_of_widths_that_nobody_measured(fleet: ApiClient) -> None:
    assert tags(fleet, "?edge_width_below=5") == []
    assert tags(fleet, "?edge_width_at_least=0") == []


@pytest.mark.parametrize("count", [3, 60])
def test_it_costs_the_same_whatever_the_fleet(
    client: ApiClient, count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    fill(client.handle, count)
    for query in ("", "?sort=-due_on&limit=2", "?status=on_bench&sort=tag"):
        with django_assert_num_queries(LIST_QUERIES):
            assert client.get(f"fleet{query}").status == 200
    with django_assert_num_queries(LIST_QUERIES):
        assert len(table(client, "fleet?format=csv")) == count + 1


class TestTable:
    def test_it_has_the_cells_of_the_rows(self, fleet: ApiClient) -> None:
        header, *lines = table(fleet, "fleet?format=csv&sort=-due_on&as_of=2025-02-01")
        rows = fleet.get("fleet?sort=-due_on&limit=500&as_of=2025-02-01").json["items"]
        assert header == list(NAMES)
        assert lines == [[str(row.get(name, "")) for name in NAMES] for row in rows]

    def test_by_the_accept_header(self, fleet: ApiClient) -> None:
        assert len(table(fleet, "fleet", Accept="text/csv")) == 41
        assert len(table(fleet, "fleet", Accept="text/csv, */*;q=0.1")) == 41
        answer = fleet.get("fleet?format=json", Accept="text/csv")
        assert answer.headers["Content-Type"] == "application/json"

    def test_a_limit_is_heeded_and_so_is_a_place(self, fleet: ApiClient) -> None:
        assert len(table(fleet, "fleet?format=csv&limit=5")) == 6
        following = fleet.get("fleet?limit=30&sort=-due_on").json["next"]
        address = following.removeprefix(f"{ROOT}/").replace("limit=30&", "")
        assert len(table(fleet, f"{address}&format=csv")) == 11

    def test_it_says_how_it_may_be_kept(self, fleet: ApiClient) -> None:
        sent = {"Authorization": f"Bearer {fleet.token}"}
        response = fleet.django.get(f"{ROOT}/fleet?format=csv", headers=sent)
        assert response.headers["Cache-Control"] == "private, no-store"
        assert response.headers["Vary"] == "Authorization, Accept"
        assert response.headers["Content-Disposition"] == 'attachment; filename="fleet.csv"'
        assert "ETag" not in response.headers
        assert fleet.get("fleet").headers["Vary"] == "Authorization, Accept"

    def test_what_goes_wrong_is_json(self, fleet: ApiClient) -> None:
        answer = fleet.get("fleet?sort=tog", Accept="text/csv")
        assert (answer.status, answer.slug) == (400, "invalid-parameters")
        assert answer.headers["Content-Type"] == "application/problem+json"

    @pytest.mark.parametrize("text", ["=1+1", "+1 2", "-x", "@sum", "\tx", "\rx"])
    def test_no_cell_is_a_formula(self, text: str) -> None:
        (line,) = csv.reader(io.StringIO(b"".join(csv_lines(["a"], [[text]])).decode()[3:]))
        assert line == [f"'{text}"]

    @pytest.mark.parametrize("cell", ["FB-1", "-0.010", "1.785", -3, 0, None, "", "a=b"])
    def test_what_is_no_formula_stays_as_it_is(self, cell: str | int | None) -> None:
        assert safe(cell) == cell

    def test_many_lines_come_in_pieces(self) -> None:
        pieces = list(csv_lines(["n"], ([number] for number in range(1000))))
        assert len(pieces) > 3
        assert b"".join(pieces).split() == [b"n", *(b"%d" % number for number in range(1000))]


@pytest.mark.parametrize(
    ("query", "parameter"),
    [
        ("sort=edge_hight_least_mm", "sort"),
        ("sort=--tag", "sort"),
        ("sort=condition", "sort"),
        ("sort=", "sort"),
        ("limit=0", "limit"),
        ("limit=501", "limit"),
        ("limit=ten", "limit"),
        ("format=xml", "format"),
        ("status=lost", "status"),
        ("status=", "status"),
        ("base_bevel_standing=fine", "base_bevel_standing"),
        ("severity_at_least=bad", "severity_at_least"),
        ("edge_height_below=-1", "edge_height_below"),
        ("edge_height_below=6", "edge_height_below"),
        ("edge_height_below=1.0005", "edge_height_below"),
        ("edge_height_below=NaN", "edge_height_below"),
        ("services_left_at_most=-1", "services_left_at_most"),
        ("last_job_before=2025-02-30", "last_job_before"),
        ("days_out_since_job_at_least=1.5", "days_out_since_job_at_least"),
        ("tag_prefix=%25", "tag_prefix"),
        ("tag_prefix=", "tag_prefix"),
        ("as_of=yesterday", "as_of"),
        ("colour=red", "colour"),
        ("after=abc", "after"),
        ("after=" + "a" * 501, "after"),
        ("sort=tag&sort=tag", "sort"),
    ],
)
def test_a_bad_parameter_is_named(query: str, parameter: str, client: ApiClient) -> None:
    answer = client.get(f"fleet?{query}")
    assert (answer.status, answer.slug) == (400, "invalid-parameters")
    assert answer.pointers == [parameter]


def test_a_slip_in_a_column_is_answered_with_the_nearest(client: ApiClient) -> None:
    detail = client.get("fleet?sort=-edge_hight_least_mm").json["detail"]
    assert "did you mean `edge_height_least_mm`?" in detail
    assert "tag, status," in client.get("fleet?sort=q").json["detail"]


class TestPlace:
    @pytest.fixture
    def after(self, fleet: ApiClient) -> str:
        address = fleet.get("fleet?sort=-due_on&limit=3").json["next"]
        return str(address.partition("after=")[2].partition("&")[0])

    def refused(self, client: ApiClient, query: str) -> None:
        answer = client.get(f"fleet?{query}")
        assert (answer.status, answer.pointers) == (400, ["after"])

    def test_of_another_order(self, fleet: ApiClient, after: str) -> None:
        self.refused(fleet, f"sort=due_on&after={after}")

    def test_changed(self, fleet: ApiClient, after: str) -> None:
        first = "X" if after[0] != "X" else "Y"
        self.refused(fleet, f"sort=-due_on&after={first}{after[1:]}")
        self.refused(fleet, f"sort=-due_on&after={after[:-1]}")

    def test_of_another_shop(self, fleet: ApiClient, after: str, other: ApiClient) -> None:
        self.refused(other, f"sort=-due_on&after={after}")

    def test_its_own(self, fleet: ApiClient, after: str) -> None:
        assert len(tags(fleet, f"?sort=-due_on&after={after}")) == 37


def test_it_needs_the_scope_to_read(nobody: ApiClient, reader: ApiClient) -> None:
    assert nobody.get("fleet").status == 401
    assert reader.get("fleet").status == 200


def test_an_empty_fleet(client: ApiClient) -> None:
    assert client.get("fleet?as_of=2025-02-14").json == {"as_of": "2025-02-14", "items": []}
    assert table(client, "fleet?format=csv") == [list(NAMES)]


def test_numbers_as_they_are_written() -> None:
    assert [millimetres(um) for um in (0, 7, 1785, None)] == ["0.000", "0.007", "1.785", None]
    assert [factor(permille) for permille in (0, 999, 1000, 12_345)] == [
        "0.00",
        "0.99",
        "1.00",
        "12.34",
    ]
    assert order_of("-tag").column == "ski"
    assert "shop" not in SORTABLE


def test_a_new_ski_stands_in_it(client: ApiClient) -> None:
    register(client, "FB-0044")
    assert tags(client) == ["FB-0044"]

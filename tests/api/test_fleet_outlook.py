"""What is to come of a fleet, and what services take off it, over the API."""

from __future__ import annotations

from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from apps.registry.models import Shop, Wear
from apps.tuning.wear_rates import METHOD
from service_registry.benchmark.synthetic import fill
from tests.api.client import ApiClient
from tests.api.making import draft, write

# The key, the shop's practice, and the columns.
OUTLOOK_QUERIES = 3
ON = "as_of=2025-01-31"


def outlook(client: ApiClient, query: str = "") -> Any:
    """The outlook of the fleet."""
    answer = client.get(f"fleet/outlook?{ON}&{query}" if query else f"fleet/outlook?{ON}")
    assert answer.status == 200, answer.content
    return answer.json


def expected(answer: Any, what: str = "below") -> list[float]:
    """How many skis are expected at the end of each month."""
    return [float(month[what]["expected"]) for month in answer["months"]]


@pytest.fixture
def fleet(client: ApiClient) -> ApiClient:
    """A client whose shop has 120 skis."""
    fill(client.handle, 120)
    return client


def test_it_goes_month_by_month(fleet: ApiClient) -> None:
    answer = outlook(fleet)
    months = [month["month"] for month in answer["months"]]
    assert (len(months), months[0], months[-1]) == (36, "2025-01", "2027-12")
    assert answer["as_of"] == "2025-01-31"
    assert (answer["quantity"], answer["least_mm"], answer["confidence"]) == (
        "edge_height",
        "0.800",
        "0.90",
    )
    assert answer["policy"] == {"removal_factor": "1.00", "services_factor": "1.00"}
    assert not any("spared" in month for month in answer["months"])


def test_the_number_grows_between_its_limits_and_rests_in_summer(fleet: ApiClient) -> None:
    answer = outlook(fleet, "months=24")
    numbers = expected(answer)
    assert numbers == sorted(numbers)
    assert numbers[-1] > numbers[0]
    for month in answer["months"]:
        below = month["below"]
        assert 0 <= below["low"] <= float(below["expected"]) + 0.1
        assert float(below["expected"]) - 0.1 <= below["high"] <= answer["skis"]
    by_month = dict(zip([month["month"] for month in answer["months"]], numbers, strict=True))
    assert by_month["2025-05"] == by_month["2025-08"]


def test_every_ski_is_counted_and_none_is_guessed(fleet: ApiClient) -> None:
    answer = outlook(fleet)
    own = Wear._default_manager.filter(in_fleet=True)
    assert answer["skis"] + answer["unknown"] == own.count()
    assert answer["unknown"] == own.filter(level_um=None).count() > 0


@pytest.mark.parametrize("policy", ["removal_factor=0.7", "services_factor=0.5"])
def test_grinding_less_spares_skis(fleet: ApiClient, policy: str) -> None:
    now, planned = outlook(fleet), outlook(fleet, policy)
    assert all(less <= more for less, more in zip(expected(planned), expected(now), strict=True))
    spared = expected(planned, "spared")
    assert spared == sorted(spared)
    assert spared[-1] == pytest.approx(expected(now)[-1] - expected(planned)[-1], abs=0.11)
    assert spared[-1] > 1
    name = policy.partition("=")[0]
    assert planned["policy"][name] in {"0.70", "0.50"}


def test_what_it_rests_on(fleet: ApiClient) -> None:
    answer = outlook(fleet)
    rate, use = answer["rate"], answer["use"]
    assert rate["basis"] == rate["scatter_basis"] == "readings"
    assert float(rate["low_mm"]) < float(rate["mean_mm"]) < float(rate["high_mm"])
    assert rate["skis"] == answer["skis"]
    assert 0 < float(rate["own_weight"]) < 1
    assert rate["method"] == METHOD
    assert use["basis"] == "readings"
    assert float(use["services_a_season"]) > 0
    assert (use["season_first"], use["season_last"]) == ("12-01", "04-15")
    assert fleet.get(answer["skis_at"]).status == 200


def test_a_shop_s_own_forecast(fleet: ApiClient) -> None:
    often = outlook(fleet, "days_a_season=60&days_a_service=10")
    seldom = outlook(fleet, "days_a_season=20&days_a_service=10.0")
    assert often["use"]["basis"] == seldom["use"]["basis"] == "stated"
    assert (often["use"]["services_a_season"], seldom["use"]["services_a_season"]) == (
        "6.00",
        "2.00",
    )
    assert expected(often)[-1] > expected(seldom)[-1]


def test_the_shop_s_least_counts(fleet: ApiClient) -> None:
    before = outlook(fleet)
    # The rows have no records to fold anew, so the practice is put beside them.
    own = Shop._default_manager.filter(handle=fleet.handle)
    own.update(practice='{"least_edge_height_mm":"1.200"}')
    after = outlook(fleet)
    assert after["least_mm"] == "1.200"
    assert expected(after)[0] > expected(before)[0]


def test_an_empty_fleet(client: ApiClient) -> None:
    answer = outlook(client, "months=2")
    assert (answer["skis"], answer["unknown"]) == (0, 0)
    assert expected(answer) == [0.0, 0.0]
    assert answer["rate"]["basis"] == "practice"
    assert "services_a_season" not in answer["use"]


def test_a_fleet_that_nobody_measured(client: ApiClient, ski: str) -> None:
    answer = outlook(client, "quantity=base_thickness")
    assert (answer["skis"], answer["unknown"], answer["least_mm"]) == (0, 1, "0.600")
    assert answer["use"]["basis"] == "unknown"
    assert "own_weight" not in answer["rate"]


@pytest.mark.parametrize("count", [6, 90])
def test_it_costs_the_same_whatever_the_fleet(
    client: ApiClient, count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    fill(client.handle, count)
    with django_assert_num_queries(OUTLOOK_QUERIES):
        assert outlook(client, "removal_factor=0.8")["skis"] > 0


@pytest.mark.parametrize(
    ("query", "parameter"),
    [
        ("removal_factor=-0.1", "removal_factor"),
        ("removal_factor=5.01", "removal_factor"),
        ("services_factor=less", "services_factor"),
        ("services_factor=0.333", "services_factor"),
        ("services_factor=inf", "services_factor"),
        ("quantity=length", "quantity"),
        ("months=0", "months"),
        ("months=121", "months"),
        ("days_a_season=0", "days_a_season"),
        ("days_a_service=401", "days_a_service"),
        ("as_of=soon", "as_of"),
        ("policy=gentle", "policy"),
        ("format=csv", "format"),
    ],
)
def test_a_bad_parameter_is_named(query: str, parameter: str, client: ApiClient) -> None:
    answer = client.get(f"fleet/outlook?{query}")
    assert (answer.status, answer.slug) == (400, "invalid-parameters")
    assert answer.pointers == [parameter]


GRIND: dict[str, Any] = {
    "steps": [{"operation": "stone_grind"}],
    "measurements": [
        {"quantity": "edge_height_mm", "edge": "left", "value": value, "moment": moment}
        for value, moment in (("1.800", "before"), ("1.740", "after"))
    ],
}


def test_rates_of_operations_with_what_they_rest_on(client: ApiClient, ski: str) -> None:
    jobs = [write(client, "jobs", draft("job") | {"body": GRIND}).json["id"] for _ in range(3)]
    answer = client.get("fleet/rates").json
    (rate,) = answer["operations"]
    assert (rate["operation"], rate["quantity"], rate["pairs"]) == ("stone_grind", "edge_height", 3)
    assert (rate["mean_mm"], rate["spread_mm"], rate["basis"]) == ("0.060", "0.000", "readings")
    assert float(rate["low_mm"]) < 0.06 < float(rate["high_mm"])
    assert sorted(rate["rests_on"]) == sorted(jobs)
    assert "Student" in rate["method"]
    assert [one["quantity"] for one in answer["services"]] == [
        "edge_height",
        "edge_width",
        "base_thickness",
    ]


def test_too_few_pairs_fall_back_to_practice_and_say_so(client: ApiClient, ski: str) -> None:
    write(client, "jobs", draft("job") | {"body": GRIND})
    (rate,) = client.get("fleet/rates").json["operations"]
    assert (rate["pairs"], rate["basis"], rate["mean_mm"]) == (1, "practice", "0.060")
    assert rate["method"] == "the shop's practice"
    assert "spread_mm" not in rate


def test_rates_cost_the_same_whatever_the_fleet(
    client: ApiClient, ski: str, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    write(client, "jobs", draft("job") | {"body": GRIND})
    before = client.get("fleet/rates").json
    fill(client.handle, 60)
    # The key, three quantities, the visits and their records, and the practice for each of three.
    with django_assert_num_queries(9):
        after = client.get("fleet/rates").json
    assert after["operations"] == before["operations"]
    assert after["services"][0]["basis"] == "readings"


def test_another_shop_sees_none_of_it(fleet: ApiClient, other: ApiClient) -> None:
    assert outlook(other, "months=1")["skis"] == 0
    assert other.get("fleet/rates").json["operations"] == []

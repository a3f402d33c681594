"""The wear of one ski over HTTP: its rate, the services left, the last day, and what is unknown."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from apps.registry import actions
from apps.registry.actors import OPERATOR
from apps.registry.fleet_outlook import wear_columns
from apps.registry.models import LookUp
from apps.tuning.practice import Practice
from apps.tuning.wear_rates import fleet_rate
from service_registry.benchmark.synthetic import fill
from tests.api.client import ApiClient
from tests.api.making import draft, register, write

TAG = "FB-0042"
FORECAST = "days_a_season=60&days_a_service=10"
# The key, the tag, its links, the ski's records, the shop's practice, and the columns of its fleet.
QUERIES = 6
EDGES = [
    ("edge_height", "left"),
    ("edge_height", "right"),
    ("edge_width", "left"),
    ("edge_width", "right"),
    ("base_thickness", None),
]


def grind(client: ApiClient, day: str, left_mm: float | None, tag: str = TAG, **more: Any) -> str:
    """Grind a ski and read the height of its left edge afterwards; gives the job's id."""
    reading = {"quantity": "edge_height_mm", "edge": "left", "uncertainty": 0.02, **more}
    body: dict[str, Any] = {"steps": [{"operation": "stone_grind"}]}
    if left_mm is not None:
        body["measurements"] = [{**reading, "value": round(left_mm, 3), "moment": "after"}]
    document = {**draft("job", tag=tag), "performed_at": day, "body": body}
    document["ski"]["shop"] = client.handle
    return str(write(client, "jobs", document).json["id"])


def used(client: ApiClient, day: str, days: int, tag: str = TAG) -> str:
    """Report use; gives the record's id."""
    document = {**draft("usage", tag=tag), "performed_at": day, "body": {"days": days}}
    return str(write(client, "usage", document).json["id"])


def told(client: ApiClient, ski: str, query: str = "") -> dict[str, Any]:
    """The whole answer."""
    answer = client.get(f"{ski}/wear?{query}" if query else f"{ski}/wear")
    assert answer.status == 200, answer.content
    document: dict[str, Any] = answer.json
    return document


def of(answer: dict[str, Any], quantity: str = "edge_height", edge: str = "left") -> dict[str, Any]:
    """The wear of one edge."""
    entry: dict[str, Any] = next(
        one for one in answer["wear"] if (one["quantity"], one.get("edge")) == (quantity, edge)
    )
    return entry


def service_takes(client: ApiClient, usual_mm: str) -> None:
    """Make a grind the shop's service, and say what it takes off the edge height."""
    takes = {"low_mm": usual_mm, "usual_mm": usual_mm, "high_mm": usual_mm}
    settings = {
        "service_operations": ["stone_grind"],
        "removals": {"stone_grind": {"edge_height": takes}},
    }
    actions.set_practice(shop=client.handle, settings=settings, by=OPERATOR)


def day_in_season(start: date, count: int) -> date:
    """The day on which so many days from 1 December to 15 April have gone by after another."""
    day = start
    while count:
        day += timedelta(days=1)
        count -= (day.month, day.day) >= (12, 1) or (day.month, day.day) <= (4, 15)
    return day


def test_what_nobody_measured_is_unknown_and_says_what_to_measure(
    client: ApiClient, ski: str
) -> None:
    answer = told(client, ski)
    assert [(one["quantity"], one.get("edge")) for one in answer["wear"]] == EDGES
    assert answer["in_fleet"] is True
    for one in answer["wear"]:
        assert one["services_left"] == one["exhausted_on"] == {"outcome": "unknown"}
        assert not {"level_mm", "level_at", "services_since"} & set(one)
        assert one["rate"]["basis"] == "practice"
        assert (one["rate"]["own_weight"], one["rate"]["readings"]) == ("0.00", 0)
        assert one["rests_on"] == []
    left = of(answer)["measure"][0]
    assert left.startswith("Nobody measured the edge height of the left edge. Measure it")
    assert client.get(answer["fleet_rates"]).status == 200


def test_services_left_by_the_published_sum(client: ApiClient, ski: str) -> None:
    # novinky.cz (2023-11): 1.0 mm of edge at 0.066 mm a service are 15 services.
    service_takes(client, "0.066")
    record = grind(client, "2025-01-31", 1.8)
    left = of(told(client, ski))
    assert (left["level_mm"], left["least_mm"]) == ("1.800", "0.800")
    assert left["rate"]["value_mm"] == "0.066"
    assert left["services_left"]["value"] == 15
    assert left["services_left"]["low"] <= 15 <= left["services_left"]["high"]
    assert left["rests_on"] == [record]
    assert left["confidence"] == "0.90"
    assert left["measure"][0].startswith("No service lies between two readings of the edge height")


def test_what_was_ground_since_the_last_reading_counts(client: ApiClient, ski: str) -> None:
    service_takes(client, "0.066")
    first = grind(client, "2025-01-31", 1.8)
    second = grind(client, "2025-02-10", None)
    left = of(told(client, ski))
    assert (left["level_mm"], left["services_since"]) == ("1.800", 1)
    # The same sum: one of the fifteen is done.
    assert left["services_left"]["value"] == 14
    assert left["rests_on"] == [first, second]


def test_the_last_day_by_the_shop_s_forecast(client: ApiClient, ski: str) -> None:
    service_takes(client, "0.066")
    grind(client, "2025-01-31", 1.8)
    assert of(told(client, ski))["exhausted_on"] == {"outcome": "unknown"}
    answer = told(client, ski, FORECAST)
    left = of(answer)
    assert left["pace"]["basis"] == "stated"
    assert left["pace"]["services_a_season"] == "6.00"
    # By hand: 1.0 / 0.066 services and half of one, since the last is done when it is due; six in
    # a season of 136 days are 2.6086 seasons, so the 355th day in season from now.
    last = left["exhausted_on"]
    assert last["value"] == day_in_season(date.fromisoformat(answer["as_of"]), 355).isoformat()
    assert answer["as_of"] < last["low"] < last["value"] < last["high"]
    often = of(told(client, ski, "days_a_season=90&days_a_service=10"))["exhausted_on"]
    assert often["value"] < last["value"]


def test_an_edge_below_the_least_is_worn_out_today(client: ApiClient, ski: str) -> None:
    grind(client, "2025-01-31", 0.7)
    answer = told(client, ski, FORECAST)
    left = of(answer)
    assert left["services_left"] == {"outcome": "known", "value": 0, "low": 0, "high": 0}
    assert left["exhausted_on"]["value"] == answer["as_of"]


def test_steel_that_never_wears_has_no_end_in_sight(client: ApiClient, ski: str) -> None:
    service_takes(client, "0.000")
    grind(client, "2025-01-31", 1.8)
    left = of(told(client, ski, FORECAST))
    assert left["services_left"]["outcome"] == "no-end-in-sight"
    assert left["exhausted_on"]["outcome"] == "no-end-in-sight"
    assert not {"value", "high"} & (set(left["services_left"]) | set(left["exhausted_on"]))


def test_its_own_readings_are_drawn_to_the_fleet(client: ApiClient, ski: str) -> None:
    fill(client.handle, 120)
    days, levels = ("2024-12-01", "2024-12-20", "2025-01-10"), (1.8, 1.72, 1.64)
    jobs = [grind(client, day, level) for day, level in zip(days, levels, strict=True)]
    left = of(told(client, ski))
    rate, fleet = left["rate"], client.get("fleet/rates").json["services"][0]
    assert (rate["own_mm"], rate["readings"], rate["services"]) == ("0.080", 3, 2)
    assert rate["line"]["rate_mm"] == "0.080"
    # Shrinkage by hand, from the fleet's t and s: b of its own and 1 - b of the fleet's, where
    # b = t**2 / (t**2 + v), and v by JCGM 100:2008, 5.1.2, with readings good to 0.01 mm (k = 1).
    known = fleet_rate(wear_columns(client.handle, "edge_height"), "edge_height", Practice())
    t2 = known.centre.between_variance
    b = t2 / (t2 + known.scatter_mm2 / 2 + 2 * 0.01**2 / 2**2)
    assert float(rate["own_weight"]) == pytest.approx(b, abs=0.006)
    drawn = b * 0.08 + (1 - b) * float(fleet["mean_mm"])
    assert float(rate["value_mm"]) == pytest.approx(drawn, abs=0.0011)
    assert float(rate["low_mm"]) < float(rate["value_mm"]) < float(rate["high_mm"])
    assert left["sentence"].endswith(fleet["sentence"])
    assert left["rests_on"] == jobs
    assert (left["measure"], left["pace"]["basis"]) == ([], "readings")


def test_a_ski_read_often_stands_by_itself(client: ApiClient, ski: str) -> None:
    fill(client.handle, 60)
    weights = []
    for number in range(12):
        grind(client, f"2024-{number + 1:02}-01", 1.9 - 0.08 * number)
        weights.append(float(of(told(client, ski))["rate"]["own_weight"]))
    assert weights == sorted(weights)
    assert weights[0] == 0.0
    assert weights[-1] > weights[2] > 0.0


def test_each_edge_by_itself(client: ApiClient, ski: str) -> None:
    grind(client, "2025-01-10", 1.8)
    right = grind(client, "2025-01-31", 1.5, edge="right", station="waist")
    answer = told(client, ski)
    assert of(answer)["level_at"] == {"edge": "left"}
    assert of(answer, edge="right")["level_at"] == {"edge": "right", "station": "waist"}
    # Nobody did a service of it after that reading, so it alone tells of the right edge's level.
    assert right in of(answer, edge="right")["rests_on"]
    assert of(answer)["services_since"] == 1
    assert of(answer, edge="right")["services_since"] == 0


def test_a_new_edge_starts_anew(client: ApiClient, ski: str) -> None:
    grind(client, "2025-01-10", 1.2)
    replaced = {"steps": [{"operation": "replace_edge", "edge": "left"}]}
    document = {**draft("job"), "performed_at": "2025-01-31", "body": replaced}
    write(client, "jobs", document)
    left = of(told(client, ski))
    assert left["services_left"] == {"outcome": "unknown"}
    assert "since the edge was replaced on 2025-01-31" in left["measure"][0]


def test_a_retracted_reading_counts_no_more(client: ApiClient, ski: str) -> None:
    record = grind(client, "2025-01-31", 1.8)
    write(client, f"records/{record}/retraction", {"body": {"reason": "entered_by_mistake"}})
    assert "level_mm" not in of(told(client, ski))


def with_use(client: ApiClient, tag: str) -> list[str]:
    """Give a ski two winters of use with a service at each end; gives the records of the first."""
    first = [
        grind(client, "2023-12-05", 1.8, tag),
        used(client, "2024-01-10", 10, tag),
        grind(client, "2024-01-10", None, tag),
    ]
    used(client, "2025-01-10", 4, tag)
    return first


def test_use_on_record_says_when_and_an_own_ski_counts_once(client: ApiClient, ski: str) -> None:
    register(client, "FB-0043")
    records = with_use(client, TAG)
    with_use(client, "FB-0043")
    # Three skis are needed: this one counts once, as itself and not as its stored row too.
    left = of(told(client, ski))
    assert (left["pace"]["basis"], left["exhausted_on"]) == ("unknown", {"outcome": "unknown"})
    assert left["measure"][-1] == left["pace"]["sentence"]
    register(client, "FB-0044")
    with_use(client, "FB-0044")
    left = of(told(client, ski))
    # Derived: all three were out ten days a season and ten days a service.
    assert (left["pace"]["basis"], left["pace"]["services_a_season"]) == ("readings", "1.00")
    assert left["exhausted_on"]["outcome"] == "known"
    assert set(records) < set(left["pace"]["rests_on"])


def test_another_shop_asks_by_its_own_practice_and_fleet(
    client: ApiClient, other: ApiClient, ski: str
) -> None:
    fill(client.handle, 60)
    grind(client, "2025-01-10", 1.84)
    grind(client, "2025-01-31", 1.8)
    settings = {"least_edge_height_mm": "1.000"}
    actions.set_practice(shop=other.handle, settings=settings, by=OPERATOR)
    answer = told(other, ski)
    theirs, ours = of(answer), of(told(client, ski))
    assert (answer["in_fleet"], theirs["least_mm"]) == (False, "1.000")
    assert (theirs["rate"]["basis"], ours["rate"]["basis"]) == ("practice", "readings")
    # Its own readings count for the ski, but teach nothing of the asking shop's fleet.
    assert theirs["rate"]["own_mm"] == "0.040"
    fleet = other.get("fleet/rates").json["services"][0]
    assert (fleet["skis"], theirs["sentence"].endswith(fleet["sentence"])) == (0, True)
    looked = LookUp._default_manager.filter(shop=other.handle).values_list("tag_key", flat=True)
    assert list(looked) == [f"{client.handle}/{TAG}"]


def test_a_retired_ski_is_told_but_counts_in_no_fleet(client: ApiClient, ski: str) -> None:
    grind(client, "2025-01-31", 1.8)
    write(client, "statuses", draft("status"))
    answer = told(client, ski)
    assert answer["in_fleet"] is False
    left = of(answer)["services_left"]
    # One reading and practice can't exclude that a service takes nothing: no upper limit.
    assert (left["outcome"], "high" in left) == ("known", False)


@pytest.mark.parametrize("skis", [0, 90])
def test_it_costs_the_same_whatever_the_history_and_the_fleet(
    client: ApiClient, ski: str, skis: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    fill(client.handle, skis)
    for count in (1, 15):
        for number in range(count):
            grind(client, f"2025-01-{number + 1:02}", 1.8 - 0.01 * number)
        with django_assert_num_queries(QUERIES):
            assert client.get(f"{ski}/wear").status == 200


@pytest.mark.parametrize(
    ("query", "parameter"),
    [
        ("as_of=2025-01-01", "as_of"),
        ("quantity=edge_height", "quantity"),
        ("days_a_season=0", "days_a_season"),
        ("days_a_service=often", "days_a_service"),
    ],
)
def test_a_bad_parameter_is_named(client: ApiClient, ski: str, query: str, parameter: str) -> None:
    answer = client.get(f"{ski}/wear?{query}")
    assert (answer.status, answer.slug, answer.pointers) == (
        400,
        "invalid-parameters",
        [parameter],
    )


def test_an_unknown_ski_and_no_key(client: ApiClient, nobody: ApiClient, ski: str) -> None:
    assert client.get("skis/fellbench/NO-SKI/wear").slug == "unknown-ski"
    assert nobody.get(f"{ski}/wear").status == 401


def test_the_ski_leads_to_it(client: ApiClient, reader: ApiClient, ski: str) -> None:
    links = client.get(ski).json["links"]
    assert (links["wear"], links["pair"]) == (f"{ski}/wear", f"{ski}/pair")
    assert reader.get(links["wear"]).status == 200
    assert reader.get(links["like"]).status == 200
    assert reader.get(links["pair"]).slug == "no-pair"

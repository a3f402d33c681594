"""The condition of a ski over HTTP: what is set and left, what is unknown, as of a day."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from apps.registry import actions
from apps.registry.actors import OPERATOR
from tests.api.client import ApiClient
from tests.api.making import draft, write

SERVICE: dict[str, Any] = {
    "findings": [{"what": "gouge", "severity": "moderate", "state": "open", "depth_mm": 0.3}],
    "steps": [{"operation": "stone_grind"}, {"operation": "side_bevel"}],
    "measurements": [
        {"quantity": "edge_height_mm", "edge": "left", "value": 1.785, "uncertainty": 0.02},
        {"quantity": "edge_height_mm", "edge": "right", "value": 1.8, "uncertainty": 0.02},
    ],
    "bevel_settings": [{"edge": "both", "base_bevel_deg": 0.5, "side_angle_deg": 88}],
}


def service(client: ApiClient, **members: Any) -> str:
    """Write a job with readings and bevels; gives its id."""
    return str(write(client, "jobs", draft("job", body=SERVICE, **members)).json["id"])


def condition(client: ApiClient, ski: str, query: str = "") -> dict[str, Any]:
    """The condition."""
    answer = client.get(f"{ski}/condition{query}")
    assert answer.status == 200, answer.content
    document: dict[str, Any] = answer.json
    return document


def left(found: dict[str, Any], edge: str) -> dict[str, Any]:
    """The edge height left on an edge."""
    known = found["material"]["known"]
    return next(one for one in known if (one["quantity"], one["edge"]) == ("edge_height", edge))


def test_what_was_set_stands_and_says_by_which_record(client: ApiClient, ski: str) -> None:
    job = service(client)
    for edge in condition(client, ski)["bevels"]:
        base, side = edge["base"][0], edge["side"][0]
        assert (base["standing"], base["stated"]["bevel_deg"]) == ("stands", "0.50")
        assert (side["standing"], side["stated"]["bevel_deg"]) == ("stands", "2.00")
        assert (base["rests_on"], side["stated"]["record"]) == ([job], job)


def test_what_is_left_has_limits_method_and_records(client: ApiClient, ski: str) -> None:
    job = service(client)
    height = left(condition(client, ski), "left")
    assert height["left"]["value_mm"] == "1.785"
    assert (height["left"]["low_mm"], height["left"]["high_mm"]) == ("1.765", "1.805")
    assert height["left"]["expanded_uncertainty_mm"] == "0.020"
    assert height["left"]["rests_on"] == [job]
    assert height["left"]["method"]
    assert height["left"]["basis"] == "readings"
    assert height["least_mm"] == "0.800"
    assert height["reserve"]["value_mm"] == "0.985"


def test_what_nobody_measured_is_absent_with_the_reason(client: ApiClient, ski: str) -> None:
    service(client)
    unknown = condition(client, ski)["material"]["unknown"]
    named = {(one["quantity"], one.get("edge")) for one in unknown}
    assert named == {("edge_width", "left"), ("edge_width", "right"), ("base_thickness", None)}
    assert all(one["sentence"] for one in unknown)


def test_an_open_finding_is_named_as_a_plan_names_it(client: ApiClient, ski: str) -> None:
    job = service(client)
    (found,) = condition(client, ski)["open_findings"]
    assert found["finding"]["key"] == {"record": job, "index": 0}
    assert found["finding"]["depth_mm"] == "0.300"
    assert found["author"] == client.handle


def test_as_of_a_day(client: ApiClient, ski: str) -> None:
    service(client, performed_at="2025-02-10")
    before = condition(client, ski, "?as_of=2025-02-09")
    assert (before["as_of"], before["counts"]["jobs"]) == ("2025-02-09", 0)
    assert before["material"]["known"] == []
    on_the_day = condition(client, ski, "?as_of=2025-02-10")
    assert (on_the_day["counts"]["jobs"], on_the_day["use"]["days_since_job"]) == (1, 0)


def test_an_empty_history_says_so(client: ApiClient, ski: str) -> None:
    found = condition(client, ski)
    assert {bevel["standing"] for edge in found["bevels"] for bevel in edge["base"]} == {
        "never_stated"
    }
    assert "status" not in found
    assert "total_days" not in found["use"]


def test_a_retracted_job_counts_no_more(client: ApiClient, ski: str) -> None:
    job = service(client)
    write(client, f"records/{job}/retraction", {"body": {"reason": "wrong_ski"}})
    assert condition(client, ski)["counts"]["jobs"] == 0


def test_the_practice_is_that_of_the_shop_that_asks(
    client: ApiClient, other: ApiClient, ski: str
) -> None:
    service(client)
    settings = {"least_edge_height_mm": "1.000"}
    actions.set_practice(shop=other.handle, settings=settings, by=OPERATOR)
    assert left(condition(client, ski), "left")["least_mm"] == "0.800"
    assert left(condition(other, ski), "left")["least_mm"] == "1.000"


def test_it_costs_the_same_whatever_the_history(
    client: ApiClient, ski: str, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    # The key, the tag, the records, and four for the practice and rates of the shop that asks.
    queries = 8
    for count in (3, 57):
        for _ in range(count):
            service(client)
        with django_assert_num_queries(queries):
            assert client.get(f"{ski}/condition").status == 200


def test_a_day_that_can_t_be_read(client: ApiClient, ski: str) -> None:
    answer = client.get(f"{ski}/condition?as_of=2025-02-30")
    assert (answer.status, answer.pointers) == (400, ["as_of"])


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "Etc/GMT+12"])
def test_now_is_the_day_of_the_nodes_calendar(zone: str, client: ApiClient, ski: str) -> None:
    # At any moment it is another day than by UTC in one of the two zones (tz database).
    with timezone.override(ZoneInfo(zone)):
        before = timezone.localdate()
        found = condition(client, ski)["as_of"]
        assert found in {str(before), str(timezone.localdate())}
        pace = client.get("fleet").json["as_of"]
        assert pace in {str(before), str(timezone.localdate())}


MEASURED = {"quantity": "edge_height_mm", "edge": "left", "value": "1.2", "uncertainty": "0.02"}


@pytest.mark.parametrize("place", [None, {"position_mm": 600, "length_mm": 300}])
def test_an_edge_that_was_replaced_after_its_reading(
    place: dict[str, int] | None, client: ApiClient, ski: str
) -> None:
    reading = write(client, "jobs", draft("job", body={"measurements": [MEASURED]})).json["id"]
    before = left(condition(client, ski), "left")
    assert before["left"]["rests_on"] == [reading]
    step = {"operation": "replace_edge", "edge": "left", **({"place": place} if place else {})}
    later = draft("job", body={"steps": [step]}, performed_at="2025-02-03")
    write(client, "jobs", later)
    found = condition(client, ski)["material"]
    known = [(one["quantity"], one.get("edge")) for one in found["known"]]
    if place:
        # A stretch by itself leaves the rest of the edge as it was read.
        assert known == [("edge_height", "left")]
    else:
        assert known == []
        assert ("edge_height", "left") in {
            (one["quantity"], one.get("edge")) for one in found["unknown"]
        }
    assert client.post(f"{ski}/plan", {}).status == 200
    assert [client.get(one).status for one in (f"{ski}/wear", "fleet")] == [200, 200]

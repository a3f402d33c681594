"""The two skis of a pair over HTTP: which two, how far apart, and what brings them together."""

from __future__ import annotations

from typing import Any

from pytest_django import DjangoAssertNumQueries

from apps.registry import actions
from apps.registry.actors import OPERATOR
from apps.registry.models import LookUp
from tests.api.client import ApiClient
from tests.api.making import draft, register, write

FIRST, SECOND = "FB-0042", "FB-0043"


def job(side_bevel_deg: float, edge_height_mm: float) -> dict[str, Any]:
    """A job that leaves both edges alike."""
    gauge = {"uncertainty": 0.02, "instrument": "depth gauge"}
    width = {"quantity": "edge_width_mm", "value": 2.0, "uncertainty": 0.02}
    height = {"quantity": "edge_height_mm", "value": edge_height_mm, **gauge}
    return {
        "steps": [{"operation": "side_bevel"}],
        "measurements": [
            {**one, "edge": edge} for edge in ("left", "right") for one in (height, width)
        ],
        "bevel_settings": [
            {
                "edge": "both",
                "base_bevel_deg": 0.5,
                "side_bevel_deg": side_bevel_deg,
                "uncertainty_deg": 0.1,
            }
        ],
    }


def serviced(client: ApiClient, tag: str, side_bevel_deg: float, edge_height_mm: float) -> str:
    """Write a job on a ski; gives its id."""
    body = job(side_bevel_deg, edge_height_mm)
    return str(write(client, "jobs", draft("job", tag=tag, body=body)).json["id"])


def paired(client: ApiClient, tag: str, other: str, shop: str = "fellbench", **members: Any) -> str:
    """Write a pair record of the own shop; gives its id."""
    body = {"other_ski": {"shop": shop, "tag": other}}
    document = {**draft("pair", tag=tag, **members), "body": body}
    document["ski"]["shop"] = client.handle
    return str(write(client, "pairs", document).json["id"])


def pair(client: ApiClient, ski: str) -> dict[str, Any]:
    """The answer."""
    answer = client.get(f"{ski}/pair")
    assert answer.status == 200, answer.content
    document: dict[str, Any] = answer.json
    return document


def difference(found: dict[str, Any], quantity: str) -> dict[str, Any]:
    """What was compared, of the left edge where there are two."""
    one: dict[str, Any] = next(o for o in found["differences"] if o["quantity"] == quantity)
    return one


def test_a_pair_that_drifted_apart_and_what_brings_it_together(client: ApiClient, ski: str) -> None:
    register(client, SECOND)
    jobs = [serviced(client, FIRST, 2.0, 1.7), serviced(client, SECOND, 4.0, 1.5)]
    record = paired(client, FIRST, SECOND)
    found = pair(client, ski)
    assert found["pair"]["record"] == record
    assert found["pair"]["ski"] == {"shop": client.handle, "tag": SECOND}
    assert (found["outcome"], found["other_pairs"]) == ("apart", [])
    side = difference(found, "side_bevel")
    assert (side["outcome"], side["difference"], side["unit"]) == ("apart", "-2.000", "deg")
    assert side["rests_on"] == jobs
    assert f"of {SECOND} is 2 deg greater" in side["sentence"]
    assert difference(found, "base_bevel")["outcome"] == "together"
    # GUM 5.2.2, derived: one named gauge, so 0.02 and not 0.02 times the root of two.
    height = difference(found, "edge_height")
    assert (height["difference"], height["expanded_uncertainty"]) == ("0.200", "0.020")
    # Geometry: closing 4 to 2 would move the corner in, so the first is brought to 4.
    tune = found["tune"]
    assert tune["targets"]["left"] == {"side_bevel_deg": "4.00"}
    assert (tune["second"]["operations"], tune["first"]["verdict"]["outcome"]) == ([], "feasible")
    assert "side_bevel" in tune["first"]["operations"]
    assert tune["cost"]["steel_usual_mm"] == "0.060"
    assert found["remarks"][0].startswith("Steel and base that are gone")


def test_it_is_told_from_the_other_ski_too(client: ApiClient, ski: str) -> None:
    other = register(client, SECOND)
    record = paired(client, FIRST, SECOND)
    found = pair(client, other)
    assert found["pair"] == {
        **pair(client, ski)["pair"],
        "ski": {"shop": client.handle, "tag": FIRST},
    }
    assert found["pair"]["record"] == record


def test_the_latest_record_counts_and_the_others_are_listed(client: ApiClient, ski: str) -> None:
    for tag in (SECOND, "FB-0044"):
        register(client, tag)
    first = paired(client, FIRST, "FB-0044", performed_at="2025-01-01")
    latest = paired(client, FIRST, SECOND, performed_at="2025-02-01")
    found = pair(client, ski)
    assert found["pair"]["record"] == latest
    assert [(one["record"], one["ski"]["tag"]) for one in found["other_pairs"]] == [
        (first, "FB-0044")
    ]
    write(client, f"records/{latest}/retraction", {"body": {"reason": "entered_by_mistake"}})
    assert pair(client, ski)["pair"]["record"] == first


def test_without_a_pair_record(client: ApiClient, ski: str) -> None:
    answer = client.get(f"{ski}/pair")
    assert (answer.status, answer.slug) == (404, "no-pair")
    assert FIRST in answer.json["detail"]
    record = paired(client, FIRST, register(client, SECOND).rpartition("/")[2])
    write(client, f"records/{record}/retraction", {"body": {"reason": "entered_by_mistake"}})
    assert client.get(f"{ski}/pair").slug == "no-pair"


def test_a_shop_can_not_pair_a_foreign_ski_with_its_own(
    client: ApiClient, other: ApiClient, ski: str
) -> None:
    register(other, "TE-0001")
    paired(other, "TE-0001", FIRST)
    assert client.get(f"{ski}/pair").slug == "no-pair"


def test_the_other_ski_may_be_unknown_here(client: ApiClient, ski: str) -> None:
    paired(client, FIRST, "NO-SUCH", shop="elsewhere@far.example")
    answer = client.get(f"{ski}/pair")
    assert (answer.status, answer.slug) == (404, "unknown-ski")
    assert "NO-SUCH" in answer.json["detail"]


def test_a_tag_of_this_node_that_is_on_no_ski_is_refused(client: ApiClient, ski: str) -> None:
    body = {"other_ski": {"shop": "fellbench", "tag": "NOPE"}}
    answer = client.post("pairs", draft("pair", body=body))
    assert (answer.status, answer.slug) == (422, "unknown-reference")
    assert answer.pointers == ["/body/other_ski"]
    assert client.get(ski).json["pairs"] == []


def test_a_look_at_a_foreign_pair_is_noted_for_both(
    client: ApiClient, other: ApiClient, ski: str
) -> None:
    register(client, SECOND)
    paired(client, FIRST, SECOND)
    pair(other, ski)
    looked = LookUp._default_manager.filter(shop=other.handle).values_list("tag_key", flat=True)
    assert sorted(looked) == [f"{client.handle}/{FIRST}", f"{client.handle}/{SECOND}"]


def test_a_pair_of_two_shops_names_them(client: ApiClient, other: ApiClient, ski: str) -> None:
    register(other, "TE-0001")
    paired(client, FIRST, "TE-0001", shop="tarnedge")
    sentence = difference(pair(client, ski), "base_bevel")["sentence"]
    assert f"TE-0001 of {other.handle}" in sentence


def test_the_tolerances_are_those_of_the_shop_that_asks(
    client: ApiClient, other: ApiClient, ski: str
) -> None:
    register(client, SECOND)
    serviced(client, FIRST, 2.0, 1.7)
    serviced(client, SECOND, 3.0, 1.7)
    paired(client, FIRST, SECOND)
    settings = {"pair_bevel_deg": "2.00", "gauge_shared_share": "0.00"}
    actions.set_practice(shop=other.handle, settings=settings, by=OPERATOR)
    assert difference(pair(client, ski), "side_bevel")["outcome"] == "apart"
    theirs = pair(other, ski)
    assert difference(theirs, "side_bevel")["outcome"] == "together"
    assert difference(theirs, "edge_height")["expanded_uncertainty"] == "0.028"
    assert "tune" not in theirs


def test_radius_length_and_days(client: ApiClient, ski: str) -> None:
    described = {"length_mm": 1650, "declared_radius_m": 14.5}
    other = register(client, SECOND, **described)
    first = register(client, "FB-0050", **{**described, "length_mm": 1700})
    for tag, days in ((SECOND, 20), ("FB-0050", 30)):
        body = {"days": days}
        write(client, "usage", {**draft("usage", tag=tag), "body": body})
    radius = {"quantity": "radius_m", "value": 15.0}
    for tag in (SECOND, "FB-0050"):
        write(client, "measurements", {**draft("measurement", tag=tag), "body": radius})
    paired(client, "FB-0050", SECOND)
    found = pair(client, first)
    assert difference(found, "length")["difference"] == "50.000"
    assert difference(found, "days_in_use")["outcome"] == "apart"
    measured = difference(found, "radius")
    assert measured["first"]["method"] == "measured"
    assert (measured["expanded_uncertainty"], measured["outcome"]) == ("0.424", "together")
    assert pair(client, other)["outcome"] == "apart"


def test_a_declared_radius_is_exact_and_a_measured_one_as_sure_as_it_says(
    client: ApiClient, ski: str
) -> None:
    register(client, SECOND)
    paired(client, FIRST, SECOND)
    declared = difference(pair(client, ski), "radius")
    assert (declared["first"]["method"], declared["expanded_uncertainty"]) == ("declared", "0.000")
    radius = {"quantity": "radius_m", "value": 15.0, "uncertainty": 0.3}
    for tag in (FIRST, SECOND):
        write(client, "measurements", {**draft("measurement", tag=tag), "body": radius})
    assert difference(pair(client, ski), "radius")["expanded_uncertainty"] == "0.424"


def test_it_costs_the_same_whatever_the_history(
    client: ApiClient, ski: str, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    register(client, SECOND)
    paired(client, FIRST, SECOND)
    # The key, two tags, the pairs, the records of both, and four for practice and rates.
    queries = 12
    for count in (1, 20):
        for _ in range(count):
            serviced(client, FIRST, 2.0, 1.7)
            serviced(client, SECOND, 3.0, 1.6)
        with django_assert_num_queries(queries):
            assert client.get(f"{ski}/pair").status == 200


def test_an_unknown_parameter_and_an_unknown_ski(client: ApiClient, ski: str) -> None:
    assert client.get(f"{ski}/pair?as_of=2025-01-01").status == 400
    assert client.get("skis/fellbench/NO-SKI/pair").slug == "unknown-ski"

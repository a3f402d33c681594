"""What a ski is: its description, widths and radius with their method, status and pairs."""

from __future__ import annotations

from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from tests.api.client import ApiClient
from tests.api.making import draft, register, write

WIDTHS = {"shovel_width_mm": 98.5, "waist_width_mm": 62, "tail_width_mm": 84}


def shape(client: ApiClient, ski: str, part: str = "") -> dict[str, Any]:
    """The shape that an answer gives."""
    answer: dict[str, Any] = client.get(ski + part).json["shape"]
    return answer


def radii(client: ApiClient, ski: str) -> dict[str, str]:
    """The radii by method."""
    return {one["method"]: one["radius_m"] for one in shape(client, ski)["radii"]}


def measure(client: ApiClient, **body: Any) -> str:
    """Write a measurement on FB-0042; gives its id."""
    return str(write(client, "measurements", draft("measurement", body=body)).json["id"])


def test_registering_gives_the_ski_and_its_description(client: ApiClient) -> None:
    answer = client.post("skis", {"ski": {"tag": "fb-0042"}, "body": {"length_mm": 1710}})
    assert answer.status == 201
    assert answer.headers["Location"] == "/api/v1/skis/fellbench/FB-0042"
    assert answer.json["record"]["body"] == {"length_mm": 1710}
    assert answer.json["links"]["condition"] == "/api/v1/skis/fellbench/FB-0042/condition"
    ski = client.get(answer.headers["Location"]).json
    assert ski["description"] == {"length_mm": 1710}
    assert ski["described_by"] == {"length_mm": answer.json["id"]}
    assert ski["tags"] == [{"shop": client.handle, "tag": "FB-0042"}]
    assert "status" not in ski


def test_a_tag_alone_is_enough(client: ApiClient) -> None:
    answer = client.post("skis", {"ski": {"tag": "FB-1"}})
    assert (answer.status, answer.json["record"]["body"]) == (201, {})


def test_the_chord_formula_gives_the_turn_radius(client: ApiClient) -> None:
    # 98.5-62-84 with a chord of 1810: 28.0009 m (Lind and Sanders, The Physics of Skiing, form as
    # published; numbers derived).
    ski = register(client, "FB-0042", **WIDTHS, chord_mm=1810, declared_radius_m=27)
    assert radii(client, ski) == {"declared": "27.0", "chord": "28.0", "exact-chord": "28.0"}
    assert shape(client, ski)["waist"]["value_mm"] == "62.0"
    assert shape(client, ski)["unknown"] == []


def test_the_turn_radius_from_measured_widths(client: ApiClient, ski: str) -> None:
    for station, value in (("shovel", 98.5), ("waist", 62), ("tail", 84)):
        measure(client, quantity="width_mm", station=station, value=value)
    chord = measure(client, quantity="chord_mm", value=1810)
    assert radii(client, ski)["chord"] == "28.0"
    found = shape(client, ski)
    assert found["waist"] == {
        "value_mm": "62.0",
        "expanded_uncertainty_mm": "0.1",
        "source": "measured",
        "record": found["waist"]["record"],
    }
    assert chord in next(one["rests_on"] for one in found["radii"] if one["method"] == "chord")


def test_a_row_of_widths_gives_waist_and_radius(client: ApiClient, ski: str) -> None:
    # Half widths on a circle of 20 m around the middle: w = 68 + x^2 / 20 000, x from the waist.
    row = [
        {"position_mm": 900 + x, "width_mm": f"{68 + x * x / 20_000:.1f}"}
        for x in range(-600, 601, 100)
    ]
    measure(client, quantity="width_profile", profile=row)
    found = shape(client, ski)
    assert (found["waist"]["value_mm"], found["waist"]["method"]) == ("68.0", "parabola")
    fitted = next(one for one in found["radii"] if one["method"] == "least-squares")
    assert abs(float(fitted["radius_m"]) - 20) <= 0.1
    assert float(fitted["residual_rms_mm"]) < 0.03


def test_a_ski_without_a_waist_has_no_radius(client: ApiClient) -> None:
    straight = {"shovel_width_mm": 80, "waist_width_mm": 80, "tail_width_mm": 80}
    found = shape(client, register(client, "FB-0042", **straight, chord_mm=1700))
    assert found["radii"] == []
    assert {one["method"] for one in found["unknown"]} == {"chord", "exact-chord"}
    assert "waist" in found["unknown"][0]["sentence"]


def test_what_is_missing_is_named(client: ApiClient) -> None:
    found = shape(client, register(client, "FB-0042", **WIDTHS))
    (unknown,) = found["unknown"]
    assert "chord" in unknown["sentence"]


def test_a_later_description_counts_field_by_field(client: ApiClient, ski: str) -> None:
    body = {"construction": "other", "construction_text": "hollow", "length_mm": 1720}
    later = draft("description", body=body, performed_at="2025-02-01")
    second = write(client, "descriptions", later).json["id"]
    answer = client.get(ski).json
    assert answer["description"]["length_mm"] == 1720
    assert answer["description"]["construction_text"] == "hollow"
    assert answer["description"]["waist_width_mm"] == "68.0"
    assert answer["described_by"]["length_mm"] == second


def test_a_text_goes_with_its_word(client: ApiClient) -> None:
    ski = register(client, "FB-0042", construction="other", construction_text="hollow")
    later = draft("description", body={"construction": "cap"}, performed_at="2025-02-01")
    write(client, "descriptions", later)
    assert client.get(ski).json["description"] == {"construction": "cap"}


def test_the_latest_status_counts(client: ApiClient, ski: str) -> None:
    for day, status in (("2025-03-01", "on_bench"), ("2025-02-01", "in_service")):
        write(client, "statuses", draft("status", performed_at=day, body={"status": status}))
    assert client.get(ski).json["status"]["status"] == "on_bench"


def test_a_pair_names_the_other_ski(client: ApiClient, ski: str) -> None:
    register(client, "FB-0043")
    body = {"other_ski": {"shop": "fellbench", "tag": "FB-0043"}}
    pair = write(client, "pairs", draft("pair", body=body)).json["id"]
    (paired,) = client.get(ski).json["pairs"]
    assert paired["record"] == pair
    assert paired["ski"] == {"shop": client.handle, "tag": "FB-0043"}


def test_a_pair_is_told_from_the_other_ski_too_and_the_latest_counts(
    client: ApiClient, ski: str
) -> None:
    others = {tag: register(client, tag) for tag in ("FB-0043", "FB-0044")}
    for tag, address in others.items():
        body = {"other_ski": {"shop": "fellbench", "tag": tag}}
        pair = write(client, "pairs", draft("pair", body=body)).json["id"]
        assert [one["record"] for one in client.get(address).json["pairs"]] == [pair]
        assert client.get(address).json["pairs"][0]["ski"]["tag"] == "FB-0042"
        assert [one["ski"]["tag"] for one in client.get(ski).json["pairs"]] == [tag]


def test_of_two_statuses_on_one_day_the_later_entered_counts(client: ApiClient, ski: str) -> None:
    for status in ("quarantined", "in_service", "on_bench", "in_service", "quarantined"):
        write(client, "statuses", draft("status", body={"status": status}))
        assert client.get(ski).json["status"]["status"] == status


def test_of_two_descriptions_on_one_day_the_later_entered_counts(
    client: ApiClient, ski: str
) -> None:
    for length in (1700, 1800, 1690, 1710):
        write(client, "descriptions", draft("description", body={"length_mm": length}))
        assert client.get(ski).json["description"]["length_mm"] == length


def test_the_word_of_the_tags_own_shop_counts_and_others_fill_gaps(
    client: ApiClient, other: ApiClient
) -> None:
    ski = register(client, "FB-0042", length_mm=1700)
    foreign = {"length_mm": 1710, "construction": "other", "construction_text": "hollow"}
    late = draft("description", body=foreign, performed_at="2025-02-10")
    second = write(other, "descriptions", late).json["id"]
    answer = client.get(ski).json
    assert answer["description"] == {**foreign, "length_mm": 1700}
    assert answer["described_by"]["construction"] == second
    write(client, "descriptions", draft("description", body={"construction": "cap"}))
    assert client.get(ski).json["description"] == {"length_mm": 1700, "construction": "cap"}


def test_a_ski_costs_the_same_whatever_its_history(
    client: ApiClient, ski: str, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    # The key, the tag, the records, the tags of the ski, and its pairs.
    for count in (3, 57):
        for _ in range(count):
            write(client, "jobs", draft("job"))
        with django_assert_num_queries(5):
            assert client.get(ski).status == 200


@pytest.mark.parametrize("value", [130, 61.9])
def test_a_measured_width_stands_before_a_described_one(
    value: float, client: ApiClient, ski: str
) -> None:
    measure(client, quantity="width_mm", station="waist", value=value)
    assert shape(client, ski)["waist"]["value_mm"] == f"{value:.1f}"


def test_a_width_that_was_not_measured_says_nothing(client: ApiClient, ski: str) -> None:
    measure(client, quantity="width_mm", station="waist", not_measured="no_gauge")
    assert shape(client, ski)["waist"]["source"] == "described"


def test_a_width_at_another_station_is_no_waist(client: ApiClient, ski: str) -> None:
    measure(client, quantity="width_mm", station="forebody", value=80)
    assert shape(client, ski)["waist"]["value_mm"] == "68.0"


def test_a_measured_radius_is_shown_as_such(client: ApiClient, ski: str) -> None:
    measure(client, quantity="radius_m", value=14.2)
    assert radii(client, ski) == {"measured": "14.2", "declared": "14.5"}


def test_a_row_of_two_widths_gives_a_waist_and_says_why_no_radius(
    client: ApiClient, ski: str
) -> None:
    row = [{"position_mm": 0, "width_mm": 100}, {"position_mm": 900, "width_mm": 66}]
    measure(client, quantity="width_profile", profile=row)
    found = shape(client, ski)
    assert (found["waist"]["value_mm"], found["waist"]["method"]) == ("66.0", "plain-minimum")
    assert "least-squares" in {one["method"] for one in found["unknown"]}


@pytest.mark.parametrize("tag", ["FB-0042", 42, None, ["FB-0042"]])
def test_a_ski_is_named_by_an_object(tag: object, client: ApiClient) -> None:
    answer = client.post("skis", {"ski": tag})
    assert (answer.status, answer.slug) == (400, "invalid-fields")
    assert answer.pointers == ["/ski"]

"""Like skis over HTTP: what is shown, what is withheld, and that nobody is named."""

from __future__ import annotations

import json
from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from apps.registry.models import LookUp
from tests.api.client import Answered, ApiClient
from tests.api.making import a_client, draft, register, write

SCREE: dict[str, Any] = {
    "maker_text": "Corvid",
    "model_text": "Scree 84",
    "model_year": 2019,
    "length_mm": 1720,
    "use": "piste",
}
LIKE = "like?model=Scree%2084&maker=Corvid&year=2019&length=1720"
CODES = ("beckside", "cragfoot", "moorhead", "ghyllbank")
POOLS = ("bevels", "widths", "radius", "first_seen", "took_off")


def bench(code: str, base: str, **described: Any) -> ApiClient:
    """A shop with one ski of the model, whose bevels, steel and grind it states."""
    by = a_client(code)
    register(by, "L-1", **{**SCREE, **described})
    job = {
        "steps": [{"operation": "stone_grind", "base_removed_mm": "0.040"}],
        "measurements": [{"quantity": "edge_height_mm", "edge": "left", "value": "1.783"}],
        "bevel_settings": [{"edge": "both", "base_bevel_deg": base, "side_bevel_deg": "2"}],
    }
    write(by, "jobs", draft("job", shop=code, tag="L-1", body=job))
    return by


def benches(*bases: str) -> list[ApiClient]:
    """Shops with one ski of the model each."""
    return [bench(code, base) for code, base in zip(CODES, bases, strict=False)]


def asked(client: ApiClient, path: str = LIKE) -> dict[str, Any]:
    answer = client.get(path)
    assert answer.status == 200, answer.content
    document: dict[str, Any] = answer.json
    return document


def bevel(answer: dict[str, Any], which: str = "base", basis: str = "set") -> dict[str, Any]:
    (found,) = (one for one in answer["bevels"] if (one["bevel"], one["basis"]) == (which, basis))
    return dict(found)


def test_three_other_shops_are_pooled(client: ApiClient) -> None:
    benches("0.5", "0.75", "1")
    answer = asked(client)
    assert answer["outcome"] == "pooled"
    found = bevel(answer)
    assert found["others"] == {
        "median_deg": "0.75",
        "lower_quartile_deg": "0.50",
        "upper_quartile_deg": "1.00",
        "low_deg": "0.50",
        "high_deg": "1.00",
    }
    assert (found["code"], found["shops"], found["skis"]) == ("pooled", 3, 3)
    assert (found["group"], found["least_likeness"]) == ("close", "0.90")
    assert found["method"] == "quartiles, one vote a shop"
    assert "own" not in found


def test_set_measured_and_specified_stay_apart(client: ApiClient) -> None:
    benches("0.5", "0.75", "1")
    answer = asked(client)
    assert bevel(answer, "side")["others"]["median_deg"] == "2.00"
    for basis in ("measured", "specified"):
        assert bevel(answer, "base", basis)["code"] == "fewer-than-three-shops"


def test_steel_when_first_seen_and_what_a_grind_took_off(client: ApiClient) -> None:
    benches("0.5", "0.75", "1")
    answer = asked(client)
    height = answer["first_seen"][0]
    assert (height["quantity"], height["others"]["median_mm"]) == ("edge_height", "1.780")
    assert (height["others"]["low_mm"], height["others"]["high_mm"]) == ("1.700", "1.800")
    (grind,) = answer["took_off"]
    assert (grind["operation"], grind["quantity"]) == ("stone_grind", "base_thickness")
    assert (grind["source"], grind["others"]["median_mm"]) == ("stated", "0.040")


def test_widths_as_described_and_as_measured_stay_apart(client: ApiClient) -> None:
    for code in CODES[:3]:
        bench(code, "0.5", waist_width_mm="84.0", declared_radius_m="15.5")
        body = {"quantity": "width_mm", "station": "waist", "value": "84.6"}
        write(
            a_client(code, new=False),
            "measurements",
            draft("measurement", shop=code, tag="L-1", body=body),
        )
    answer = asked(client)
    waist = {one["source"]: one["others"] for one in answer["widths"] if one["of"] == "waist"}
    assert waist["described"]["median_mm"] == "84.0"
    assert waist["measured"]["median_mm"] == "84.5"
    radius = {one["source"]: one.get("others") for one in answer["radius"]}
    assert radius["measured"] is None
    assert radius["declared"]["median_m"] == "15.5"


@pytest.mark.parametrize("shops", [1, 2])
def test_fewer_than_three_other_shops_say_nothing(client: ApiClient, shops: int) -> None:
    benches(*("0.5", "0.75")[:shops])
    answer = asked(client)
    assert answer["outcome"] == "fewer-than-three-shops"
    assert (answer["groups"], answer["took_off"]) == ([], [])
    for one in (one for name in POOLS for one in answer[name]):
        assert one["code"] == "fewer-than-three-shops"
        assert not {"others", "own", "shops", "skis", "group"} & set(one)
    assert answer["would_help"]


def test_one_and_two_shops_are_answered_alike(client: ApiClient) -> None:
    benches("0.5")
    one = asked(client)
    bench(CODES[1], "0.75")
    assert asked(client) == one


def test_the_asker_does_not_count_among_the_three(client: ApiClient) -> None:
    first, *_ = benches("0.5", "0.75", "1")
    answer = asked(first)
    assert answer["outcome"] == "fewer-than-three-shops"
    own = bevel(answer)
    assert (own["own_skis"], own["own"]["median_deg"]) == (1, "0.50")
    assert "others" not in own
    assert [one["operation"] for one in answer["took_off"]] == ["stone_grind"]


def test_what_the_asker_writes_changes_nothing_of_the_others(client: ApiClient) -> None:
    benches("0.5", "0.75", "1")
    before = bevel(asked(client))
    register(client, "FB-1", **SCREE)
    body = {"edge": "both", "base_bevel_deg": "3"}
    write(client, "bevel-settings", draft("bevel-setting", tag="FB-1", body=body))
    after = bevel(asked(client))
    assert after["own"]["median_deg"] == "3.00"
    assert {**after, "own": None, "own_skis": None} == {**before, "own": None, "own_skis": None}


def test_three_shops_on_two_skis_are_not_shown(client: ApiClient) -> None:
    benches("0.5", "0.75")
    third = a_client(CODES[3])
    body = {"edge": "both", "base_bevel_deg": "1"}
    foreign = draft("bevel-setting", shop=CODES[0], tag="L-1", body=body)
    write(third, "bevel-settings", foreign)
    answer = asked(client)
    assert answer["outcome"] == "fewer-than-three-skis"
    assert bevel(answer)["code"] == "fewer-than-three-skis"
    assert not {"others", "shops", "skis"} & set(bevel(answer))


def test_a_fourth_shop_is_not_seen_in_the_counts(client: ApiClient) -> None:
    benches("0.5", "0.75", "0.75", "1")
    assert (bevel(asked(client))["shops"], bevel(asked(client))["skis"]) == (3, 3)


@pytest.mark.parametrize("path", [LIKE, "skis/beckside/L-1/like"])
def test_nobody_is_named(client: ApiClient, path: str) -> None:
    clients = benches("0.5", "0.75", "1", "1.25")
    text = json.dumps({**asked(client, path), "ski": None})
    records = [
        record["id"]
        for by in clients
        for segment in ("descriptions", "jobs")
        for record in by.get(segment).json["items"]
    ]
    assert records
    for named in (*CODES, "L-1", *records):
        assert named not in text


def test_the_groups_say_how_like_and_why(client: ApiClient) -> None:
    benches("0.5", "0.75", "1")
    (group,) = asked(client, "like?model=skree%2084&year=2018")["groups"]
    assert (group["group"], group["shops"], group["skis"]) == ("near", 3, 3)
    assert group["why"] == ["Model text alike to 0.80 or better.", "Year at most 1 year apart."]


def test_of_a_ski_by_its_tag(client: ApiClient) -> None:
    benches("0.5", "0.75", "1")
    answer = asked(client, f"{register(client, 'FB-1', **SCREE)}/like")
    assert answer["ski"]["tag"] == "FB-1"
    assert answer["asked"] == {
        "model": "scree 84",
        "maker": "corvid",
        "year": 2019,
        "length_mm": 1720,
        "use": "piste",
    }
    assert bevel(answer)["others"]["median_deg"] == "0.75"


def test_the_ski_itself_does_not_count(client: ApiClient) -> None:
    benches("0.5", "0.75", "1")
    answer = asked(client, f"skis/{CODES[0]}/L-1/like")
    assert answer["outcome"] == "fewer-than-three-shops"
    assert LookUp.objects.count() == 1


def test_no_like_ski_says_so_and_what_would_help(client: ApiClient) -> None:
    benches("0.5", "0.75", "1")
    answer = asked(client, "like?model=Moraine%20100&use=rental")
    assert (answer["outcome"], answer["groups"]) == ("no-like-ski", [])
    assert answer["sentence"] == "No ski on this node is like this one."
    assert len(answer["would_help"]) == 3
    assert [one["kind"] for one in answer["usual"]] == ["rental"]


def test_a_ski_without_a_model_says_what_is_missing(client: ApiClient) -> None:
    answer = asked(client, f"{register(client, 'FB-1', length_mm=1720)}/like")
    assert answer["outcome"] == "no-model-text"
    assert "model" in answer["would_help"][0]
    assert "model" not in answer["asked"]


def test_usual_bevels_are_marked_practice(client: ApiClient) -> None:
    (usual,) = asked(client, f"{LIKE}&use=piste")["usual"]
    assert (usual["kind"], usual["basis"]) == ("recreational", "practice")
    assert (usual["base_low_deg"], usual["base_high_deg"]) == ("0.50", "1.50")
    assert (usual["side_low_deg"], usual["side_high_deg"]) == ("1.00", "2.00")
    park = asked(client, "like?model=Scree&use=park")["usual"][0]
    assert "side_low_deg" not in park


BAD: list[tuple[str, str, str]] = [
    ("", "model", "is missing"),
    ("?model=", "model", "nothing to read"),
    ("?model=%E2%80%94%21", "model", "letter or a number"),
    ("?model=Scree&length=172", "length", "at least 300"),
    ("?model=Scree&length=1720.5", "length", "whole number"),
    ("?model=Scree&year=19", "year", "at least 1930"),
    ("?model=Scree&year=2101", "year", "at most 2100"),
    ("?model=Scree&use=pist", "use", "none of the words"),
    ("?model=Scree&construction=foam", "construction", "none of the words"),
    ("?model=Scree&waist=8.4", "waist", "give the waist in millimetres"),
    ("?model=Scree&waist=wide", "waist", "decimal"),
    ("?model=Scree&lenght=1720", "lenght", "did you mean `length`?"),
    ("?model=Scree&format=csv", "format", "no parameter `format`"),
    ("?model=Scree&model=Scree", "model", "given 2 times"),
    ("?model=Scree%00", "model", "Take out the character"),
    (f"?model={'x' * 201}", "model", "At most 200 characters"),
]


@pytest.mark.parametrize(("query", "parameter", "sentence"), BAD)
def test_a_parameter_that_needs_mending(
    client: ApiClient, query: str, parameter: str, sentence: str
) -> None:
    answer: Answered = client.get(f"like{query}")
    assert (answer.status, answer.slug) == (400, "invalid-parameters")
    assert [(one["parameter"], sentence in one["detail"]) for one in answer.json["errors"]] == [
        (parameter, True)
    ], answer.content


def test_every_parameter_may_be_given(client: ApiClient) -> None:
    benches("0.5", "0.75", "1")
    everything = f"{LIKE}&construction=cap&use=piste&waist=84.5"
    answer = asked(client, everything)
    assert answer["asked"]["waist_width_mm"] == "84.5"
    assert answer["asked"]["construction"] == "cap"
    assert "Waist not known." in answer["groups"][-1]["why"]


def test_other_than_json_is_not_offered(client: ApiClient) -> None:
    assert client.get(LIKE, Accept="text/csv").status == 406


def test_a_ski_takes_no_parameters(client: ApiClient, ski: str) -> None:
    answer = client.get(f"{ski}/like?model=Scree")
    assert (answer.status, answer.pointers) == (400, ["model"])


def test_an_unknown_tag_and_a_missing_key(client: ApiClient, nobody: ApiClient) -> None:
    assert client.get("skis/fellbench/NONE-1/like").status == 404
    assert nobody.get(LIKE).status == 401


def test_it_costs_the_same_however_many_skis(
    client: ApiClient, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    clients = benches("0.5", "0.75", "1")
    for turn in "AB":
        # The key, and five for texts, variants, skis, values and their skis.
        with django_assert_num_queries(6):
            assert asked(client)["outcome"] == "pooled"
        for number in range(10):
            register(
                clients[number % 3], f"{turn}-{number}", **{**SCREE, "length_mm": 1700 + number}
            )


def test_the_same_question_has_the_same_etag(client: ApiClient) -> None:
    benches("0.5", "0.75", "1")
    first = client.get(LIKE)
    again = client.get(LIKE, If_None_Match=first.headers["ETag"])
    assert again.status == 304

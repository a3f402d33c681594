"""Flatness, twist, texture, sidecut and the verdict on a finished tune, over HTTP."""

from __future__ import annotations

from typing import Any

from apps.registry import actions
from apps.registry.actors import OPERATOR
from tests.api.client import ApiClient
from tests.api.making import DAY, draft, register, write

X = (0, 5, 14, 29, 33, 37, 52, 61, 66)
HOLLOW = (0, 90, 120, 140, 140, 140, 120, 90, 0)
GROOVED = (0, 90, 120, 600, 640, 600, 120, 90, 0)
Document = dict[str, Any]


def condition(client: ApiClient, ski: str) -> Document:
    answer = client.get(f"{ski}/condition")
    assert answer.status == 200, answer.content
    document: Document = answer.json
    return document


def measure(client: ApiClient, *, day: str = DAY, **body: Any) -> str:
    """Write a measurement on FB-0042; gives its id."""
    document = draft("measurement", body=body, performed_at=day)
    return str(write(client, "measurements", document).json["id"])


def lay_bar(client: ApiClient, gaps: tuple[int, ...], **body: Any) -> str:
    profile = [{"x_mm": x, "gap_um": gap} for x, gap in zip(X, gaps, strict=True)]
    return measure(client, quantity="base_gap_profile", profile=profile, **body)


def test_flatness_by_station_with_what_each_way_takes(client: ApiClient, ski: str) -> None:
    rear = lay_bar(client, HOLLOW, position_mm=300, uncertainty=10)
    lay_bar(client, (0,) * 9, position_mm=1300)
    found = {one["place"]["position_mm"]: one for one in condition(client, ski)["flatness"]}
    assert (found[300]["shape"], found[1300]["shape"]) == ("concave", "flat")
    assert found[300]["straightness"]["value_mm"] == "0.140"
    ways = found[300]["ways"]
    assert ways["to_flat"]["left_edge"]["value_mm"] == "0.140"
    assert ways["to_tolerance"]["right_edge"]["value_mm"] == "0.040"
    assert ways["edges_only"]["left_edge"]["value_mm"] == "0.090"
    assert ways["edges_only"]["straightness_after"]["value_mm"] == "0.050"
    assert ways["edges_only"]["left_edge"]["rests_on"] == [rear]


def test_a_groove_is_left_out_once_its_width_is_known(client: ApiClient) -> None:
    ski = register(client, "FB-0042")
    profile = lay_bar(client, GROOVED)
    (unknown,) = condition(client, ski)["flatness"]
    assert "shape" not in unknown
    assert "centre_groove_width_mm" in unknown["sentence"]
    groove = measure(client, quantity="centre_groove_width_mm", value="9.0")
    answer = condition(client, ski)
    (known,) = answer["flatness"]
    assert (known["shape"], known["points"], known["left_out"]) == ("concave", 9, 3)
    assert known["straightness"]["value_mm"] == "0.120"
    assert sorted(known["straightness"]["rests_on"]) == sorted([profile, groove])
    assert answer["centre_groove"] == {"width_mm": "9.0", "measured": True, "record": groove}


def test_a_profile_of_two_points_and_one_on_the_groove(client: ApiClient) -> None:
    ski = register(client, "FB-0042", centre_groove_width_mm=9)
    two = [{"x_mm": 0, "gap_um": 0}, {"x_mm": 66, "gap_um": 0}]
    measure(client, quantity="base_gap_profile", station="waist", profile=two)
    three = [{"x_mm": x, "gap_um": 0} for x in (29, 33, 37)]
    measure(client, quantity="base_gap_profile", station="tail", profile=three)
    for found in condition(client, ski)["flatness"]:
        assert "shape" not in found
        assert "at least 3 are needed" in found["sentence"]


def test_twist_between_two_stations(client: ApiClient, ski: str) -> None:
    level = lay_bar(client, (500,) * 9, position_mm=300, uncertainty=5)
    leaning = lay_bar(client, tuple(500 - 5 * x for x in X), position_mm=1300, uncertainty=5)
    (twist,) = condition(client, ski)["twist"]
    # 5 um for each mm is 0.2865 deg, over one metre.
    assert (twist["from_mm"], twist["to_mm"], twist["deg_per_m"]) == (300, 1300, "0.29")
    assert float(twist["low_deg_per_m"]) <= 0.2865 <= float(twist["high_deg_per_m"])
    assert twist["rests_on"] == [level, leaning]


def test_the_texture_of_a_triangle(client: ApiClient, ski: str) -> None:
    # Derived from the definitions of ISO 21920-2:2021: Ra is half, Rz twice the amplitude.
    heights = [*range(10), *range(10, -10, -1), *range(-10, 0)] * 10
    trace = {"spacing_um": 10, "heights_um": heights}
    record = measure(client, quantity="texture_trace", trace=trace, uncertainty=0.1)
    found = condition(client, ski)["texture"]
    assert (found["ra_um"]["value"], found["rz_um"]["value"]) == ("5.00", "20.00")
    assert (found["rq_um"]["value"], found["rsm_mm"]["value"]) == ("5.79", "0.400")
    assert float(found["rz_um"]["low"]) < 20.0 < float(found["rz_um"]["high"])
    assert (found["standard"], found["record"]) == ("ISO 21920-2:2021", record)
    assert "No filter was applied" in found["conditions"]
    assert found["evaluation_length_mm"] == "4.000"


def test_a_trace_too_short_is_no_texture(client: ApiClient, ski: str) -> None:
    trace = {"spacing_um": 10, "heights_um": [0, 1]}
    measure(client, quantity="texture_trace", trace=trace)
    found = condition(client, ski)["texture"]
    assert "ra_um" not in found
    assert "at least 10 are needed" in found["sentence"]


TARGET: Document = {
    "target": {"base_bevel_deg": 0.5, "side_bevel_deg": 2, "flatness_tolerance_mm": 0.05},
    "bevel_settings": [
        {"edge": "both", "base_bevel_deg": 0.5, "side_bevel_deg": 2},
        {
            "edge": "left",
            "basis": "measured",
            "base_bevel_deg": 0.7,
            "side_bevel_deg": 2.5,
            "uncertainty_deg": 0.25,
            "instrument": "gauge A",
            "moment": "after",
        },
    ],
}


def tune(client: ApiClient) -> str:
    """Write a job with a target; gives its id."""
    return str(write(client, "jobs", draft("job", body=TARGET)).json["id"])


def test_whether_a_tune_met_its_target(client: ApiClient, ski: str) -> None:
    job = tune(client)
    found = condition(client, ski)["conformity"]
    checks = {(one["edge"], one["face"]): one for one in found["bevels"]}
    outcomes = {key: one["outcome"] for key, one in checks.items()}
    assert outcomes == {
        ("left", "base"): "undecided",
        ("left", "side"): "fail",
        ("right", "base"): "unmeasured",
        ("right", "side"): "unmeasured",
    }
    assert (found["outcome"], found["job"], found["method"]) == ("fail", job, "ISO 14253-1:2017")
    base = checks["left", "base"]
    assert (base["lower_deg"], base["upper_deg"], base["measured_deg"]) == ("0.25", "0.75", "0.70")
    assert (base["guard_band_deg"], base["deciding_uncertainty_deg"]) == ("0.21", "0.06")
    assert base["rests_on"] == [job]
    assert [one["outcome"] for one in found["flatness"]] == ["unmeasured"]


def test_a_reading_of_its_own_that_day_decides(client: ApiClient, ski: str) -> None:
    job = tune(client)
    bevels = {"edge": "both", "basis": "measured", "base_bevel_deg": 0.5, "side_bevel_deg": 2}
    reading = draft("bevel-setting", body={**bevels, "uncertainty_deg": 0.05})
    record = write(client, "bevel-settings", reading).json["id"]
    lay_bar(client, (0, 5, 8, 10, 10, 10, 8, 5, 0), moment="after")
    found = condition(client, ski)["conformity"]
    assert found["outcome"] == "pass"
    assert found["bevels"][0]["rests_on"] == [job, record]
    assert found["flatness"][0]["straightness"]["value_mm"] == "0.010"


def test_the_tolerance_of_a_bevel_is_the_shops_practice(client: ApiClient, ski: str) -> None:
    tune(client)
    actions.set_practice(shop=client.handle, settings={"bevel_tolerance_deg": "1.00"}, by=OPERATOR)
    checks = condition(client, ski)["conformity"]["bevels"]
    assert [one["outcome"] for one in checks][:2] == ["pass", "pass"]


def test_without_targets_traces_or_profiles_nothing_is_made_up(client: ApiClient, ski: str) -> None:
    found = condition(client, ski)
    assert {"conformity", "texture", "centre_groove"} & set(found) == set()
    assert (found["twist"], found["flatness"]) == ([], [])


def widths(radius_rear: float, radius_front: float) -> list[Document]:
    """Widths about a waist of 68 mm at 900 mm, as parabolas of the two radii [m]."""
    rows = []
    for at in range(100, 1701, 100):
        radius = radius_rear if at < 900 else radius_front
        rows.append({"position_mm": at, "width_mm": round(68 + (at - 900) ** 2 / radius / 1000, 1)})
    return rows


def test_one_radius_and_its_agreement_with_the_declared_one(client: ApiClient) -> None:
    ski = register(client, "FB-0042", declared_radius_m=15)
    row = measure(client, quantity="width_profile", profile=widths(15.0, 15.0))
    shape = client.get(ski).json["shape"]
    assert shape == condition(client, ski)["shape"]
    assert (shape["sidecut"]["form"], shape["sidecut"]["rests_on"]) == ("one-radius", [row])
    (circle,) = [one for one in shape["radii"] if one["method"] == "least-squares"]
    assert float(circle["low_m"]) <= 15.0 <= float(circle["high_m"])
    (compared,) = shape["declared"]["comparisons"]
    assert (compared["method"], compared["agrees"]) == ("least-squares", True)
    assert row in shape["declared"]["rests_on"]
    assert "racing rule" in shape["declared"]["comparable_with"]


def test_a_sidecut_of_two_radii_says_that_one_is_the_wrong_word(client: ApiClient) -> None:
    ski = register(client, "FB-0042", declared_radius_m=22.5)
    measure(client, quantity="width_profile", profile=widths(17.0, 12.0))
    shape = condition(client, ski)["shape"]
    assert shape["sidecut"]["form"] == "several-radii"
    rear, front = shape["sidecut"]["arcs"]
    assert float(rear["low_m"]) <= 17.0 <= float(rear["high_m"])
    assert float(front["low_m"]) <= 12.0 <= float(front["high_m"])
    assert "wrong word" in shape["sidecut"]["sentence"]
    assert not shape["declared"]["comparisons"][0]["agrees"]


def test_widths_that_have_no_radius_say_why(client: ApiClient, ski: str) -> None:
    row = [{"position_mm": at, "width_mm": 70} for at in (200, 900, 1600)]
    measure(client, quantity="width_profile", profile=row)
    shape = condition(client, ski)["shape"]
    assert "sidecut" not in shape
    assert "least-squares" in {one["method"] for one in shape["unknown"]}


def test_a_width_said_to_be_exact_is_off_by_its_rounding(client: ApiClient, ski: str) -> None:
    measure(client, quantity="width_profile", profile=widths(15.0, 15.0), uncertainty=0)
    shape = condition(client, ski)["shape"]
    # Rectangular, k = 2: 0.1 / sqrt(3) (JCGM 100:2008, 4.3.7).
    assert shape["sidecut"]["width_uncertainty_mm"] == "0.058"
    assert shape["waist"]["expanded_uncertainty_mm"] == "0.1"


def test_a_radius_read_by_a_bench_has_the_limits_it_states(client: ApiClient) -> None:
    ski = register(client, "FB-0042", length_mm=1710)
    measure(client, quantity="radius_m", value=14.5)
    (bare,) = condition(client, ski)["shape"]["radii"]
    assert "low_m" not in bare
    measure(client, quantity="radius_m", value=14.5, uncertainty=0.3, day="2025-02-01")
    (sure,) = condition(client, ski)["shape"]["radii"]
    assert (sure["low_m"], sure["high_m"]) == ("14.2", "14.8")
    assert "declared" not in condition(client, ski)["shape"]


def test_a_row_of_a_straight_stretch_is_told_without_a_radius_of_it(
    client: ApiClient, ski: str
) -> None:
    # Straight behind 900 mm, a circle of 12 m before it (half widths: w = 68 + x^2 / 12 000).
    row = [
        {"position_mm": at, "width_mm": round(68 + max(0, at - 900) ** 2 / 12_000, 1)}
        for at in range(100, 1701, 100)
    ]
    measure(client, quantity="width_profile", profile=row)
    found = condition(client, ski)["shape"]["sidecut"]
    assert found["form"] == "several-radii"
    straight, *_ = found["arcs"]
    assert "radius_m" not in straight
    assert "no radius between 100 and" in found["sentence"]


def test_a_width_keeps_the_uncertainty_it_was_read_with(client: ApiClient, ski: str) -> None:
    measure(client, quantity="width_mm", station="waist", value="68.0", uncertainty="0.4")
    waist = condition(client, ski)["shape"]["waist"]
    assert (waist["value_mm"], waist["expanded_uncertainty_mm"]) == ("68.0", "0.4")


def test_widths_that_no_three_arcs_explain_are_to_be_measured_again(
    client: ApiClient, ski: str
) -> None:
    row = widths(15.0, 15.0)
    for at, point in enumerate(row):
        point["width_mm"] = round(point["width_mm"] + (1.5 if at % 2 else -1.5), 1)
    measure(client, quantity="width_profile", profile=row)
    found = condition(client, ski)["shape"]["sidecut"]
    assert (found["form"], found["arcs"]) == ("no-arcs", [])
    assert "Measure again, or state how sure the widths are." in found["sentence"]

"""From signed bytes to the plain visits that the arithmetic reads."""

from __future__ import annotations

from datetime import date
from typing import Any, cast

from apps.records.envelope import Record
from apps.records.examples import example_record
from apps.records.folding import Folded, fold
from apps.records.kinds import KINDS
from apps.records.reading import read_document
from apps.registry.visits import clock_key, visit_of, visits_of
from apps.tuning.history import (
    EDGES,
    BaseProfile,
    BevelStatement,
    FindingKey,
    Place,
    Reading,
    Step,
    time_key,
)

ID = "ab" * 32


def a_record(kind: str, **members: Any) -> Record:
    return cast("Record", read_document({**example_record(kind), **members}))


def folded(kind: str, **members: Any) -> Folded:
    return fold([(ID, a_record(kind, **members), 0)]).records[0]


def test_what_every_visit_says() -> None:
    visit = visit_of(folded("usage", performed_at="2025-01-31T23:30:00-05:00"))
    assert (visit.record, visit.kind, visit.author) == (ID, "usage", "fellbench@node.example")
    assert (visit.day, visit.local_time) == (date(2025, 1, 31), "23:30:00")
    assert (visit.instant, visit.entered) == ("2025-02-01T04:30:00Z", 0)
    assert (visit.usage_days, visit.status) == (12, None)


def test_a_day_alone_has_no_clock() -> None:
    visit = visit_of(folded("status"))
    assert (visit.local_time, visit.instant) == (None, None)
    assert (visit.status, visit.usage_days) == ("retired", None)


def test_readings_of_material_are_taken_and_others_left() -> None:
    measurements = [
        {
            "quantity": "edge_height_mm",
            "value": "1.785",
            "edge": "left",
            "station": "waist",
            "position_mm": 800,
            "uncertainty": "0.020",
            "instrument": "gauge A",
            "moment": "before",
        },
        {"quantity": "base_thickness_mm", "value": "1.200", "surface": "base"},
        {"quantity": "edge_width_mm", "edge": "left", "not_measured": "no_gauge"},
        {"quantity": "width_mm", "value": "68.0", "station": "waist"},
    ]
    visit = visit_of(folded("job", body={"measurements": measurements}))
    assert visit.readings == (
        Reading(
            "edge_height",
            1.785,
            Place(edge="left", station="waist", position_mm=800),
            0.020,
            "gauge A",
            "before",
        ),
        Reading("base_thickness", 1.2, Place(surface="base")),
    )
    assert visit.profiles == ()


def test_a_measurement_by_itself_is_a_visit_too() -> None:
    (reading,) = visit_of(folded("measurement")).readings
    assert (reading.quantity, reading.value_mm, reading.uncertainty_mm) == (
        "edge_height",
        1.785,
        0.020,
    )


def test_a_true_bar_profile() -> None:
    body = {
        "quantity": "base_gap_profile",
        "moment": "after",
        "profile": [{"x_mm": "0.0", "gap_um": 0}, {"x_mm": "30.5", "gap_um": 40}],
    }
    (profile,) = visit_of(folded("measurement", body=body)).profiles
    assert profile == BaseProfile((0.0, 30.5), (0.0, 40.0), Place(), "after")


def test_a_profile_of_widths_is_none_of_the_base() -> None:
    body = {
        "quantity": "width_profile",
        "profile": [
            {"position_mm": 0, "width_mm": "90.0"},
            {"position_mm": 9, "width_mm": "91.0"},
        ],
    }
    assert visit_of(folded("measurement", body=body)).profiles == ()


def test_both_edges_are_two_statements() -> None:
    body = {
        "edge": "both",
        "basis": "measured",
        "base_bevel_deg": "0.50",
        "side_bevel_deg": "2.00",
        "facet_width_mm": "2.50",
        "station_from_mm": 0,
        "station_to_mm": 300,
        "uncertainty_deg": "0.10",
        "instrument": "gauge B",
        "moment": "after",
    }
    statements = visit_of(folded("bevel-setting", body=body)).bevels
    assert statements == tuple(
        BevelStatement(edge, "measured", 0.5, 2.0, 2.5, 0, 300, 0.1, "gauge B", "after")
        for edge in EDGES
    )


def test_a_side_alone_leaves_the_base_unsaid() -> None:
    body = {"edge": "right", "basis": "set", "side_bevel_deg": "3.00"}
    (statement,) = visit_of(folded("bevel-setting", body=body)).bevels
    assert statement == BevelStatement("right", "set", None, 3.0)


def test_steps_in_their_order() -> None:
    steps = [
        {"operation": "stone_grind", "passes": 2, "base_removed_mm": "0.030"},
        {
            "operation": "side_bevel",
            "edge": "left",
            "place": {"station": "waist"},
            "edge_height_removed_mm": "0.010",
            "edge_width_removed_mm": "0.020",
        },
    ]
    visit = visit_of(folded("job", body={"steps": steps}))
    assert visit.steps == (
        Step("stone_grind", EDGES, Place(), 2, 0.03),
        Step("side_bevel", ("left",), Place(station="waist"), None, None, 0.01, 0.02),
    )


def test_findings_are_named_by_record_and_place() -> None:
    closes = {"record": "cd" * 32, "index": 1}
    where = {"edge": "left", "surface": "base", "position_mm": 800, "length_mm": 30}
    findings = [
        {"what": "gouge", "severity": "moderate", "state": "repaired", "closes": closes},
        {
            "what": "scratch",
            "severity": "slight",
            "state": "open",
            "where": where,
            "depth_mm": "0.40",
            "width_mm": "1.5",
        },
    ]
    first, second = visit_of(folded("job", body={"findings": findings})).findings
    assert (first.key, first.open, first.closes) == (
        FindingKey(ID, 0),
        False,
        FindingKey("cd" * 32, 1),
    )
    assert (second.key.index, second.open, second.severity) == (1, True, "slight")
    assert second.place == Place(edge="left", surface="base", position_mm=800, length_mm=30)
    assert (second.depth_mm, second.width_mm, second.closes) == (0.4, 1.5, None)


def test_double_entries_share_a_fingerprint() -> None:
    first = visit_of(folded("usage", salt="0" * 32)).fingerprint
    second = visit_of(folded("usage", salt="1" * 32)).fingerprint
    other = visit_of(folded("usage", performed_at="2025-02-01")).fingerprint
    assert first == second
    assert first != other
    assert len(first) == 64


def test_a_corrected_record_states_its_replacement() -> None:
    correction = a_record("correction", refers_to=[ID])
    (one,) = fold([(ID, a_record("usage"), 0), ("cd" * 32, correction, 1)]).effective
    visit = visit_of(one)
    assert (visit.record, visit.usage_days, visit.corrections) == (ID, 21, 1)


def test_visits_come_in_the_order_of_the_bench() -> None:
    days = ("2025-02-01", "2025-01-31T18:00:00Z", "2025-01-31")
    records = [(f"{n:064}", a_record("usage", performed_at=day), n) for n, day in enumerate(days)]
    visits = visits_of(fold(records).effective)
    assert [visit.record[-1] for visit in visits] == ["2", "1", "0"]


def test_of_one_day_visits_come_as_their_author_entered_them() -> None:
    records = [(f"{9 - n:064}", a_record("usage"), n) for n in range(4)]
    visits = visits_of(fold(reversed(records)).effective)
    assert [visit.entered for visit in visits] == [0, 1, 2, 3]


def test_the_key_of_the_order_sorts_as_text() -> None:
    kinds = [kind for kind, spec in KINDS.items() if spec.about_ski and not spec.refers]
    times = ("2025-01-31", "2025-01-31T08:00:00Z", "2025-01-31T23:59:59+14:00", "2024-12-31")
    visits = [visit_of(folded(kind, performed_at=time)) for kind in kinds for time in times]
    assert sorted(visits, key=clock_key) == sorted(visits, key=lambda v: time_key(v)[:2])

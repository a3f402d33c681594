"""What a visit says, a line each: whole facts, in the visitor's language and unit."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.utils import translation

from apps.pages.places import place_text, stretch_text
from apps.pages.ski.description import facts_of, headline_of
from apps.pages.ski.lines import (
    bevel_line,
    finding_line,
    measurement_line,
    step_line,
    target_line,
)
from apps.pages.ski.names import Mentions
from apps.pages.ski.outlook import last_day_text, services_text
from apps.pages.ski.viewer import Viewer
from apps.records.envelope import JobDraft
from apps.records.folding import Fold
from apps.records.job import JobBody
from apps.records.reading import read_draft
from apps.tuning.history import Place
from apps.tuning.services import ServiceRate, ServicesLeft
from apps.tuning.wear_ski import LastDay

RATE = ServiceRate(0.02, 0.05, 0.1, "practice")


def job(**body: Any) -> JobBody:
    """What a job says."""
    ski = {"shop": "fellbench", "tag": "FB-1"}
    sent = {"ski": ski, "performed_at": "2025-01-31", "body": body}
    draft = read_draft("job", sent, node_host="node.example")
    assert isinstance(draft, JobDraft)
    return draft.body


def plain(text: str) -> str:
    """A text with ordinary blanks."""
    return text.replace("\u202f", " ")


@pytest.mark.parametrize(
    ("step", "said"),
    [
        ({"operation": "stone_grind", "passes": 1}, "Stone grind, 1 pass"),
        ({"operation": "other", "operation_text": "wash"}, "Wash"),
        (
            {"operation": "side_bevel", "edge": "left", "tool_text": "guide", "grit_text": "fine"},
            "Work the side bevel, left edge, guide, fine",
        ),
        (
            {"operation": "wax", "wax_class": "other", "wax_class_text": "graphite wax"},
            "Wax, graphite wax",
        ),
        (
            {"operation": "recut_groove", "groove_width_mm": 8},
            "Recut the centre groove, groove 8.0 mm wide",
        ),
        (
            {
                "operation": "inspect_binding",
                "inspection": {
                    "procedure_text": "ISO 11088:2023",
                    "inspected_as": "short_rental",
                    "outcome": "passed",
                },
            },
            "Binding inspected, result only, passed, by ISO 11088:2023 (rented for under 15 days)",
        ),
    ],
)
def test_a_step(step: dict[str, Any], said: str) -> None:
    assert step_line(job(steps=[step]).steps[0]) == said


@pytest.mark.parametrize(
    ("reading", "said"),
    [
        (
            {"quantity": "radius_m", "value": 14.5, "uncertainty": 0.3},
            "Sidecut radius: 14.5 ± 0.3 m",
        ),
        ({"quantity": "texture_ra_um", "value": 3.2}, "Texture Ra: 3.20 µm"),
        (
            {
                "quantity": "other",
                "quantity_text": "stiffness",
                "unit_text": "N/mm",
                "value": 5,
            },
            "Stiffness: 5.000 N/mm",
        ),
        (
            {
                "quantity": "base_gap_profile",
                "station": "waist",
                "profile": [{"x_mm": 0, "gap_um": 0}, {"x_mm": 60, "gap_um": 30}],
            },
            "Gaps under a true bar across the base, waist: 2 points",
        ),
        (
            {"quantity": "texture_trace", "trace": {"spacing_um": 1, "heights_um": [0, 1, 0]}},
            "Trace of the base texture: 3 points",
        ),
        (
            {"quantity": "camber_mm", "not_measured": "other", "not_measured_text": "too cold"},
            "Camber: too cold",
        ),
    ],
)
def test_a_measurement(reading: dict[str, Any], said: str) -> None:
    assert plain(measurement_line(job(measurements=[reading]).measurements[0], "mm")) == said


def test_steel_is_written_in_the_visitors_unit() -> None:
    reading = {"quantity": "edge_width_mm", "edge": "left", "value": 1.9, "uncertainty": 0.05}
    (read,) = job(measurements=[reading]).measurements
    assert plain(measurement_line(read, "um")) == "Edge width, left edge: 1900 µm ± 50 µm"


def test_a_finding_without_a_place_and_size() -> None:
    found = {"what": "other", "what_text": "loose plate", "severity": "slight", "state": "open"}
    assert finding_line(job(findings=[found]).findings[0]) == "Loose plate, slight, left open"


def test_bevels_of_a_stretch_with_all_that_is_known_of_them() -> None:
    stated = {
        "edge": "right",
        "base_bevel_deg": 0.75,
        "facet_width_mm": 1.8,
        "station_from_mm": 400,
        "station_to_mm": 900,
        "basis": "measured",
        "moment": "before",
        "uncertainty_deg": 0.1,
        "instrument": "bevel gauge",
    }
    (bevel,) = job(bevel_settings=[stated]).bevel_settings
    assert plain(bevel_line(bevel, "mm")) == (
        "Right edge, 400 to 900 mm from the tail: base bevel 0.75°, facet 1.80 mm wide, "
        "sure to 0.1°, measured, before the work, bevel gauge"
    )


def test_a_side_bevel_alone() -> None:
    (bevel,) = job(
        bevel_settings=[{"edge": "left", "side_bevel_deg": 2, "basis": "set"}]
    ).bevel_settings
    assert bevel_line(bevel, "mm") == "Left edge: side bevel 2.0°, set"


def test_a_target_of_all_things() -> None:
    wanted = {
        "base_bevel_deg": 1,
        "side_bevel_deg": 3,
        "flatness_tolerance_mm": 0.1,
        "structure_text": "medium",
    }
    target = job(target=wanted).target
    assert target is not None
    said = "Base bevel 1.0°, side bevel 3.0°, flat to 0.10 mm, medium"
    assert plain(target_line(target, "mm")) == said


def test_where_something_is() -> None:
    assert place_text(None) == ""
    assert place_text(Place("left", "base", "waist")) == "base, left edge, waist"
    assert place_text(Place(position_mm=900)) == "900 mm from the tail"
    assert place_text(Place(position_mm=900, length_mm=60)) == "900 to 960 mm from the tail"
    assert stretch_text(None, None) == ""


def test_a_description_by_its_names() -> None:
    fields = {
        "length_mm": 1710,
        "waist_width_mm": "68.0",
        "declared_radius_m": "14.5",
        "construction": "other",
        "construction_text": "honeycomb",
        "base_colour": "black",
        "model_year": 2019,
        "maker_text": "Ridge",
    }
    with translation.override("de"):
        told = {fact.value for fact in facts_of(fields)}
    assert {"68,0 mm", "14,5 m", "honeycomb", "2019", "1710 mm"} <= told
    assert headline_of(fields) == "Ridge, 2019, 1710 mm"
    assert headline_of({}) == ""
    assert facts_of({}) == ()


@pytest.mark.parametrize(
    ("left", "said"),
    [
        (ServicesLeft(1, 0, 3, RATE), "1 service, between 0 and 3"),
        (ServicesLeft(5, 2, None, RATE), "5 services, at least 2"),
        (ServicesLeft(5, None, None, RATE), "5 services"),
        (ServicesLeft(None, None, None, RATE), "A service takes nothing of it."),
    ],
)
def test_services_left(left: ServicesLeft, said: str) -> None:
    assert services_text(left) == said


TODAY = date(2026, 6, 1)


def test_when_the_least_is_reached() -> None:
    day, low, high = date(2028, 1, 5), date(2027, 2, 1), date(2031, 3, 1)
    assert last_day_text(LastDay(None, None, None), TODAY) == ""
    told = last_day_text(LastDay(day, low, None), TODAY)
    assert "about 5 Jan 2028, if it is used as until now" in told
    told = last_day_text(LastDay(day, low, high), TODAY)
    assert "between 1 Feb 2027 and 1 Mar 2031" in told


@pytest.mark.parametrize(
    ("last", "said"),
    [
        (
            LastDay(date(2040, 1, 5), date(2035, 1, 1), date(2064, 1, 16)),
            (
                "The shop's least is reached about 5 Jan 2040, not before 1 Jan 2035, if it is "
                "used as until now."
            ),
        ),
        (
            LastDay(date(2064, 1, 16), date(2035, 1, 1), None),
            (
                "The shop's least is likely not reached within 20 years by the use so far, and "
                "not before 1 Jan 2035."
            ),
        ),
        (
            LastDay(date(2064, 1, 16), date(2050, 1, 1), None),
            "The shop's least is not reached within 20 years by the use so far.",
        ),
        (
            LastDay(date(2064, 1, 16), None, None),
            "The shop's least is not reached within 20 years by the use so far.",
        ),
    ],
)
def test_a_day_decades_ahead_is_not_named(last: LastDay, said: str) -> None:
    assert last_day_text(last, TODAY) == said


def test_a_record_that_is_not_on_the_page_is_not_pointed_to() -> None:
    mentions = Mentions(Fold((), (), ()), Viewer("fellbench@node.example"))
    assert mentions.of("a" * 64) is None
    assert mentions.each(["a" * 64]) == ()

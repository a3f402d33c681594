"""The visits of a ski and what they say of it; what was mended or taken back stays to be read."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client

from apps.registry.actors import Actor
from apps.registry.models import Record
from tests.pages.people import text_of
from tests.pages.ski.making import (
    REMARK,
    SPECIFIED,
    TECHNICIAN,
    a_grind,
    a_tune,
    tuned,
)
from tests.registry.making import a_draft, a_ski, write

pytestmark = pytest.mark.django_db


def test_how_it_is_kept(technician: Client, shop: Actor, ski: str) -> None:
    a_ski(shop, tag="FB-0043")
    a_ski(shop, tag="FB-0044")
    tuned(
        shop,
        a_draft("usage", performed_at="2025-02-20", body={"days": 7}),
        a_draft("usage", performed_at="2025-02-25", body={"days": 2}),
        a_draft("pair", body={"other_ski": {"shop": "fellbench", "tag": "FB-0043"}}),
        a_draft(
            "pair",
            performed_at="2025-02-02",
            body={"other_ski": {"shop": "fellbench", "tag": "FB-0044"}},
        ),
        a_draft(
            "status",
            performed_at="2025-03-01",
            body={"status": "retired", "reason": "worn_out"},
        ),
    )
    response = technician.get(ski)
    shown = text_of(response)
    assert "9 days out were reported. Since the last job: between 2 and 9." in shown
    assert "FB-0044 , fellbench , 2 Feb 2025" in shown
    assert "Paired before with FB-0043 , fellbench, 31 Jan 2025" in shown
    assert shown.count("Retired, worn out") >= 2
    assert 'href="/t/fellbench/FB-0044"' in response.content.decode()


def test_a_status_may_have_no_reason_and_use_may_be_counted_exactly(
    technician: Client, shop: Actor, ski: str
) -> None:
    status = {"status": "in_service"}
    write(
        shop,
        a_draft("usage", performed_at="2025-01-02", body={"days": 1}),
        a_tune(),
        a_draft("status", performed_at="2025-02-01", body=status),
    )
    shown = text_of(technician.get(ski))
    assert "Status In service ( 1 Feb 2025, fellbench )" in shown
    assert "1 day out was reported. Since the last job: 0." in shown


def test_the_base_is_told_by_what_was_laid_on_it(technician: Client, shop: Actor, ski: str) -> None:
    flat = [
        {"x_mm": x, "gap_um": gap} for x, gap in ((0, 0), (20, 30), (40, 60), (60, 30), (80, 0))
    ]
    profiles = [
        {"quantity": "base_gap_profile", "position_mm": at, "profile": flat, "moment": "after"}
        for at in (500, 900)
    ]
    heights = [0, 3, 0, -3] * 250
    trace = {"quantity": "texture_trace", "trace": {"spacing_um": 10, "heights_um": heights}}
    wanted = {"flatness_tolerance_mm": 0.1}
    write(shop, a_tune(measurements=[*profiles, {**trace, "station": "waist"}], target=wanted))
    shown = text_of(technician.get(ski))
    base = shown[shown.index("The base and the last target") : shown.rindex("Damage and repairs")]
    assert "500 mm from the tail:" in base
    assert "Between 500 mm and 900 mm from the tail the base turns by no more than" in base
    assert "Waist: Structure of the base as traced on 31 Jan 2025." in base
    assert "Base:" in base


def test_left_stands_beside_right_and_the_base_comes_last(
    technician: Client, shop: Actor, ski: str
) -> None:
    readings: list[dict[str, Any]] = [
        {"quantity": "base_thickness_mm", "value": 1.2, "station": "waist"},
        *(
            {"quantity": quantity, "value": 1.8, "edge": edge, "station": station}
            for quantity in ("edge_width_mm", "edge_height_mm")
            for edge in ("right", "left")
            for station in ("waist", "forebody")
        ),
    ]
    write(shop, a_tune(measurements=[{**one, "moment": "after"} for one in readings]))
    page = technician.get(ski).content.decode()
    steel = page[page.index('id="material"') : page.index('id="base"')]
    assert re.findall(r"<h3>([^<]+)</h3>", steel)[:9] == [
        f"{what}, {edge} edge, {station}"
        for what in ("Edge height", "Edge width")
        for station in ("forebody", "waist")
        for edge in ("left", "right")
    ] + ["Base thickness, waist"]


def test_an_edge_that_was_replaced_keeps_its_readings_apart(
    technician: Client, shop: Actor, ski: str
) -> None:
    new = {
        "steps": [{"operation": "replace_edge", "edge": "left"}],
        "measurements": [
            {
                "quantity": "edge_height_mm",
                "value": 2.1,
                "edge": "left",
                "station": "waist",
                "moment": "after",
            }
        ],
    }
    tuned(shop, a_draft("job", performed_at="2025-02-10", body=new))
    shown = text_of(technician.get(ski))
    said = "Edge height, left edge, waist: 1.78 mm ( 10 Feb 2025, fellbench )"
    assert f"Readings of edges that were replaced {said}" in shown
    assert "Edge height, left edge, waist 2.10 mm" in shown


def test_what_the_maker_specified_of_a_stretch(technician: Client, shop: Actor, ski: str) -> None:
    stretch = {**SPECIFIED, "station_from_mm": 100, "station_to_mm": 300}
    write(shop, a_draft("bevel-setting", body=stretch))
    assert "Base bevel, 100 to 300 mm from the tail: 1.0°" in text_of(technician.get(ski))


def test_visits_come_newest_first_with_all_that_they_say(
    technician: Client, shop: Actor, ski: str
) -> None:
    tuned(shop, a_grind("2025-02-10"))
    shown = text_of(technician.get(ski))
    assert shown.index("10 Feb 2025: job") < shown.index("31 Jan 2025: job")
    assert f"fellbench, {TECHNICIAN}; signed by the node for the shop" in shown
    for line in (
        "Core shot, base, forebody, 1100 mm from the tail, 1.40 mm deep, severe, repaired",
        "Fill the gouge, welded in, black",
        "Stone grind, 3 passes",
        "Wax, cold snow, iron at 130 °C",
        "Edge height, left edge, waist, after the work: 1.785 mm ± 0.030 mm, depth gauge 2",
        "Camber: no gauge for it",
        "Both edges: base bevel 0.5°, side bevel 3.0°, set",
        "Target Base bevel 0.5°, side bevel 3.0°",
        REMARK,
        "Base thickness: 0.040 mm",
        "Base thickness: by practice 0.020 to 0.120 mm",
    ):
        assert line in shown, line


def test_the_records_of_a_year_are_counted(technician: Client, shop: Actor, ski: str) -> None:
    tuned(shop, a_draft("usage", performed_at="2024-12-30", body={"days": 7}))
    shown = text_of(technician.get(ski))
    assert "2025: 2 records" in shown
    assert "2024: 1 record " in shown


def test_a_correction_shows_what_stands_and_what_was_written_first(
    technician: Client, shop: Actor, ski: str
) -> None:
    (used,) = write(shop, a_draft("usage", body={"days": 12}))
    replacement = {"kind": "usage", "performed_at": "2025-01-30", "body": {"days": 21}}
    body = {"reason": "typing_error", "replacement": replacement}
    write(shop, a_draft("correction", refers_to=[used.record_id], body=body))
    shown = text_of(technician.get(ski))
    assert "30 Jan 2025: days in use" in shown
    assert "Corrected on 31 Jan 2025 by fellbench: typing error." in shown
    assert "Says 21 days out As first written Says 12 days out" in shown
    assert "1 record was corrected by its author." in shown


def test_a_correction_that_was_taken_back_is_told_as_such(
    technician: Client, shop: Actor, ski: str
) -> None:
    (used,) = write(shop, a_draft("usage", body={"days": 12}))
    replacement = {"kind": "usage", "performed_at": "2025-01-30", "body": {"days": 21}}
    body = {"reason": "other", "reason_text": "misread", "replacement": replacement}
    (mended,) = write(shop, a_draft("correction", refers_to=[used.record_id], body=body))
    write(shop, a_draft("retraction", refers_to=[mended.record_id]))
    shown = text_of(technician.get(ski))
    assert "Corrected on 31 Jan 2025 by fellbench, and the correction taken back: misread." in shown
    assert "Says 12 days out" in shown


def test_what_was_taken_back_is_still_there_to_be_read(
    technician: Client, shop: Actor, ski: str
) -> None:
    (job,) = tuned(shop)
    write(shop, a_draft("retraction", refers_to=[job.record_id]))
    shown = text_of(technician.get(ski))
    assert "Taken back on 31 Jan 2025 by fellbench: belongs to another ski." in shown
    assert "What it said Found" in shown
    assert "Nobody ever stated a bevel of this ski." in shown
    assert "Took off" not in shown


def test_a_dispute_stands_beside_the_record(
    technician: Client, shop: Actor, other_shop: Actor, ski: str
) -> None:
    (job,) = tuned(shop)
    first, second = write(
        other_shop,
        a_draft("dispute", refers_to=[job.record_id]),
        a_draft("dispute", refers_to=[job.record_id], body={"reason": "not_found"}),
    )
    write(other_shop, a_draft("retraction", refers_to=[second.record_id]))
    shown = text_of(technician.get(ski))
    assert "Disputed on 31 Jan 2025 by tarnedge: own reading differs." in shown
    assert "1.60 mm at the waist, read twice." in shown
    assert "by tarnedge, and the dispute taken back: not to be found on the ski." in shown
    assert "1 record is disputed." in shown
    assert first.record_id != second.record_id


def test_a_record_is_shown_byte_for_byte(technician: Client, shop: Actor, ski: str) -> None:
    (job,) = tuned(shop)
    kept = Record.objects.get(id=job.record_id)
    page = technician.get(f"{ski}/records/{job.record_id}")
    shown = text_of(page)
    assert bytes(kept.document).decode() in shown
    assert kept.signature in shown
    assert f"Place in the log {kept.log_index} " in shown


def test_a_record_of_another_ski_is_not_shown_here(
    technician: Client, shop: Actor, ski: str
) -> None:
    other = a_ski(shop, tag="FB-0043")
    response = technician.get(f"{ski}/records/{other.record_id}")
    assert response.status_code == 404

"""A row of a workshop's own list becomes the records that say the same."""

from __future__ import annotations

import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from apps.exchange.visit_cells import DateOrder, DecimalMark, Delimiter, TableForm
from apps.exchange.visit_columns import COLUMNS, SECTIONS, Form
from apps.exchange.visit_rows import template
from apps.exchange.visit_table import registration
from apps.records.bench_words import FindingKind, Operation
from tests.exchange.tables import ASKER, HANDLE, USUAL, a_table, bodies, body_of, read

CONTINENTAL = TableForm(DecimalMark.COMMA, DateOrder.DAY_FIRST, Delimiter.SEMICOLON)


def test_a_row_is_a_visit_of_its_day_and_tag() -> None:
    (visit,), faults = read(a_table(tag="fb-0042"))
    assert faults == []
    (job,) = visit.drafts
    assert (job.kind, job.ski.shop, job.ski.tag) == ("job", HANDLE, "FB-0042")
    assert (str(job.performed_at), visit.line, visit.tag_key) == (
        "2025-01-31",
        2,
        f"{HANDLE}/FB-0042",
    )


def test_work_is_steps_in_order() -> None:
    steps = body_of("job", work="Stone_Grind, side_bevel;base_bevel wax")["steps"]
    words = [step["operation"] for step in steps]
    assert words == ["stone_grind", "side_bevel", "base_bevel", "wax"]


@pytest.mark.parametrize("word", [w for w in Operation if w is not Operation.OTHER])
def test_every_operation_may_stand_in_work(word: Operation) -> None:
    assert body_of("job", work=str(word))["steps"] == [{"operation": str(word)}]


def test_what_goes_with_a_step_goes_to_that_step() -> None:
    job = body_of(
        "job",
        work="fill_gouge wax other",
        repair_method="drip",
        wax_class="cold",
        iron_temperature_c="140",
        work_text="brushed by hand",
    )
    assert job["steps"] == [
        {"operation": "fill_gouge", "repair_method": "drip"},
        {"operation": "wax", "wax_class": "cold", "iron_temperature_c": 140},
        {"operation": "other", "operation_text": "brushed by hand"},
    ]


def test_findings_say_what_how_bad_whether_mended_and_where() -> None:
    job = body_of("job", findings="gouge:moderate:repaired:base:waist burr:slight:open:left")
    assert job["findings"] == [
        {
            "what": "gouge",
            "severity": "moderate",
            "state": "repaired",
            "where": {"surface": "base", "station": "waist"},
        },
        {"what": "burr", "severity": "slight", "state": "open", "where": {"edge": "left"}},
    ]


@pytest.mark.parametrize("word", [w for w in FindingKind if w is not FindingKind.OTHER])
def test_every_finding_may_stand_in_findings(word: FindingKind) -> None:
    (finding,) = body_of("job", findings=f"{word}:slight:open")["findings"]
    assert finding["what"] == word


def test_another_finding_is_told_in_words() -> None:
    (finding,) = body_of("job", findings="other:slight:open", finding_text="dents")["findings"]
    assert finding["what_text"] == "dents"


def test_bevels_are_of_both_edges_or_of_one() -> None:
    job = body_of(
        "job",
        base_bevel_deg="0.5",
        side_bevel_deg="2",
        left_side_angle_deg="87",
        bevel_basis="measured",
    )
    assert job["bevel_settings"] == [
        {"edge": "both", "base_bevel_deg": "0.50", "side_bevel_deg": "2.00", "basis": "measured"},
        # 90 - 87 = 3; the angle is stored as bevel (common practice, no source).
        {"edge": "left", "side_bevel_deg": "3.00", "basis": "measured"},
    ]


def test_readings_carry_quantity_edge_moment_and_what_the_row_says_of_them() -> None:
    job = body_of(
        "job",
        left_edge_height_before_mm="1.8",
        right_edge_width_after_mm="2.1",
        base_thickness_mm="1.25",
        measured_at="waist",
        instrument="depth gauge",
        reading_uncertainty_mm="0.02",
    )
    shared = {"station": "waist", "instrument": "depth gauge", "uncertainty": "0.020"}
    assert job["measurements"] == [
        {"quantity": "base_thickness_mm", "value": "1.250", **shared},
        {
            "quantity": "edge_height_mm",
            "value": "1.800",
            "edge": "left",
            "moment": "before",
            **shared,
        },
        {
            "quantity": "edge_width_mm",
            "value": "2.100",
            "edge": "right",
            "moment": "after",
            **shared,
        },
    ]


def test_targets_and_remarks_are_part_of_the_job() -> None:
    job = body_of(
        "job",
        target_base_bevel_deg="0.7",
        structure="cross, medium",
        remarks='said "soft"\nand more',
        technician="t7",
    )
    assert job["target"] == {"base_bevel_deg": "0.70", "structure_text": "cross, medium"}
    assert (job["remarks"], job["technician"]) == ('said "soft"\nand more', "t7")


def test_what_the_ski_is_comes_first_and_days_and_status_after_the_job() -> None:
    (visit,), faults = read(
        a_table(
            length_mm="1710",
            waist_width_mm="68",
            use="piste",
            days_out="12",
            status="retired",
            status_reason="worn_out",
        )
    )
    assert faults == []
    assert bodies(visit) == {
        "description": {"length_mm": 1710, "waist_width_mm": "68.0", "use": "piste"},
        "job": {"steps": [{"operation": "wax"}]},
        "usage": {"days": 12},
        "status": {"status": "retired", "reason": "worn_out"},
    }
    assert [draft.kind for draft in visit.drafts] == ["description", "job", "usage", "status"]
    assert visit.description == visit.drafts[0]


def test_a_row_of_a_list_of_skis_needs_no_work() -> None:
    (visit,), faults = read(a_table(work="", model_text="Arrow 9"))
    assert faults == []
    assert bodies(visit) == {"description": {"model_text": "Arrow 9"}}


def test_a_tag_without_a_description_gets_an_empty_one_of_the_visits_day() -> None:
    (visit,), _ = read(a_table())
    assert visit.description is None
    draft = registration(visit, ASKER)
    assert draft.model_dump(mode="json", exclude_none=True) == {
        "ski": {"shop": HANDLE, "tag": "FB-0042"},
        "performed_at": "2025-01-31",
        "refers_to": [],
        "body": {},
    }


def test_a_tag_of_another_shop_is_named_with_its_shop() -> None:
    visits, faults = read(a_table({"shop": "tarnedge"}, {"shop": "tarnedge@far.example"}))
    assert faults == []
    assert [visit.tag_key for visit in visits] == [
        "tarnedge@node.example/FB-0042",
        "tarnedge@far.example/FB-0042",
    ]


@pytest.mark.parametrize("text", ["=1+1", "+41", "-3", "@SUM(A1)", "'=1", "\t=1"])
def test_a_formula_is_text_and_nothing_else(text: str) -> None:
    assert body_of("job", remarks=text)["remarks"] == text.strip()


def test_the_continental_form_is_read_when_it_is_announced() -> None:
    data = b"date;tag;left_edge_height_mm;length_mm\r\n31.1.2025;fb-1;1,785;1710\r\n"
    (visit,), faults = read(data, CONTINENTAL)
    assert faults == []
    job = bodies(visit)["job"]
    assert (str(visit.drafts[0].performed_at), job["measurements"][0]["value"]) == (
        "2025-01-31",
        "1.785",
    )


@pytest.mark.parametrize("text", ["31.01.2025", "31/01/2025", "31-1-2025"])
def test_day_first_dates_have_any_usual_mark(text: str) -> None:
    form = TableForm(dates=DateOrder.DAY_FIRST)
    (visit,), faults = read(a_table({"date": text}), form)
    assert faults == []
    assert str(visit.drafts[0].performed_at) == "2025-01-31"


@pytest.mark.parametrize(
    "data",
    [
        b"date,tag,work\r\n2025-01-31,FB-1,wax\r\n",
        b"date,tag,work\n2025-01-31,FB-1,wax\n",
        b"date,tag,work\r2025-01-31,FB-1,wax\r",
        b"date,tag,work\r\n2025-01-31,FB-1,wax",
        b"\xef\xbb\xbfdate,tag,work\r\n2025-01-31,FB-1,wax\r\n",
        b" Date ,TAG,work\r\n 2025-01-31 ,FB-1, wax \r\n",
        b"\r\ndate,tag,work\r\n,,\r\n\r\n2025-01-31,FB-1,wax\r\n,,\r\n",
        b"date,tag,work,,\r\n2025-01-31,FB-1,wax,,\r\n",
        b'"date","tag","work"\r\n"2025-01-31","FB-1","wax"\r\n',
    ],
)
def test_what_programs_write_differently_reads_the_same(data: bytes) -> None:
    (visit,), faults = read(data)
    assert faults == []
    assert bodies(visit) == {"job": {"steps": [{"operation": "wax"}]}}


def test_lines_are_counted_as_the_file_has_them() -> None:
    data = b'date,tag,remarks\n2025-01-31,FB-1,"one\ntwo"\n\n2025-02-01,FB-1,three\n'
    visits, _ = read(data)
    assert [visit.line for visit in visits] == [2, 5]


@pytest.mark.parametrize("delimiter", Delimiter)
def test_the_template_has_every_column_and_reads_as_an_empty_table(delimiter: Delimiter) -> None:
    visits, faults = read(template(delimiter), TableForm(delimiter=delimiter))
    assert (visits, faults) == ([], [])
    assert template(delimiter).decode().strip().split(delimiter.character) == list(COLUMNS)


def test_names_of_columns_are_unique_and_say_their_unit() -> None:
    listed = [column.name for columns in SECTIONS.values() for column in columns]
    assert len(listed) == len(set(listed)) == len(COLUMNS)
    bare = {c.name for c in COLUMNS.values() if c.form is Form.DECIMAL}
    assert [name for name in bare if not name.endswith(("_mm", "_deg", "_m"))] == []


@settings(max_examples=40)
@given(text=st.text(min_size=1, max_size=40))
def test_any_text_in_a_cell_is_read_or_refused_by_its_column(text: str) -> None:
    visits, faults = read(a_table(remarks=text))
    assert len(visits) == 1 or {fault.column for fault in faults} <= {"remarks", ""}


@settings(max_examples=60)
@given(data=st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    visits, faults = read(b"date,tag,work\n" + data)
    assert all(visit.drafts for visit in visits)
    assert all(fault.sentence for fault in faults)


def test_a_file_is_read_again_from_its_beginning() -> None:
    file = io.BytesIO(a_table())
    file.read()
    assert len(read(file.getvalue(), USUAL)[0]) == 1

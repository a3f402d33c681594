"""Whatever is wrong with a table is told by row and column, all of it at once."""

from __future__ import annotations

import pytest

from apps.exchange import visit_table
from apps.exchange.visit_cells import CellFault, DateOrder, DecimalMark, Delimiter, TableForm
from apps.exchange.visit_rows import MOST_CELL_CHARACTERS, MOST_LINE_BYTES
from tests.exchange.tables import USUAL, a_table, codes, read

DAY_FIRST = TableForm(dates=DateOrder.DAY_FIRST)
COMMA = TableForm(decimal=DecimalMark.COMMA)


def faults_of(data: bytes, form: TableForm = USUAL) -> list[CellFault]:
    """What is wrong with a table, none of which is read."""
    visits, faults = read(data, form)
    assert visits == []
    return faults


HEADINGS: list[tuple[bytes, TableForm, tuple[int, str, str], str]] = [
    (b"", USUAL, (1, "", "empty-table"), "give it a heading"),
    (b"\r\n,,\r\n", USUAL, (1, "", "empty-table"), "give it a heading"),
    (b"date,tag,wrk\r\n", USUAL, (1, "wrk", "unknown-column"), "did you mean `work`?"),
    (b"date,tag,xyzzy\r\n", USUAL, (1, "xyzzy", "unknown-column"), "the template has those"),
    (b"date,work\r\n", USUAL, (1, "tag", "missing-column"), "`tag` is missing"),
    (b"sep=,\r\ndate,tag\r\n", USUAL, (1, "sep=", "unknown-column"), "take it out"),
    (b"date,tag,Date\r\n", USUAL, (1, "date", "doubled-column"), "stands twice"),
    (
        b"\xff\xfed\x00a\x00t\x00e\x00",
        USUAL,
        (1, "", "not-utf-8"),
        "save the table as CSV in UTF-8",
    ),
    ("date,tag".encode("utf-16-be"), USUAL, (1, "", "not-utf-8"), "UTF-8"),
    ("date,tag,gr\u00f6\u00dfe\r\n".encode("latin-1"), USUAL, (1, "", "not-utf-8"), "UTF-8"),
    (
        b"date;tag;work\r\n",
        USUAL,
        (1, "date;tag;work", "unknown-column"),
        "say that the delimiter is semicolon",
    ),
]


@pytest.mark.parametrize(("data", "form", "place", "mend"), HEADINGS)
def test_a_wrong_heading_is_all_that_is_told(
    data: bytes, form: TableForm, place: tuple[int, str, str], mend: str
) -> None:
    faults = faults_of(data, form)
    assert place in codes(faults)
    assert any(mend in fault.sentence for fault in faults)


CELLS: list[tuple[dict[str, str], TableForm, str, str, str]] = [
    ({"date": ""}, USUAL, "date", "missing", "give it"),
    ({"date": "31.01.2025"}, USUAL, "date", "not-a-date", "say that dates are `day-first`"),
    ({"date": "2025-01-31"}, DAY_FIRST, "date", "not-a-date", "say that dates are `iso`"),
    ({"date": "2025-13-01"}, USUAL, "date", "not-a-date", "no such month: 13"),
    ({"date": "01/13/2025"}, DAY_FIRST, "date", "not-a-date", "no such month: 13"),
    ({"date": "2025-02-30"}, USUAL, "date", "not-a-date", "no day of the calendar"),
    ({"date": "31.01.25"}, DAY_FIRST, "date", "not-a-date", "31.01.2025"),
    ({"date": "2025-03-02"}, USUAL, "date", "wrong-state", "lies in the future"),
    ({"date": "1949-12-31"}, USUAL, "date", "year-out-of-range", "1950"),
    ({"tag": ""}, USUAL, "tag", "empty-tag", "give the one on the label"),
    ({"tag": "FB 42"}, USUAL, "tag", "tag-character", "a blank"),
    ({"shop": "Fell Bench"}, USUAL, "shop", "not-a-handle", "code@node-host"),
    ({"work": "ston_grind"}, USUAL, "work", "unknown-word", "'stone_grind'"),
    ({"work": "other"}, USUAL, "work_text", "text-needed", "say here what it is"),
    ({"work_text": "by hand"}, USUAL, "work_text", "does-not-belong", "Leave it empty"),
    ({"work": "brush", "wax_class": "cold"}, USUAL, "wax_class", "does-not-belong", "with `wax`"),
    ({"iron_temperature_c": "12.5"}, USUAL, "iron_temperature_c", "not-an-integer", "digits"),
    ({"iron_temperature_c": "300"}, USUAL, "iron_temperature_c", "out-of-range", "220"),
    ({"findings": "gouge"}, USUAL, "findings", "not-a-finding", "what:severity:state"),
    ({"findings": "gouge:bad:open"}, USUAL, "findings", "unknown-word", "'severe'"),
    ({"findings": "gouge:slight:open:heel"}, USUAL, "findings", "not-a-place", "is no place"),
    (
        {"findings": "burr:slight:open:left:right"},
        USUAL,
        "findings",
        "not-a-place",
        "names a place twice",
    ),
    ({"finding_text": "dents"}, USUAL, "finding_text", "does-not-belong", "Leave it empty"),
    ({"side_bevel_deg": "45"}, USUAL, "side_bevel_deg", "out-of-range", "88"),
    ({"side_bevel_deg": "2 deg"}, USUAL, "side_bevel_deg", "not-a-decimal", "without a unit"),
    ({"side_bevel_deg": "=1+1"}, USUAL, "side_bevel_deg", "not-a-decimal", "no number"),
    ({"side_bevel_deg": "2,5"}, USUAL, "side_bevel_deg", "other-decimal-mark", "is a comma"),
    ({"side_bevel_deg": "2.5"}, COMMA, "side_bevel_deg", "other-decimal-mark", "is a point"),
    ({"side_bevel_deg": "1.234,5"}, COMMA, "side_bevel_deg", "not-a-decimal", "both a point"),
    ({"side_bevel_deg": "1,234.5"}, USUAL, "side_bevel_deg", "not-a-decimal", "both a point"),
    ({"bevel_basis": "set"}, USUAL, "bevel_basis", "does-not-belong", "add the rest"),
    (
        {"side_bevel_deg": "2", "side_angle_deg": "87"},
        USUAL,
        "side_angle_deg",
        "bevel-and-angle-disagree",
        "one of the two",
    ),
    ({"left_edge_height_mm": "1.7855"}, USUAL, "left_edge_height_mm", "finer-than-step", "0.001"),
    ({"instrument": "gauge"}, USUAL, "instrument", "does-not-belong", "Leave it empty"),
    (
        {"left_edge_height_mm": "1.8", "measured_at": "heel"},
        USUAL,
        "measured_at",
        "unknown-word",
        "'waist'",
    ),
    ({"target_base_bevel_deg": "9"}, USUAL, "target_base_bevel_deg", "out-of-range", "5.00"),
    ({"technician": "Ann Other"}, USUAL, "technician", "not-an-alias", "alias"),
    ({"remarks": "x" * 2001}, USUAL, "remarks", "too-long", "2000"),
    ({"remarks": "a\u202eb"}, USUAL, "remarks", "refused-character", "Take out"),
    ({"days_out": "-1"}, USUAL, "days_out", "out-of-range", "at least 0"),
    ({"status": "retired"}, USUAL, "", "reason-needed", "Say why"),
    ({"status_reason": "worn_out"}, USUAL, "status_reason", "does-not-belong", "Leave it empty"),
    ({"model_year": "1929"}, USUAL, "model_year", "out-of-range", "1930"),
    ({"use": "carving"}, USUAL, "use", "unknown-word", "'piste'"),
    ({"shop": "tarnedge", "days_out": "3"}, USUAL, "days_out", "not-allowed", "Only tarnedge@"),
    ({"shop": "tarnedge", "status": "sold"}, USUAL, "status", "not-allowed", "Only tarnedge@"),
    ({"work": ""}, USUAL, "", "nothing-given", "fill in another cell"),
]


@pytest.mark.parametrize(("cells", "form", "column", "code", "mend"), CELLS)
def test_a_wrong_cell_is_named(
    cells: dict[str, str], form: TableForm, column: str, code: str, mend: str
) -> None:
    day = {"date": "31.01.2025"} if form is DAY_FIRST else {}
    (fault,) = faults_of(a_table({**day, **cells}), form)
    assert (fault.line, fault.column, fault.code) == (2, column, code)
    assert mend in fault.sentence


def test_all_that_is_wrong_is_told_at_once_and_what_is_well_is_read() -> None:
    rows = a_table({"date": "2025-13-01", "side_bevel_deg": "45"}, {}, {"tag": "", "days_out": "x"})
    visits, faults = read(rows)
    assert [visit.line for visit in visits] == [3]
    assert sorted(codes(faults)) == [
        (2, "date", "not-a-date"),
        (2, "side_bevel_deg", "out-of-range"),
        (4, "days_out", "not-an-integer"),
        (4, "tag", "empty-tag"),
    ]


BROKEN: list[tuple[bytes, tuple[int, str, str]]] = [
    (b'2025-01-31,FB-1,"wax\r\n2025-02-01,FB-1,wax\r\n', (2, "", "wrong-quotes")),
    (b'2025-01-31,FB-1,"wax" x\r\n', (2, "", "wrong-quotes")),
    (b"2025-01-31,FB-1,wax\r\n2025-02-01,FB", (3, "", "wrong-number-of-cells")),
    (b"2025-01-31,FB-1,wax,more\r\n", (2, "", "wrong-number-of-cells")),
    (b"2025-01-31,FB-1,wax\r\n2025-02-01,FB-1,\xfc\r\n", (3, "", "not-utf-8")),
    (b"2025-01-31,FB-1,wa\x00x\r\n", (2, "", "not-utf-8")),
    (b'2025-01-31,FB-1,"' + b"x" * 200_000 + b'"\r\n', (2, "", "cell-too-long")),
    (b"2025-01-31,FB-1," + b"x" * (MOST_CELL_CHARACTERS + 1), (2, "", "cell-too-long")),
    (b"2025-01-31,FB-1," + b"x" * MOST_LINE_BYTES, (2, "", "cell-too-long")),
]


@pytest.mark.parametrize(("data", "place"), BROKEN)
def test_a_broken_file_is_told_by_the_line_where_it_breaks(
    data: bytes, place: tuple[int, str, str]
) -> None:
    _, faults = read(b"date,tag,work\r\n" + data)
    assert codes(faults) == [place]


def test_a_filled_cell_without_a_column_is_told() -> None:
    _, faults = read(b"date,tag,work,\r\n2025-01-31,FB-1,wax,lost\r\n")
    assert codes(faults) == [(2, "", "unnamed-column")]
    assert "column 4" in faults[0].sentence


def test_many_faults_are_counted_and_the_first_are_kept() -> None:
    faults = visit_table.Faults()
    for line in range(1000):
        faults.add(CellFault(line, "", "wrong", "Mend it."))
    assert (faults.count, len(faults.kept)) == (1000, visit_table.MOST_FAULTS)


@pytest.mark.parametrize("delimiter", Delimiter)
def test_another_delimiter_than_announced_is_recognised(delimiter: Delimiter) -> None:
    for announced in Delimiter:
        if announced is not delimiter:
            data = delimiter.character.join(["date", "tag", "work"]).encode() + b"\n"
            _, faults = read(data, TableForm(delimiter=announced))
            assert any(f"delimiter is {delimiter}" in fault.sentence for fault in faults)

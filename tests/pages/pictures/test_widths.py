"""Widths out of records: what was measured last counts before what a description states."""

from __future__ import annotations

from typing import Any, cast

from apps.pages.pictures import SkiShape, WidthRow, ski_shape_of
from apps.records.envelope import Record
from apps.records.examples import example_record
from apps.records.folding import Folded, fold
from apps.records.reading import read_document
from apps.registry.descriptions import described

BODY = {
    "length_mm": 1700,
    "shovel_width_mm": "122.0",
    "waist_width_mm": "68.0",
    "tail_width_mm": "104.0",
    "chord_mm": 1430,
}
ROW = {
    "quantity": "width_profile",
    "profile": [
        {"position_mm": 150, "width_mm": "104.0"},
        {"position_mm": 750, "width_mm": "68.0"},
        {"position_mm": 1480, "width_mm": "122.0"},
    ],
}


def effective(*bodies: tuple[str, dict[str, Any]]) -> tuple[Folded, ...]:
    records = [
        (
            f"{number:064x}",
            cast("Record", read_document({**example_record(kind), "kind": kind, "body": body})),
            number,
        )
        for number, (kind, body) in enumerate(bodies)
    ]
    return fold(records).effective


def shape(*bodies: tuple[str, dict[str, Any]]) -> SkiShape:
    records = effective(*bodies)
    return ski_shape_of(described(records), records)


def test_a_description_gives_what_it_says() -> None:
    assert shape(("description", BODY)) == SkiShape(1700.0, 122.0, 68.0, 104.0, 1430.0)


def test_nothing_said_is_nothing_known() -> None:
    assert shape() == SkiShape()


def test_a_width_that_was_measured_counts_before_one_that_was_stated() -> None:
    waist = {"quantity": "width_mm", "value": "68.4", "station": "waist"}
    found = shape(("description", BODY), ("measurement", waist))
    assert (found.waist_mm, found.shovel_mm) == (68.4, 122.0)


def test_a_row_of_widths_places_them() -> None:
    found = shape(("description", BODY), ("measurement", ROW))
    assert found.row == WidthRow((150.0, 750.0, 1480.0), (104.0, 68.0, 122.0))
    assert (found.basis, found.is_placed) == ("measured", True)

"""The columns of a table of visits: one row a visit, as a workshop's own list has them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType
from typing import Any, get_args

from pydantic import StrictInt

from apps.records.description import DescriptionBody
from apps.records.job import Target
from apps.records.keeping import StatusBody, UsageBody
from apps.records.quantities import Quantity
from apps.records.vocabulary import Edge, Edges, Moment
from apps.records.words import Word


class Form(StrEnum):
    """How a cell is written."""

    DATE = "date"
    DECIMAL = "decimal"
    WHOLE = "whole number"
    WORD = "word"
    WORDS = "words"
    FINDINGS = "findings"
    TEXT = "text"


@dataclass(frozen=True, slots=True)
class Column:
    """One column of the table.

    Parameters
    ----------
    name : str
        As it stands in the heading; the unit is part of it.
    form : Form
        How its cells are written.
    meaning : str
        For the people who fill it in.
    required : bool
        Whether every row needs it, so that the heading must have it.
    """

    name: str
    form: Form
    meaning: str
    required: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """What a column of readings holds: quantity, edge and moment; "" where it has none."""

    quantity: Quantity
    edge: str
    moment: str


@dataclass(frozen=True, slots=True)
class Bevel:
    """What a column of bevels holds: the edge and the field of a bevel setting."""

    edge: str
    field: str


VISIT = (
    Column("date", Form.DATE, "Day of the visit.", required=True),
    Column("tag", Form.TEXT, "Tag of the ski, as on its label.", required=True),
    Column("shop", Form.TEXT, "The shop whose tag it is; empty for an own tag."),
    Column("technician", Form.TEXT, "Alias of the technician, up to 32 characters; never a name."),
    Column("remarks", Form.TEXT, "Remarks on the visit, up to 2000 characters; no names."),
)

WORK = (
    Column("work", Form.WORDS, "What was done, in order: words of the list `operation`."),
    Column("work_text", Form.TEXT, "What the word `other` in `work` stands for."),
    Column("wax_class", Form.WORD, "Kind of wax; with `wax` in `work` only."),
    Column("wax_class_text", Form.TEXT, "What `other` in `wax_class` stands for."),
    Column("iron_temperature_c", Form.WHOLE, "Temperature of the iron [°C]; with `wax` only."),
    Column(
        "repair_method",
        Form.WORD,
        "How base was filled in; with `fill_gouge` or `patch_base` in `work` only.",
    ),
    Column("repair_method_text", Form.TEXT, "What `other` in `repair_method` stands for."),
)

FOUND = (
    Column(
        "findings",
        Form.FINDINGS,
        "What was found: `what:severity:state`, and where it was in one more word or two: "
        "`gouge:moderate:repaired:base:waist`.",
    ),
    Column("finding_text", Form.TEXT, "What the word `other` in `findings` stands for."),
)


def _field_form(annotation: Any) -> Form:
    """Give the form of a cell from the type of the field that it fills."""
    if isinstance(annotation, type) and issubclass(annotation, Word):
        return Form.WORD
    if annotation in (Decimal, int, StrictInt):
        return Form.DECIMAL if annotation is Decimal else Form.WHOLE
    found = (_field_form(part) for part in get_args(annotation))
    return next((form for form in found if form is not Form.TEXT), Form.TEXT)


def _of_field(model: type[Any], field: str, name: str = "") -> Column:
    info = model.model_fields[field]
    return Column(name or field, _field_form(info.annotation), str(info.description))


_SIDES = {"": Edges.BOTH, "left_": Edges.LEFT, "right_": Edges.RIGHT}
_BEVELS = {
    "base_bevel_deg": "Base bevel [deg], away from the base plane",
    "side_bevel_deg": "Side bevel [deg], from square",
    "side_angle_deg": "Side edge as an angle [deg]: 88 is a bevel of 2",
}
BEVELS: Mapping[str, Bevel] = MappingProxyType(
    {
        f"{side}{field}": Bevel(str(edge), field)
        for side, edge in _SIDES.items()
        for field in _BEVELS
    }
)


def _bevel_column(name: str, bevel: Bevel) -> Column:
    edges = "both edges" if bevel.edge == Edges.BOTH else f"the {bevel.edge} edge"
    return Column(name, Form.DECIMAL, f"{_BEVELS[bevel.field]}; {edges}.")


def _readings() -> Iterator[tuple[str, Reading]]:
    for moment in ("", Moment.BEFORE, Moment.AFTER):
        when = f"_{moment}" if moment else ""
        for stem, quantity in (
            ("edge_height", Quantity.EDGE_HEIGHT_MM),
            ("edge_width", Quantity.EDGE_WIDTH_MM),
        ):
            for edge in Edge:
                yield f"{edge}_{stem}{when}_mm", Reading(quantity, str(edge), str(moment))
        yield (
            f"base_thickness{when}_mm",
            Reading(Quantity.BASE_THICKNESS_MM, "", str(moment)),
        )


READINGS: Mapping[str, Reading] = MappingProxyType(dict(_readings()))


_QUANTITIES = {
    Quantity.EDGE_HEIGHT_MM: "Height of the steel, seen from the side face [mm]",
    Quantity.EDGE_WIDTH_MM: "Width of the steel, seen from the base [mm]",
    Quantity.BASE_THICKNESS_MM: "Thickness of the base [mm]",
}
_MOMENTS = {"": "", "before": ", before the work", "after": ", after the work"}


def _reading_column(name: str, reading: Reading) -> Column:
    edge = f", {reading.edge} edge" if reading.edge else ""
    meaning = f"{_QUANTITIES[reading.quantity]}{edge}{_MOMENTS[reading.moment]}."
    return Column(name, Form.DECIMAL, meaning)


TARGETS: Mapping[str, str] = MappingProxyType(
    {
        "target_base_bevel_deg": "base_bevel_deg",
        "target_side_bevel_deg": "side_bevel_deg",
        "structure": "structure_text",
    }
)
STATUS: Mapping[str, str] = MappingProxyType(
    {"status": "status", "status_reason": "reason", "status_reason_text": "reason_text"}
)
WAX = ("wax_class", "wax_class_text", "iron_temperature_c")
REPAIR = ("repair_method", "repair_method_text")
DESCRIPTION = tuple(DescriptionBody.model_fields)

SECTIONS: Mapping[str, tuple[Column, ...]] = MappingProxyType(
    {
        "The visit": VISIT,
        "The work": WORK,
        "What was found": FOUND,
        "Bevels": (
            *(_bevel_column(name, bevel) for name, bevel in BEVELS.items()),
            Column("bevel_basis", Form.WORD, "`set`, `measured` or `specified`; `set` if empty."),
        ),
        "Readings": (
            *(_reading_column(name, reading) for name, reading in READINGS.items()),
            Column("measured_at", Form.WORD, "The place along the ski of the row's readings."),
            Column("instrument", Form.TEXT, "The gauge that the row's readings are from."),
            Column(
                "reading_uncertainty_mm",
                Form.DECIMAL,
                "Expanded uncertainty (k = 2) of each of the row's readings [mm].",
            ),
        ),
        "What was asked for": tuple(
            _of_field(Target, field, name) for name, field in TARGETS.items()
        ),
        "How the ski is kept": (
            _of_field(UsageBody, "days", "days_out"),
            *(_of_field(StatusBody, field, name) for name, field in STATUS.items()),
        ),
        "What the ski is": tuple(_of_field(DescriptionBody, field) for field in DESCRIPTION),
    }
)
COLUMNS: Mapping[str, Column] = MappingProxyType(
    {column.name: column for columns in SECTIONS.values() for column in columns}
)

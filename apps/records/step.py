"""One step of the work on a ski."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from pydantic import Field

from apps.records.bench_words import Operation
from apps.records.model import Broken, RecordModel
from apps.records.place import Place
from apps.records.primitives import (
    BaseRemoved,
    Day,
    GrooveWidth,
    HeightRemoved,
    IronTemperature,
    Label,
    Passes,
    WidthRemoved,
)
from apps.records.vocabulary import (
    BaseColour,
    Edges,
    InspectedAs,
    Outcome,
    RepairMethod,
    WaxClass,
)

FILLING = frozenset({Operation.FILL_GOUGE, Operation.PATCH_BASE})


class Inspection(RecordModel):
    """A binding inspection as a bare result; a setting value has no place in a record."""

    procedure_text: Label = Field(
        description="Procedure and edition followed.",
        json_schema_extra={"x-source": "ISO 11088:2023, ISO 13993:2019"},
    )
    device_text: Label | None = Field(
        default=None,
        description="The test device.",
        json_schema_extra={"x-source": "ISO 11110"},
    )
    device_calibrated_on: Day | None = Field(
        default=None,
        description="Day of the device's last calibration, YYYY-MM-DD, 1950 to 2100.",
        json_schema_extra={"x-source": "ISO 11110, RFC 3339"},
    )
    inspected_as: InspectedAs = Field(description="The rule book by which it was inspected.")
    inspected_as_text: Label | None = Field(
        default=None, description="The rule book, when it is `other`."
    )
    outcome: Outcome = Field(description="What the inspection came to.")


class Step(RecordModel):
    """One operation, with tool and grit, what it took off, and the facts of its kind."""

    operation: Operation = Field(description="What was done.")
    operation_text: Label | None = Field(
        default=None, description="The operation, when it is `other`."
    )
    edge: Edges | None = Field(
        default=None, description="The edge worked; absent for both, or for work on no edge."
    )
    place: Place | None = Field(
        default=None, description="Where it was done; absent for the whole length."
    )
    tool_text: Label | None = Field(default=None, description="Tool or machine.")
    grit_text: Label | None = Field(default=None, description="Grit, cut or stone dressing.")
    passes: Passes | None = Field(default=None, description="Number of passes, 1 to 200.")
    base_removed_mm: BaseRemoved | None = Field(
        default=None, description="Base taken off [mm], 0.000 to 2.000."
    )
    edge_height_removed_mm: HeightRemoved | None = Field(
        default=None, description="Steel taken off the edge height [mm], 0.000 to 2.000."
    )
    edge_width_removed_mm: WidthRemoved | None = Field(
        default=None, description="Steel taken off the edge width [mm], 0.000 to 3.000."
    )
    wax_class: WaxClass | None = Field(default=None, description="Kind of wax; for `wax` only.")
    wax_class_text: Label | None = Field(default=None, description="The wax, when it is `other`.")
    iron_temperature_c: IronTemperature | None = Field(
        default=None,
        description="Temperature of the iron [°C], 60 to 220; for `wax` only. Practice is 110 to "
        "150 as the wax label says.",
    )
    repair_method: RepairMethod | None = Field(
        default=None, description="How base was filled in; for `fill_gouge` and `patch_base` only."
    )
    repair_method_text: Label | None = Field(
        default=None, description="The method, when it is `other`."
    )
    repair_colour: BaseColour | None = Field(
        default=None,
        description="Colour of the filling; for `fill_gouge` and `patch_base` only.",
    )
    repair_colour_text: Label | None = Field(
        default=None, description="The colour, when it is `other`."
    )
    groove_width_mm: GrooveWidth | None = Field(
        default=None,
        description="Width of the groove cut [mm], 0.0 to 20.0; for `recut_groove` only.",
    )
    inspection: Inspection | None = Field(
        default=None, description="The bare result; for `inspect_binding` only."
    )

    def broken_rules(self) -> Iterator[Broken]:
        """Facts of one kind of work stand with that work only."""
        yield from super().broken_rules()
        operation = self.operation
        for fits, names, why in (
            (
                operation is Operation.WAX,
                ("wax_class", "iron_temperature_c"),
                "This goes with `wax` only",
            ),
            (
                operation in FILLING,
                ("repair_method", "repair_colour"),
                "This goes with `fill_gouge` and `patch_base` only",
            ),
            (
                operation is Operation.RECUT_GROOVE,
                ("groove_width_mm",),
                "This goes with `recut_groove` only",
            ),
            (
                operation is Operation.INSPECT_BINDING,
                ("inspection",),
                "This goes with `inspect_binding` only",
            ),
        ):
            yield from self.only_with(names, why, fits=fits)


class StepDraft(Step):
    """A step, as a request may send it: decimals as numbers or strings."""

    is_draft: ClassVar[bool] = True

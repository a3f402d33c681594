"""One visit of a ski to the bench."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, ClassVar

from pydantic import Field

from apps.records.bevel_setting import BevelSettingBody, BevelSettingBodyDraft
from apps.records.finding import Finding, FindingDraft
from apps.records.measurement import MeasurementBody, MeasurementBodyDraft
from apps.records.model import FILLED, LIST_LENGTH, Broken, RecordModel, is_empty
from apps.records.primitives import (
    Alias,
    BaseBevel,
    FlatnessTolerance,
    Label,
    Remarks,
    SideBevel,
)
from apps.records.step import Step, StepDraft


class Target(RecordModel):
    """What the tune was to reach; at least one field."""

    base_bevel_deg: BaseBevel | None = Field(
        default=None, description="Base bevel asked for [deg], 0.00 to 5.00."
    )
    side_bevel_deg: SideBevel | None = Field(
        default=None, description="Side bevel asked for [deg], 0.00 to 10.00."
    )
    flatness_tolerance_mm: FlatnessTolerance | None = Field(
        default=None,
        description="Greatest gap allowed under the true bar [mm], 0.000 to 5.000.",
        json_schema_extra={"x-source": "ISO 1101, ISO 12780-1 (straightness)"},
    )
    structure_text: Label | None = Field(default=None, description="Ground pattern asked for.")

    def broken_rules(self) -> Iterator[Broken]:
        """A target asks for something."""
        yield from super().broken_rules()
        yield from self.needs_one_of(*type(self).model_fields)


class TargetDraft(Target):
    """The target of a tune, as a request may send it: decimals as numbers or strings."""

    is_draft: ClassVar[bool] = True


Findings = Annotated[tuple[Finding, ...], Field(max_length=LIST_LENGTH), FILLED]
Steps = Annotated[tuple[Step, ...], Field(max_length=LIST_LENGTH), FILLED]
Measurements = Annotated[tuple[MeasurementBody, ...], Field(max_length=LIST_LENGTH), FILLED]
BevelSettings = Annotated[tuple[BevelSettingBody, ...], Field(max_length=LIST_LENGTH), FILLED]
FindingsDraft = Annotated[tuple[FindingDraft, ...], Field(max_length=LIST_LENGTH), FILLED]
StepsDraft = Annotated[tuple[StepDraft, ...], Field(max_length=LIST_LENGTH), FILLED]
MeasurementsDraft = Annotated[
    tuple[MeasurementBodyDraft, ...], Field(max_length=LIST_LENGTH), FILLED
]
BevelSettingsDraft = Annotated[
    tuple[BevelSettingBodyDraft, ...], Field(max_length=LIST_LENGTH), FILLED
]


class JobBody(RecordModel):
    """One visit to the bench: found, done, measured, set, and what it was to reach."""

    findings: Findings = Field(
        default=(),
        exclude_if=is_empty,
        description="What was found, up to 60; left out when empty.",
    )
    steps: Steps = Field(
        default=(),
        exclude_if=is_empty,
        description="What was done, in order, up to 60; left out when empty.",
    )
    measurements: Measurements = Field(
        default=(),
        exclude_if=is_empty,
        description="What was measured, up to 60; left out when empty.",
    )
    bevel_settings: BevelSettings = Field(
        default=(),
        exclude_if=is_empty,
        description="Bevels set, measured or specified, up to 60; left out when empty.",
    )
    target: Target | None = Field(default=None, description="What the tune was to reach.")
    technician: Alias | None = Field(
        default=None,
        description="Alias of the technician, up to 32 characters: an alias, never a name; the "
        "shop alone keeps the key to it.",
    )
    remarks: Remarks | None = Field(
        default=None, description="Remarks on the visit, up to 2000 characters; no names."
    )

    def broken_rules(self) -> Iterator[Broken]:
        """A job says something."""
        yield from super().broken_rules()
        yield from self.needs_one_of(
            "findings", "steps", "measurements", "bevel_settings", "target", "remarks"
        )


class JobBodyDraft(JobBody):
    """One visit to the bench, as a request may send it."""

    is_draft: ClassVar[bool] = True

    findings: FindingsDraft = Field(
        default=(),
        exclude_if=is_empty,
        description="What was found, up to 60; left out when empty.",
    )
    steps: StepsDraft = Field(
        default=(),
        exclude_if=is_empty,
        description="What was done, in order, up to 60; left out when empty.",
    )
    measurements: MeasurementsDraft = Field(
        default=(),
        exclude_if=is_empty,
        description="What was measured, up to 60; left out when empty.",
    )
    bevel_settings: BevelSettingsDraft = Field(
        default=(),
        exclude_if=is_empty,
        description="Bevels set, measured or specified, up to 60; left out when empty.",
    )
    target: TargetDraft | None = Field(default=None, description="What the tune was to reach.")

"""What was found on a ski."""

from __future__ import annotations

from typing import ClassVar

from pydantic import Field

from apps.records.bench_words import FindingKind
from apps.records.model import RecordModel
from apps.records.place import Place
from apps.records.primitives import (
    FindingDepth,
    FindingIndex,
    FindingWidth,
    Label,
    RecordId,
    Remarks,
)
from apps.records.vocabulary import FindingState, Severity


class FindingReference(RecordModel):
    """One finding of an earlier job."""

    record: RecordId = Field(
        description="Id of the job that holds the finding.",
        json_schema_extra={"x-source": "RFC 8785, FIPS 180-4 (SHA-256)"},
    )
    index: FindingIndex = Field(
        description="Place of the finding in that job's list, counted from 0, up to 59."
    )


class Finding(RecordModel):
    """What was found, where, how bad, and whether it was left open."""

    what: FindingKind = Field(description="What was found.")
    what_text: Label | None = Field(default=None, description="The finding, when it is `other`.")
    where: Place | None = Field(default=None, description="Where on the ski.")
    severity: Severity = Field(description="How bad it is.")
    state: FindingState = Field(description="Mended in this visit or left open.")
    depth_mm: FindingDepth | None = Field(
        default=None, description="Greatest depth [mm], 0.00 to 100.00."
    )
    width_mm: FindingWidth | None = Field(
        default=None, description="Greatest width across the ski [mm], 0.0 to 250.0."
    )
    closes: FindingReference | None = Field(
        default=None, description="The earlier finding that this one brings to an end."
    )
    remarks: Remarks | None = Field(
        default=None, description="Remarks on the finding, up to 2000 characters; no names."
    )


class FindingDraft(Finding):
    """A finding, as a request may send it: decimals as numbers or strings."""

    is_draft: ClassVar[bool] = True

"""Records about another record: corrections, retractions, disputes, erasures; and their drafts."""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import ConfigDict, Field

from apps.records.amendment import (
    CorrectionBody,
    CorrectionBodyDraft,
    DisputeBody,
    ErasureBody,
    RetractionBody,
)
from apps.records.examples import draft_example, record_example
from apps.records.frame import (
    ByNode,
    DraftByNode,
    DraftEnvelope,
    Envelope,
    Referring,
    ShopDraft,
    ShopEnvelope,
)


class CorrectionRecord(ShopEnvelope, Referring):
    """One correction of one record, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("correction"))

    kind: Literal["correction"] = Field(description="Kind of the record.")
    body: CorrectionBody = Field(description="What the record says.")


class RetractionRecord(ShopEnvelope, Referring):
    """One retraction of one record, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("retraction"))

    kind: Literal["retraction"] = Field(description="Kind of the record.")
    body: RetractionBody = Field(description="What the record says.")


class DisputeRecord(ShopEnvelope, Referring):
    """One shop's doubt about one record, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("dispute"))

    kind: Literal["dispute"] = Field(description="Kind of the record.")
    body: DisputeBody = Field(description="What the record says.")


class ErasureRecord(ByNode, Envelope, Referring):
    """What stands in the log for the bytes of one record that its node erased, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("erasure"))

    kind: Literal["erasure"] = Field(description="Kind of the record.")
    body: ErasureBody = Field(description="What the record says.")


class CorrectionDraft(ShopDraft, Referring):
    """One correction of one record, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("correction"))

    kind: ClassVar[str] = "correction"

    body: CorrectionBodyDraft = Field(description="What the record says.")


class RetractionDraft(ShopDraft, Referring):
    """One retraction of one record, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("retraction"))

    kind: ClassVar[str] = "retraction"

    body: RetractionBody = Field(description="What the record says.")


class DisputeDraft(ShopDraft, Referring):
    """One doubt about one record, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("dispute"))

    kind: ClassVar[str] = "dispute"

    body: DisputeBody = Field(description="What the record says.")


class ErasureDraft(DraftByNode, DraftEnvelope, Referring):
    """One erasure of a record's bytes, as the node makes it."""

    model_config = ConfigDict(json_schema_extra=draft_example("erasure"))

    kind: ClassVar[str] = "erasure"

    body: ErasureBody = Field(description="What the record says.")

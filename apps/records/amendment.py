"""How a record is mended, taken back, doubted or erased: nothing is edited, nothing is hidden."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from apps.records.bevel_setting import BevelSettingBody, BevelSettingBodyDraft
from apps.records.description import DescriptionBody, DescriptionBodyDraft
from apps.records.exchange_words import DisputeReason, ErasureReason
from apps.records.job import JobBody, JobBodyDraft
from apps.records.keeping import PairBody, PairBodyDraft, StatusBody, UsageBody
from apps.records.measurement import MeasurementBody, MeasurementBodyDraft
from apps.records.model import RecordModel
from apps.records.moments import PerformedAt
from apps.records.primitives import Label, Remarks
from apps.records.vocabulary import CorrectionReason, RetractionReason


class Replacement(RecordModel):
    """What stands in place of the corrected record; one class for each kind."""

    performed_at: PerformedAt = Field(
        description="When it was done: a date, or a date-time with offset, 1950 to 2100.",
        json_schema_extra={"x-source": "RFC 3339"},
    )


class DescriptionReplacement(Replacement):
    """The description that stands in place of the corrected record."""

    kind: Literal["description"] = Field(description="Kind of the replacement.")
    body: DescriptionBody = Field(description="Content of the replacement.")


class JobReplacement(Replacement):
    """The job that stands in place of the corrected record."""

    kind: Literal["job"] = Field(description="Kind of the replacement.")
    body: JobBody = Field(description="Content of the replacement.")


class MeasurementReplacement(Replacement):
    """The measurement that stands in place of the corrected record."""

    kind: Literal["measurement"] = Field(description="Kind of the replacement.")
    body: MeasurementBody = Field(description="Content of the replacement.")


class BevelSettingReplacement(Replacement):
    """The bevel setting that stands in place of the corrected record."""

    kind: Literal["bevel-setting"] = Field(description="Kind of the replacement.")
    body: BevelSettingBody = Field(description="Content of the replacement.")


class UsageReplacement(Replacement):
    """The usage record that stands in place of the corrected record."""

    kind: Literal["usage"] = Field(description="Kind of the replacement.")
    body: UsageBody = Field(description="Content of the replacement.")


class StatusReplacement(Replacement):
    """The status record that stands in place of the corrected record."""

    kind: Literal["status"] = Field(description="Kind of the replacement.")
    body: StatusBody = Field(description="Content of the replacement.")


class PairReplacement(Replacement):
    """The pair record that stands in place of the corrected record."""

    kind: Literal["pair"] = Field(description="Kind of the replacement.")
    body: PairBody = Field(description="Content of the replacement.")


class DescriptionReplacementDraft(DescriptionReplacement):
    """The description that is to stand in place, as a request may send it."""

    is_draft: ClassVar[bool] = True

    body: DescriptionBodyDraft = Field(description="Content of the replacement.")


class JobReplacementDraft(JobReplacement):
    """The job that is to stand in place, as a request may send it."""

    is_draft: ClassVar[bool] = True

    body: JobBodyDraft = Field(description="Content of the replacement.")


class MeasurementReplacementDraft(MeasurementReplacement):
    """The measurement that is to stand in place, as a request may send it."""

    is_draft: ClassVar[bool] = True

    body: MeasurementBodyDraft = Field(description="Content of the replacement.")


class BevelSettingReplacementDraft(BevelSettingReplacement):
    """The bevel setting that is to stand in place, as a request may send it."""

    is_draft: ClassVar[bool] = True

    body: BevelSettingBodyDraft = Field(description="Content of the replacement.")


class UsageReplacementDraft(UsageReplacement):
    """The usage record that is to stand in place, as a request may send it."""

    is_draft: ClassVar[bool] = True


class StatusReplacementDraft(StatusReplacement):
    """The status record that is to stand in place, as a request may send it."""

    is_draft: ClassVar[bool] = True


class PairReplacementDraft(PairReplacement):
    """The pair record that is to stand in place, as a request may send it."""

    is_draft: ClassVar[bool] = True

    body: PairBodyDraft = Field(description="Content of the replacement.")


AnyReplacement = Annotated[
    DescriptionReplacement
    | JobReplacement
    | MeasurementReplacement
    | BevelSettingReplacement
    | UsageReplacement
    | StatusReplacement
    | PairReplacement,
    Field(discriminator="kind"),
]
AnyReplacementDraft = Annotated[
    DescriptionReplacementDraft
    | JobReplacementDraft
    | MeasurementReplacementDraft
    | BevelSettingReplacementDraft
    | UsageReplacementDraft
    | StatusReplacementDraft
    | PairReplacementDraft,
    Field(discriminator="kind"),
]


class CorrectionBody(RecordModel):
    """Why a record is replaced, and by what."""

    reason: CorrectionReason = Field(description="Why the record is replaced.")
    reason_text: Label | None = Field(default=None, description="The reason, when it is `other`.")
    replacement: AnyReplacement = Field(
        description="What stands in place of the corrected record, whole."
    )


class CorrectionBodyDraft(CorrectionBody):
    """A correction, as a request may send it."""

    is_draft: ClassVar[bool] = True

    replacement: AnyReplacementDraft = Field(
        description="What is to stand in place of the corrected record, whole."
    )


class RetractionBody(RecordModel):
    """Why a record is taken back."""

    reason: RetractionReason = Field(description="Why the record is taken back.")
    reason_text: Label | None = Field(default=None, description="The reason, when it is `other`.")


class DisputeBody(RecordModel):
    """Why a shop doubts a record of any author; the record stands as before."""

    reason: DisputeReason = Field(description="Why the shop doubts the record.")
    reason_text: Label | None = Field(default=None, description="The reason, when it is `other`.")
    remarks: Remarks | None = Field(
        default=None, description="What the shop found instead, up to 2000 characters; no names."
    )


class ErasureBody(RecordModel):
    """Why the node erased the bytes of a record; its id and place in the log stay."""

    reason: ErasureReason = Field(description="Why the bytes were erased.")
    reason_text: Label | None = Field(default=None, description="The reason, when it is `other`.")

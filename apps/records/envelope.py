"""The envelope of a record, one class for each kind, and the draft that a client sends."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, ConfigDict, Field
from pydantic.config import JsonDict

from apps.records.amendment import CorrectionBody, CorrectionBodyDraft, RetractionBody
from apps.records.bevel_setting import BevelSettingBody, BevelSettingBodyDraft
from apps.records.description import DescriptionBody, DescriptionBodyDraft
from apps.records.examples import draft_example, record_example
from apps.records.forms import fault
from apps.records.job import JobBody, JobBodyDraft
from apps.records.keeping import PairBody, PairBodyDraft, StatusBody, UsageBody
from apps.records.measurement import MeasurementBody, MeasurementBodyDraft
from apps.records.model import Broken, RecordModel
from apps.records.moments import PerformedAt
from apps.records.place import SkiTag, SkiTagDraft
from apps.records.primitives import KeyId, RecordId, Salt, ShopHandle

FORMAT = 1
REFERENCES = 16

NoReferences = Annotated[tuple[RecordId, ...], Field(max_length=0)]
OneReference = Annotated[tuple[RecordId, ...], Field(min_length=1, max_length=1)]

IDS: JsonDict = {"x-source": "RFC 8785, FIPS 180-4 (SHA-256)"}


def _number_itself(value: object) -> object:
    # In Python true equals 1, so that a literal 1 would let it pass.
    if isinstance(value, bool):
        raise fault("unknown-word", "Write the number 1.")
    return value


class Envelope(RecordModel):
    """What every record of format 1 has around its body."""

    format: Annotated[Literal[1], BeforeValidator(_number_itself)] = Field(
        description="Version of the schema; 1."
    )
    author: ShopHandle = Field(
        description="Handle of the shop that wrote and signed it, `code@node-host`.",
        json_schema_extra={"x-source": "RFC 1123 (host name)"},
    )
    key: KeyId = Field(
        description="Id of the signing key: its RFC 7638 thumbprint, 43 characters.",
        json_schema_extra={"x-source": "RFC 7638, RFC 8037"},
    )
    ski: SkiTag = Field(description="The tag of the ski it is about.")
    performed_at: PerformedAt = Field(
        description="When it was done: a date, or a date-time with offset, 1950 to 2100.",
        json_schema_extra={"x-source": "RFC 3339"},
    )
    salt: Salt = Field(
        description="128 random bits in hexadecimal, so that the id of an erased record can't be "
        "guessed from what it may have said."
    )


class DraftEnvelope(RecordModel):
    """What a client sends: the record less what the node fills in."""

    is_draft: ClassVar[bool] = True
    kind: ClassVar[str]

    author: ShopHandle | None = Field(
        default=None,
        description="Handle of the shop that writes it; the shop of the key when absent.",
        json_schema_extra={"x-source": "RFC 1123 (host name)"},
    )
    ski: SkiTagDraft = Field(description="The tag of the ski it is about.")
    performed_at: PerformedAt = Field(
        description="When it was done: a date, or a date-time with offset, 1950 to 2100.",
        json_schema_extra={"x-source": "RFC 3339"},
    )


class Plain(RecordModel):
    """Part of a record that refers to no other record."""

    refers_to: NoReferences = Field(description="Empty: this kind refers to no record.")


class PlainDraft(RecordModel):
    """Part of a draft that refers to no other record."""

    refers_to: NoReferences = Field(default=(), description="Empty: this kind refers to no record.")


class Referring(RecordModel):
    """Part of a record that refers to one other record."""

    refers_to: OneReference = Field(
        description="Id of the record it is about; exactly one.", json_schema_extra=IDS
    )


def own_pair(ski: SkiTag, body: PairBody) -> Iterator[Broken]:
    """Yield the broken rule of a ski that is paired with itself."""
    if (ski.shop, ski.tag) == (body.other_ski.shop, body.other_ski.tag):
        yield Broken("body/other_ski", "own-pair", "Give the tag of the other ski, not this one.")


class DescriptionRecord(Envelope, Plain):
    """One description of a ski, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("description"))

    kind: Literal["description"] = Field(description="Kind of the record.")
    body: DescriptionBody = Field(description="What the record says.")


class JobRecord(Envelope, Plain):
    """One visit to the bench, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("job"))

    kind: Literal["job"] = Field(description="Kind of the record.")
    body: JobBody = Field(description="What the record says.")


class MeasurementRecord(Envelope, Plain):
    """One measurement on its own, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("measurement"))

    kind: Literal["measurement"] = Field(description="Kind of the record.")
    body: MeasurementBody = Field(description="What the record says.")


class BevelSettingRecord(Envelope, Plain):
    """One bevel setting on its own, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("bevel-setting"))

    kind: Literal["bevel-setting"] = Field(description="Kind of the record.")
    body: BevelSettingBody = Field(description="What the record says.")


class UsageRecord(Envelope, Plain):
    """One usage record, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("usage"))

    kind: Literal["usage"] = Field(description="Kind of the record.")
    body: UsageBody = Field(description="What the record says.")


class StatusRecord(Envelope, Plain):
    """One change of status, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("status"))

    kind: Literal["status"] = Field(description="Kind of the record.")
    body: StatusBody = Field(description="What the record says.")


class PairRecord(Envelope, Plain):
    """One pairing of two skis, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("pair"))

    kind: Literal["pair"] = Field(description="Kind of the record.")
    body: PairBody = Field(description="What the record says.")

    def broken_rules(self) -> Iterator[Broken]:
        """A ski is not its own pair."""
        yield from super().broken_rules()
        yield from own_pair(self.ski, self.body)


class CorrectionRecord(Envelope, Referring):
    """One correction of one record, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("correction"))

    kind: Literal["correction"] = Field(description="Kind of the record.")
    body: CorrectionBody = Field(description="What the record says.")


class RetractionRecord(Envelope, Referring):
    """One retraction of one record, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("retraction"))

    kind: Literal["retraction"] = Field(description="Kind of the record.")
    body: RetractionBody = Field(description="What the record says.")


class DescriptionDraft(DraftEnvelope, PlainDraft):
    """One description of a ski, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("description"))

    kind: ClassVar[str] = "description"

    body: DescriptionBodyDraft = Field(description="What the record says.")


class JobDraft(DraftEnvelope, PlainDraft):
    """One visit to the bench, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("job"))

    kind: ClassVar[str] = "job"

    body: JobBodyDraft = Field(description="What the record says.")


class MeasurementDraft(DraftEnvelope, PlainDraft):
    """One measurement on its own, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("measurement"))

    kind: ClassVar[str] = "measurement"

    body: MeasurementBodyDraft = Field(description="What the record says.")


class BevelSettingDraft(DraftEnvelope, PlainDraft):
    """One bevel setting on its own, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("bevel-setting"))

    kind: ClassVar[str] = "bevel-setting"

    body: BevelSettingBodyDraft = Field(description="What the record says.")


class UsageDraft(DraftEnvelope, PlainDraft):
    """One usage record, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("usage"))

    kind: ClassVar[str] = "usage"

    body: UsageBody = Field(description="What the record says.")


class StatusDraft(DraftEnvelope, PlainDraft):
    """One change of status, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("status"))

    kind: ClassVar[str] = "status"

    body: StatusBody = Field(description="What the record says.")


class PairDraft(DraftEnvelope, PlainDraft):
    """One pairing of two skis, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("pair"))

    kind: ClassVar[str] = "pair"

    body: PairBodyDraft = Field(description="What the record says.")

    def broken_rules(self) -> Iterator[Broken]:
        """A ski is not its own pair."""
        yield from super().broken_rules()
        yield from own_pair(self.ski, self.body)


class CorrectionDraft(DraftEnvelope, Referring):
    """One correction of one record, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("correction"))

    kind: ClassVar[str] = "correction"

    body: CorrectionBodyDraft = Field(description="What the record says.")


class RetractionDraft(DraftEnvelope, Referring):
    """One retraction of one record, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("retraction"))

    kind: ClassVar[str] = "retraction"

    body: RetractionBody = Field(description="What the record says.")


Record = (
    DescriptionRecord
    | JobRecord
    | MeasurementRecord
    | BevelSettingRecord
    | UsageRecord
    | StatusRecord
    | PairRecord
    | CorrectionRecord
    | RetractionRecord
)

Draft = (
    DescriptionDraft
    | JobDraft
    | MeasurementDraft
    | BevelSettingDraft
    | UsageDraft
    | StatusDraft
    | PairDraft
    | CorrectionDraft
    | RetractionDraft
)

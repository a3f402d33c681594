"""The records that benches write about a ski and its keeping, and their drafts."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from pydantic import ConfigDict, Field

from apps.records.bevel_setting import BevelSettingBody, BevelSettingBodyDraft
from apps.records.description import DescriptionBody, DescriptionBodyDraft
from apps.records.examples import draft_example, record_example
from apps.records.frame import Plain, PlainDraft, ShopDraft, ShopEnvelope
from apps.records.job import JobBody, JobBodyDraft
from apps.records.keeping import PairBody, PairBodyDraft, StatusBody, UsageBody
from apps.records.measurement import MeasurementBody, MeasurementBodyDraft
from apps.records.model import Broken
from apps.records.place import own_pair


class DescriptionRecord(ShopEnvelope, Plain):
    """One description of a ski, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("description"))

    kind: Literal["description"] = Field(description="Kind of the record.")
    body: DescriptionBody = Field(description="What the record says.")


class JobRecord(ShopEnvelope, Plain):
    """One visit to the bench, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("job"))

    kind: Literal["job"] = Field(description="Kind of the record.")
    body: JobBody = Field(description="What the record says.")


class MeasurementRecord(ShopEnvelope, Plain):
    """One measurement on its own, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("measurement"))

    kind: Literal["measurement"] = Field(description="Kind of the record.")
    body: MeasurementBody = Field(description="What the record says.")


class BevelSettingRecord(ShopEnvelope, Plain):
    """One bevel setting on its own, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("bevel-setting"))

    kind: Literal["bevel-setting"] = Field(description="Kind of the record.")
    body: BevelSettingBody = Field(description="What the record says.")


class UsageRecord(ShopEnvelope, Plain):
    """One usage record, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("usage"))

    kind: Literal["usage"] = Field(description="Kind of the record.")
    body: UsageBody = Field(description="What the record says.")


class StatusRecord(ShopEnvelope, Plain):
    """One change of status, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("status"))

    kind: Literal["status"] = Field(description="Kind of the record.")
    body: StatusBody = Field(description="What the record says.")


class PairRecord(ShopEnvelope, Plain):
    """One pairing of two skis, signed."""

    model_config = ConfigDict(json_schema_extra=record_example("pair"))

    kind: Literal["pair"] = Field(description="Kind of the record.")
    body: PairBody = Field(description="What the record says.")

    def broken_rules(self) -> Iterator[Broken]:
        """A ski is not its own pair."""
        yield from super().broken_rules()
        yield from own_pair(self.ski, self.body)


class DescriptionDraft(ShopDraft, PlainDraft):
    """One description of a ski, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("description"))

    kind: ClassVar[str] = "description"

    body: DescriptionBodyDraft = Field(description="What the record says.")


class JobDraft(ShopDraft, PlainDraft):
    """One visit to the bench, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("job"))

    kind: ClassVar[str] = "job"

    body: JobBodyDraft = Field(description="What the record says.")


class MeasurementDraft(ShopDraft, PlainDraft):
    """One measurement on its own, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("measurement"))

    kind: ClassVar[str] = "measurement"

    body: MeasurementBodyDraft = Field(description="What the record says.")


class BevelSettingDraft(ShopDraft, PlainDraft):
    """One bevel setting on its own, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("bevel-setting"))

    kind: ClassVar[str] = "bevel-setting"

    body: BevelSettingBodyDraft = Field(description="What the record says.")


class UsageDraft(ShopDraft, PlainDraft):
    """One usage record, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("usage"))

    kind: ClassVar[str] = "usage"

    body: UsageBody = Field(description="What the record says.")


class StatusDraft(ShopDraft, PlainDraft):
    """One change of status, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("status"))

    kind: ClassVar[str] = "status"

    body: StatusBody = Field(description="What the record says.")


class PairDraft(ShopDraft, PlainDraft):
    """One pairing of two skis, as a client sends it."""

    model_config = ConfigDict(json_schema_extra=draft_example("pair"))

    kind: ClassVar[str] = "pair"

    body: PairBodyDraft = Field(description="What the record says.")

    def broken_rules(self) -> Iterator[Broken]:
        """A ski is not its own pair."""
        yield from super().broken_rules()
        yield from own_pair(self.ski, self.body)

"""A record in an answer: its stored bytes as they are, with what the node keeps beside them."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field

from apps.api.answers.base import AnswerModel
from apps.records import envelope
from apps.records.examples import RECORD, example_record
from apps.records.primitives import RecordId


class LaterRecord(AnswerModel):
    """A record of a later format, relayed byte for byte; this version reads its envelope only."""

    model_config = ConfigDict(extra="allow")

    format: Annotated[int, Field(json_schema_extra={"minimum": 2})] = Field(
        description="Version of its schema, 2 or more."
    )
    kind: str = Field(description="Kind of the record, in the words of that version.")
    author: str = Field(description="Handle of the shop or node that wrote and signed it.")


AnyRecord = Annotated[envelope.AnyRecord, Field(discriminator="kind")] | LaterRecord

EXAMPLE_SIGNATURE = (
    "3p9Hk8cYt0sQ5lUu0Zb3x2D1m7vWq6RkX4nJ9aFyEeLoTgHsBiVdCwPzMjKrNfSxUyAqOeIhGtDlRcZbYvXwAA"
)


class StoredAnswer(AnswerModel):
    """What the node keeps beside a record; the record itself carries none of it."""

    id: RecordId = Field(
        description="Id of the record: SHA-256 of its canonical bytes (RFC 8785), in hexadecimal."
    )
    log_index: int = Field(description="Its position in the log of this node, from 0.")
    received_at: str = Field(description="When this node received it, RFC 3339 in UTC.")
    signature: str = Field(
        description="Ed25519 signature of the canonical bytes, base64url, 86 characters."
    )
    rank: Literal["shop-signed", "node-attested", "node-signed"] = Field(
        description="Who held the key that signed it: only the shop, the node for the shop, or "
        "the node for itself."
    )


class ErasedAnswer(AnswerModel):
    """What is left of a record whose bytes the operator erased: its id and its place."""

    id: RecordId = Field(description="Id of the record that stood here.")
    log_index: int = Field(description="Its position in the log of this node, from 0.")
    received_at: str = Field(description="When this node received it, RFC 3339 in UTC.")
    state: Literal["erased"] = Field(description="`erased`: the bytes are gone for good.")
    erased_by: RecordId = Field(description="Id of the erasure record, which says why.")


class RecordAnswer(StoredAnswer):
    """A record of any kind, also of a later format."""

    record: AnyRecord = Field(description="The record, byte for byte as it was signed.")


class DescriptionAnswer(StoredAnswer):
    """A description."""

    record: envelope.DescriptionRecord = Field(description="The record as it was signed.")


class JobAnswer(StoredAnswer):
    """A job."""

    record: envelope.JobRecord = Field(description="The record as it was signed.")


class MeasurementAnswer(StoredAnswer):
    """A measurement."""

    record: envelope.MeasurementRecord = Field(description="The record as it was signed.")


class BevelSettingAnswer(StoredAnswer):
    """A bevel setting."""

    record: envelope.BevelSettingRecord = Field(description="The record as it was signed.")


class UsageAnswer(StoredAnswer):
    """A usage record."""

    record: envelope.UsageRecord = Field(description="The record as it was signed.")


class StatusAnswer(StoredAnswer):
    """A change of status."""

    record: envelope.StatusRecord = Field(description="The record as it was signed.")


class PairAnswer(StoredAnswer):
    """A pair."""

    record: envelope.PairRecord = Field(description="The record as it was signed.")


class CorrectionAnswer(StoredAnswer):
    """A correction."""

    record: envelope.CorrectionRecord = Field(description="The record as it was signed.")


class RetractionAnswer(StoredAnswer):
    """A retraction."""

    record: envelope.RetractionRecord = Field(description="The record as it was signed.")


class DisputeAnswer(StoredAnswer):
    """A dispute."""

    record: envelope.DisputeRecord = Field(description="The record as it was signed.")


class PageAnswer(AnswerModel):
    """One page of a list; the bound stays fixed from the first page to the last."""

    until: int = Field(
        description="Log positions below this one are listed; what comes later is not."
    )
    next: str | None = Field(
        default=None, description="Address of the next page; absent on the last one."
    )


class DescriptionPage(PageAnswer):
    """Descriptions the shop wrote."""

    items: list[DescriptionAnswer | ErasedAnswer] = Field(description="In the order of the log.")


class JobPage(PageAnswer):
    """Jobs the shop wrote."""

    items: list[JobAnswer | ErasedAnswer] = Field(description="In the order of the log.")


class MeasurementPage(PageAnswer):
    """Measurements the shop wrote."""

    items: list[MeasurementAnswer | ErasedAnswer] = Field(description="In the order of the log.")


class BevelSettingPage(PageAnswer):
    """Bevel settings the shop wrote."""

    items: list[BevelSettingAnswer | ErasedAnswer] = Field(description="In the order of the log.")


class UsagePage(PageAnswer):
    """Usage records the shop wrote."""

    items: list[UsageAnswer | ErasedAnswer] = Field(description="In the order of the log.")


class StatusPage(PageAnswer):
    """Changes of status the shop wrote."""

    items: list[StatusAnswer | ErasedAnswer] = Field(description="In the order of the log.")


class PairPage(PageAnswer):
    """Pairs the shop wrote."""

    items: list[PairAnswer | ErasedAnswer] = Field(description="In the order of the log.")


class JobsAnswer(AnswerModel):
    """The jobs of one call, in the order sent; all of them were written."""

    items: list[JobAnswer] = Field(description="In the order sent.")


ANSWERS: Mapping[str, type[StoredAnswer]] = MappingProxyType(
    {
        "description": DescriptionAnswer,
        "job": JobAnswer,
        "measurement": MeasurementAnswer,
        "bevel-setting": BevelSettingAnswer,
        "usage": UsageAnswer,
        "status": StatusAnswer,
        "pair": PairAnswer,
        "correction": CorrectionAnswer,
        "retraction": RetractionAnswer,
        "dispute": DisputeAnswer,
    }
)
PAGES: Mapping[str, type[PageAnswer]] = MappingProxyType(
    {
        "description": DescriptionPage,
        "job": JobPage,
        "measurement": MeasurementPage,
        "bevel-setting": BevelSettingPage,
        "usage": UsagePage,
        "status": StatusPage,
        "pair": PairPage,
    }
)


def example_answer(kind: str) -> dict[str, Any]:
    """Give the example of an answer with one record."""
    return {
        "id": RECORD,
        "log_index": 41,
        "received_at": "2025-01-31T15:04:05Z",
        "signature": EXAMPLE_SIGNATURE,
        "rank": "node-attested",
        "record": example_record(kind),
    }

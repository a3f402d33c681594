"""A record in an answer: its stored bytes as they are, with what the node keeps beside them."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated, Any

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.records import envelope
from apps.records.examples import RECORD, example_record
from apps.records.primitives import RecordId

AnyRecord = Annotated[envelope.Record, Field(discriminator="kind")]

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


class RecordAnswer(StoredAnswer):
    """A record of any kind."""

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

    items: list[DescriptionAnswer] = Field(description="In the order of the log.")


class JobPage(PageAnswer):
    """Jobs the shop wrote."""

    items: list[JobAnswer] = Field(description="In the order of the log.")


class MeasurementPage(PageAnswer):
    """Measurements the shop wrote."""

    items: list[MeasurementAnswer] = Field(description="In the order of the log.")


class BevelSettingPage(PageAnswer):
    """Bevel settings the shop wrote."""

    items: list[BevelSettingAnswer] = Field(description="In the order of the log.")


class UsagePage(PageAnswer):
    """Usage records the shop wrote."""

    items: list[UsageAnswer] = Field(description="In the order of the log.")


class StatusPage(PageAnswer):
    """Changes of status the shop wrote."""

    items: list[StatusAnswer] = Field(description="In the order of the log.")


class PairPage(PageAnswer):
    """Pairs the shop wrote."""

    items: list[PairAnswer] = Field(description="In the order of the log.")


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
        "record": example_record(kind),
    }

"""What every record has around its body, and what every draft has; the kinds build on it."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Field
from pydantic.config import JsonDict

from apps.records.forms import fault
from apps.records.model import RecordModel
from apps.records.moments import PerformedAt
from apps.records.place import SkiTag, SkiTagDraft
from apps.records.primitives import Handle, KeyId, NodeHandle, RecordId, Salt, ShopHandle

FORMAT = 1
REFERENCES = 16

NoReferences = Annotated[tuple[RecordId, ...], Field(max_length=0)]
OneReference = Annotated[tuple[RecordId, ...], Field(min_length=1, max_length=1)]

IDS: JsonDict = {"x-source": "RFC 8785, FIPS 180-4 (SHA-256)"}
HOST_NAME: JsonDict = {"x-source": "RFC 1123 (host name)"}


def _number_itself(value: object) -> object:
    # In Python true equals 1, so that a literal 1 would let it pass.
    if isinstance(value, bool):
        raise fault("unknown-word", "Write the number 1.")
    return value


class Frame(RecordModel):
    """What every record of format 1 has around its body."""

    format: Annotated[Literal[1], BeforeValidator(_number_itself)] = Field(
        description="Version of the schema; 1."
    )
    author: Handle = Field(
        description="Handle of the shop that wrote and signed it, `code@node-host`; of the node "
        "itself `node@node-host`, which writes `key`, `key-end` and `erasure` and nothing else.",
        json_schema_extra=HOST_NAME,
    )
    key: KeyId = Field(
        description="Id of the signing key: its RFC 7638 thumbprint, 43 characters.",
        json_schema_extra={"x-source": "RFC 7638, RFC 8037"},
    )
    performed_at: PerformedAt = Field(
        description="When it was done: a date, or a date-time with offset, 1950 to 2100.",
        json_schema_extra={"x-source": "RFC 3339"},
    )
    salt: Salt = Field(
        description="128 random bits in hexadecimal, so that the id of an erased record can't be "
        "guessed from what it may have said."
    )


class AnyEnvelope(Frame):
    """What every record of format 1 has around its body, whatever it is about."""

    ski: SkiTag | None = Field(
        default=None, description="The tag of the ski it is about; absent in `key` and `key-end`."
    )


class Envelope(Frame):
    """The envelope of a record that is about a ski."""

    ski: SkiTag = Field(description="The tag of the ski it is about.")


class ShopEnvelope(Envelope):
    """The envelope of a record that a shop wrote about a ski."""

    author: ShopHandle = Field(
        description="Handle of the shop that wrote and signed it, `code@node-host`.",
        json_schema_extra=HOST_NAME,
    )


class ByNode(Frame):
    """Part of a record that the node itself writes."""

    author: NodeHandle = Field(
        description="Handle of the node that wrote and signed it, `node@node-host`.",
        json_schema_extra=HOST_NAME,
    )


class DraftFrame(RecordModel):
    """What every draft has: the record less what the node fills in."""

    is_draft: ClassVar[bool] = True
    kind: ClassVar[str]

    author: Handle | None = Field(
        default=None,
        description="Handle of the shop that writes it; the shop of the key when absent.",
        json_schema_extra=HOST_NAME,
    )
    performed_at: PerformedAt = Field(
        description="When it was done: a date, or a date-time with offset, 1950 to 2100.",
        json_schema_extra={"x-source": "RFC 3339"},
    )


class DraftEnvelope(DraftFrame):
    """The envelope of a draft that is about a ski."""

    ski: SkiTagDraft = Field(description="The tag of the ski it is about.")


class ShopDraft(DraftEnvelope):
    """What a shop sends: the record less what the node fills in."""

    author: ShopHandle | None = Field(
        default=None,
        description="Handle of the shop that writes it; the shop of the key when absent.",
        json_schema_extra=HOST_NAME,
    )


class DraftByNode(DraftFrame):
    """Part of a draft that the node itself makes."""

    author: NodeHandle | None = Field(
        default=None,
        description="Handle of the node that writes it; its own when absent.",
        json_schema_extra=HOST_NAME,
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

"""What the node says of its log: proofs, and its rows one after the other."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.api.answers.records import AnyRecord
from apps.records.primitives import RecordId

Hash = Annotated[str, Field(json_schema_extra={"pattern": "^[0-9a-f]{64}$"})]


class InclusionAnswer(AnswerModel):
    """What proves that a record stands at its place in the log."""

    record: RecordId = Field(description="Id of the record; its 32 bytes are the leaf's data.")
    index: int = Field(description="Its place in the log, from 0.")
    size: int = Field(description="Records in the tree that the proof is for.")
    root: Hash = Field(
        description="The root of that tree, in hexadecimal. Believe the one in a signed checkpoint."
    )
    hashes: list[Hash] = Field(
        description="From the leaf's sibling upwards (RFC 6962 section 2.1.1), in hexadecimal."
    )


class ConsistencyAnswer(AnswerModel):
    """What proves that the log only grew."""

    old: int = Field(description="Records in the older tree.")
    size: int = Field(description="Records in the newer tree.")
    old_root: Hash = Field(description="The root of the older tree, in hexadecimal.")
    root: Hash = Field(description="The root of the newer tree, in hexadecimal.")
    hashes: list[Hash] = Field(
        description="As in RFC 6962 section 2.1.2, in hexadecimal; none where `old` is 0 or `size`."
    )


class LogRow(AnswerModel):
    """A record in the order of the log."""

    index: int = Field(description="Its place in the log, from 0.")
    id: RecordId = Field(description="Id of the record: SHA-256 of its bytes in `record`.")
    signature: str = Field(
        description="Ed25519 signature of the canonical bytes, base64url, 86 characters."
    )
    record: AnyRecord = Field(description="The record, byte for byte as it was signed.")


class ErasedRow(AnswerModel):
    """A place in the log whose record was erased."""

    index: int = Field(description="The place in the log, from 0.")
    id: RecordId = Field(description="Id of the record that stood here; proofs still hold for it.")
    erased_by: RecordId = Field(description="Id of the erasure record, which says why.")


class LogPage(AnswerModel):
    """Rows of the log, one after the other without a hole."""

    size: int = Field(description="Records in the log now.")
    until: int = Field(description="Rows below this place are listed; what comes later is not.")
    items: list[LogRow | ErasedRow] = Field(description="In the order of the log.")
    next: str | None = Field(
        default=None, description="Address of the next page; absent on the last one."
    )

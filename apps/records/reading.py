"""From bytes to a record or draft and back: the strict reader, the draft reader, and compose."""

from __future__ import annotations

import secrets
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal, TypeVar, cast

from pydantic import BaseModel, ConfigDict, Field, StrictInt, ValidationError

from apps.records.canonical import canonical_bytes
from apps.records.envelope import (
    FORMAT,
    REFERENCES,
    AnyRecord,
    Draft,
    DraftFrame,
    NodeDraft,
)
from apps.records.errors import FieldError, InvalidRecord, NotCanonical
from apps.records.forms import Mode, shown
from apps.records.kinds import KINDS, KINDS_ABOUT_A_SKI
from apps.records.moments import PerformedAt
from apps.records.names import pattern_form
from apps.records.primitives import Handle, KeyId, RecordId, Salt, ShopHandle, Tag
from apps.records.problems import field_errors
from apps.records.strict_json import MAX_BYTES, loads_strict, nulls

SALT_BYTES = 16

NodeKind = Literal["key", "key-end"]

M = TypeVar("M", bound=BaseModel)

KindWord = Annotated[
    str,
    pattern_form("[a-z][a-z0-9-]{0,39}", "not-a-kind", "a kind is lower-case words and hyphens."),
]


class FutureSki(BaseModel):
    """The tag of a ski in a later format, which may say more."""

    model_config = ConfigDict(frozen=True, extra="ignore")

    shop: ShopHandle
    tag: Tag


class FutureEnvelope(BaseModel):
    """The part of a later format's envelope that a node must understand to relay it."""

    model_config = ConfigDict(frozen=True, extra="ignore")

    format: StrictInt = Field(gt=FORMAT)
    kind: KindWord
    author: Handle
    key: KeyId
    ski: FutureSki | None = None
    performed_at: PerformedAt
    refers_to: tuple[RecordId, ...] = Field(max_length=REFERENCES)
    salt: Salt


@dataclass(frozen=True, slots=True)
class FutureRecord:
    """A record of a later format, kept byte for byte.

    Parameters
    ----------
    envelope : FutureEnvelope
        The fields that every format has.
    data : bytes
        The canonical bytes as they came, with all that this version can't read.
    """

    envelope: FutureEnvelope
    data: bytes


def read_record(data: bytes) -> AnyRecord | FutureRecord:
    """Read a signed record strictly.

    Parameters
    ----------
    data : bytes
        The canonical bytes.

    Returns
    -------
    record : one of the record models, or FutureRecord for a later format

    Raises
    ------
    InvalidRecord
        With every error of the stage that failed: bytes, null values, shape, canonical form.
    """
    document = loads_strict(data)
    if isinstance(document, dict) and is_later_format(document.get("format")):
        _same(canonical_bytes(document), data)
        return FutureRecord(_future(document), data)
    record = read_document(document)
    _same(record_bytes(record), data)
    return record


def _same(canonical: bytes, data: bytes) -> None:
    if canonical != data:
        sentence = "The bytes are not the canonical form; write the document by RFC 8785."
        raise NotCanonical(FieldError("", "not-canonical", sentence))


def is_later_format(version: object) -> bool:
    """Say whether a format number is one that this version does not know yet."""
    return isinstance(version, int) and not isinstance(version, bool) and version > FORMAT


def read_document(document: object) -> AnyRecord:
    """Read the parsed document of a record of this format strictly.

    Raises
    ------
    InvalidRecord
        With every error of the stage that failed: null values, then shape.
    """
    members = _without_nulls(document)
    model = KINDS[_known_kind(members.get("kind"), KINDS)].record
    return cast("AnyRecord", _validated(model, members, Mode()))


def read_draft(
    kind: str,
    data: bytes | Mapping[str, Any],
    *,
    node_host: str,
    max_bytes: int = MAX_BYTES,
) -> Draft:
    """Read what a client sends for a record of a kind that is about a ski.

    Parameters
    ----------
    kind : str
        One of `KINDS_ABOUT_A_SKI`.
    data : bytes or mapping
        The request's JSON text, or the same already parsed.
    node_host : str
        Completes shop codes to handles.
    max_bytes : int
        Greatest length of the JSON text [byte].

    Raises
    ------
    InvalidRecord
        With every error of the stage that failed: bytes, null values, shape.
    """
    model = KINDS[_known_kind(kind, KINDS_ABOUT_A_SKI)].draft
    document = (
        loads_strict(data, max_bytes=max_bytes, allow_fractions=True)
        if isinstance(data, bytes)
        else dict(data)
    )
    mode = Mode(draft=True, node_host=node_host)
    return cast("Draft", _validated(model, _without_nulls(document), mode))


def read_node_draft(kind: NodeKind, document: Mapping[str, Any], *, node_host: str) -> NodeDraft:
    """Read what a node makes of a record that is about a key and no ski.

    Parameters
    ----------
    kind : str
        `key` or `key-end`.
    document : mapping
    node_host : str
        Completes shop codes to handles.

    Raises
    ------
    InvalidRecord
        With every error of the stage that failed: null values, shape.
    """
    mode = Mode(draft=True, node_host=node_host)
    members = _without_nulls(dict(document))
    return cast("NodeDraft", _validated(KINDS[kind].draft, members, mode))


def compose(draft: DraftFrame, *, author: str, key: str, salt: str | None = None) -> dict[str, Any]:
    """Make the document of a record from a draft, ready for its canonical bytes.

    Parameters
    ----------
    draft : DraftFrame
        A draft as `read_draft` or `read_node_draft` gives it.
    author : str
        Handle of the shop that signs, or of the node.
    key : str
        Id of the signing key.
    salt : str, optional
        32 hexadecimal digits; random when absent.

    Raises
    ------
    InvalidRecord
        The draft names another author.
    """
    if draft.author not in (None, author):
        sentence = f"This key writes as {shown(author)}; leave the author out."
        raise InvalidRecord(FieldError("/author", "another-author", sentence))
    filled = {"format": FORMAT, "kind": draft.kind, "author": author, "key": key}
    return {**document_of(draft), **filled, "salt": salt or secrets.token_hex(SALT_BYTES)}


def document_of(model: BaseModel) -> dict[str, Any]:
    """Give a model as the plain document that is written; absent values are absent."""
    return model.model_dump(mode="json", exclude_none=True)


def record_bytes(record: AnyRecord) -> bytes:
    """Give the canonical bytes of a record that was read before."""
    return canonical_bytes(document_of(record))


def _future(document: dict[str, Any]) -> FutureEnvelope:
    return _validated(FutureEnvelope, document, Mode())


def _without_nulls(document: object) -> dict[str, Any]:
    if not isinstance(document, dict):
        raise InvalidRecord(FieldError("", "not-an-object", "Write an object in braces here."))
    errors = tuple(nulls(document))
    if errors:
        raise InvalidRecord(*errors)
    return document


def _known_kind(kind: object, kinds: Collection[str]) -> str:
    if isinstance(kind, str) and kind in kinds:
        return kind
    if kind is None:
        sentence = f"`kind` is missing; write one of {', '.join(kinds)}."
        raise InvalidRecord(FieldError("/kind", "missing", sentence))
    sentence = f"No kind {shown(kind)}; write one of {', '.join(kinds)}."
    raise InvalidRecord(FieldError("/kind", "unknown-kind", sentence))


def _validated(model: type[M], members: Mapping[str, Any], mode: Mode) -> M:
    try:
        return model.model_validate(dict(members), context=mode.context())
    except ValidationError as error:
        raise InvalidRecord(*field_errors(error, model)) from None

"""Bundles: the records of one ski with proofs, keys and a checkpoint, in one file (format 1)."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, StrictInt, StrictStr, ValidationError

from apps.records.canonical import canonical_bytes
from apps.records.checkpoint import origin_host
from apps.records.clusters import CAP
from apps.records.errors import FieldError, InvalidRecord, NotCanonical
from apps.records.forms import fault
from apps.records.model import Broken, RecordModel
from apps.records.names import pattern_form
from apps.records.notes import MAX_NOTE_BYTES, Note, VerifierKey
from apps.records.place import SkiTag
from apps.records.primitives import RecordId, SignatureText
from apps.records.problems import field_errors
from apps.records.signing import PrivateKey
from apps.records.strict_json import MAX_DEPTH, MAX_SAFE_INTEGER, loads_strict

BUNDLE_FORMAT = 1
MAX_BUNDLE_BYTES = 64 * 1024 * 1024
# A record stands four levels down: the file, the bundle, its list, the row.
DEPTH = MAX_DEPTH + 4
PROOF_LENGTH = 64
VKEY_LENGTH = 512
# What the canonical form of a file has around the bytes that are signed.
BEFORE_BODY = b'{"bundle":'
AFTER_BODY = ',"signature":"'

HashText = Annotated[
    str, pattern_form("[0-9a-f]{64}", "not-a-hash", "a hash is 64 lower-case hexadecimal digits.")
]
LogIndex = Annotated[StrictInt, Field(ge=0, le=MAX_SAFE_INTEGER)]


def _number_itself(value: object) -> object:
    # In Python true equals 1, so that a literal 1 would let it pass.
    if isinstance(value, bool):
        raise fault("unknown-word", "Write the number 1.")
    return value


class BundleRow(RecordModel):
    """One place of the log: the signed record there, or what erased it."""

    index: LogIndex = Field(description="Place in the log, from 0.")
    id: RecordId = Field(description="Id of the record.")
    proof: Annotated[tuple[HashText, ...], Field(max_length=PROOF_LENGTH)] = Field(
        description="That the id stands at this place of the checkpoint's tree: RFC 6962 section "
        "2.1.1, from the leaf's sibling upwards."
    )
    signature: SignatureText | None = Field(
        default=None, description="Ed25519 over the record's canonical bytes; absent when erased."
    )
    record: dict[str, Any] | None = Field(
        default=None, description="The record; absent when erased."
    )
    erased_by: RecordId | None = Field(
        default=None, description="Id of the erasure record, when the bytes were erased."
    )

    def broken_rules(self) -> Iterator[Broken]:
        """A row holds a signed record or was erased."""
        yield from super().broken_rules()
        given = (self.signature is not None, self.record is not None)
        if given != (self.erased_by is None,) * 2:
            sentence = "Give `record` and `signature`, or `erased_by` alone."
            yield Broken("", "neither-nor", sentence)


class BundleBody(RecordModel):
    """What a node signs when it gives out a bundle."""

    format: Annotated[Literal[1], BeforeValidator(_number_itself)] = Field(
        description="Version of the bundle; 1."
    )
    ski: SkiTag = Field(description="The tag that was asked for.")
    links: Literal["mutual", "all", "none"] = Field(
        description="Which same-ski statements join the tags."
    )
    tags: Annotated[tuple[SkiTag, ...], Field(min_length=1, max_length=CAP)] = Field(
        description="The tags whose records are in the bundle; `ski` is among them."
    )
    checkpoint: Annotated[StrictStr, Field(max_length=MAX_NOTE_BYTES)] = Field(
        description="The signed checkpoint of the node's log that the proofs lead to.",
        json_schema_extra={"x-source": "C2SP tlog-checkpoint"},
    )
    node_key: Annotated[StrictStr, Field(max_length=VKEY_LENGTH)] = Field(
        description="The node's key, as a verifier key.",
        json_schema_extra={"x-source": "C2SP signed-note"},
    )
    records: tuple[BundleRow, ...] = Field(description="The records, in the order of the log.")
    keys: tuple[BundleRow, ...] = Field(
        description="The records of all keys that signed these, and of their ends."
    )


class Bundle(RecordModel):
    """A whole bundle file."""

    bundle: BundleBody = Field(description="What is signed.")
    signature: SignatureText = Field(
        description="By `node_key` over the canonical bytes of `bundle`."
    )


@dataclass(frozen=True, slots=True)
class BundleContents:
    """What goes into a bundle.

    Parameters
    ----------
    ski : SkiTag
        The tag that was asked for.
    tags : sequence of SkiTag
        It and those that it is joined with.
    links : str
        Which same-ski statements joined them.
    checkpoint : bytes
        The signed checkpoint that the proofs lead to.
    records, keys : iterable of BundleRow
        In any order.
    """

    ski: SkiTag
    tags: Sequence[SkiTag]
    links: Literal["mutual", "all", "none"]
    checkpoint: bytes
    records: Iterable[BundleRow]
    keys: Iterable[BundleRow]


def signed_row(
    index: int, record_id: str, document: bytes, signature: str, proof: Iterable[bytes]
) -> BundleRow:
    """Make the row of a record from its canonical bytes, which were read strictly before."""
    hashes = tuple(one.hex() for one in proof)
    record = json.loads(document)
    return BundleRow(index=index, id=record_id, proof=hashes, signature=signature, record=record)


def erased_row(index: int, record_id: str, erased_by: str, proof: Iterable[bytes]) -> BundleRow:
    """Make the row of a record whose bytes were erased."""
    hashes = tuple(one.hex() for one in proof)
    return BundleRow(index=index, id=record_id, proof=hashes, erased_by=erased_by)


def make_bundle(contents: BundleContents, private: PrivateKey) -> bytes:
    """Write a bundle and sign it with the node's key.

    Returns
    -------
    bytes
        The canonical JSON of the whole file (RFC 8785). `verify_bundle` reads it.
    """
    body = canonical_bytes(_body(contents, private))
    return BEFORE_BODY + body + f'{AFTER_BODY}{private.sign_text(body)}"}}'.encode()


def _body(contents: BundleContents, private: PrivateKey) -> dict[str, Any]:
    origin = Note.from_bytes(contents.checkpoint).text.partition("\n")[0]
    return {
        "format": BUNDLE_FORMAT,
        "ski": contents.ski.model_dump(),
        "links": contents.links,
        "tags": [tag.model_dump() for tag in sorted(contents.tags, key=tag_text)],
        "checkpoint": contents.checkpoint.decode(),
        "node_key": VerifierKey(origin, private.public).text,
        "records": _rows(contents.records),
        "keys": _rows(contents.keys),
    }


def _rows(rows: Iterable[BundleRow]) -> list[dict[str, Any]]:
    ordered = sorted(rows, key=lambda row: row.index)
    return [row.model_dump(mode="json", exclude_none=True) for row in ordered]


def read_bundle(data: bytes) -> Bundle:
    """Read a bundle strictly; what it says is not to be believed before it is verified.

    Raises
    ------
    InvalidRecord
        With every error of the stage that failed: bytes, shape, canonical form.
    """
    document = loads_strict(data, max_bytes=MAX_BUNDLE_BYTES, max_depth=DEPTH)
    if not isinstance(document, dict):
        raise InvalidRecord(FieldError("", "not-an-object", "A bundle is an object in braces."))
    try:
        bundle = Bundle.model_validate(document)
    except ValidationError as error:
        raise InvalidRecord(*field_errors(error, Bundle)) from None
    if canonical_bytes(document) != data:
        sentence = "The file is not as it was written: even blanks and line ends count."
        raise NotCanonical(FieldError("", "not-canonical", sentence))
    return bundle


def body_bytes(data: bytes, bundle: Bundle) -> bytes:
    """Give the bytes that the signature of a bundle is made over.

    Parameters
    ----------
    data : bytes
        The file that `bundle` was read from: it is canonical, so that they stand in it as they are.
    bundle : Bundle
    """
    return data[len(BEFORE_BODY) : -len(f'{AFTER_BODY}{bundle.signature}"}}')]


def tag_text(tag: SkiTag) -> str:
    """Write a tag as `handle/TAG`."""
    return f"{tag.shop}/{tag.tag}"


def host_of(key: VerifierKey) -> str:
    """Give the host of the node whose log a key signs."""
    return origin_host(key.name)

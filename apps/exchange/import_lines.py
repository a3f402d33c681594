"""One line of an import (NDJSON): a signed record, a draft, or what an export says of itself."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, BinaryIO

from apps.records.canonical import canonical_bytes, record_id
from apps.records.envelope import Draft
from apps.records.errors import FieldError, InvalidRecord, TooLarge, pointer_of
from apps.records.reading import read_draft
from apps.records.strict_json import MAX_DEPTH, loads_strict
from apps.registry.submissions import Submission

MAX_LINE_BYTES = 64 * 1024
# A record stands one deeper in its line.
LINE_DEPTH = MAX_DEPTH + 1
SKIP_BYTES = 2**20
SIGNED = frozenset({"record", "signature", "id", "index"})
ERASED = frozenset({"id", "index", "erased_by"})
WHAT = (
    'Write a signed record, {"record": …, "signature": …}, or a draft, '
    '{"kind": …, "ski": …, "performed_at": …, "body": …}.'
)

END = b'{"end":'
CHANGED = (
    "The lines before are not those that were exported: some are missing, doubled or changed. "
    "Export again, or take this last line away."
)


@dataclass(frozen=True, slots=True)
class Skipped:
    """A line of an export that holds no record: an erased one, or the last line."""

    reason: str


@dataclass(frozen=True, slots=True)
class Line:
    """A line with its number in the file, counted from 1; `text` is None for one too long."""

    number: int
    text: bytes | None


def lines_of(file: BinaryIO) -> Iterator[Line]:
    """Read a file from its beginning, line by line, without the blank ones.

    A line that is too long is never held whole.
    """
    file.seek(0)
    number = 0
    while piece := file.readline(MAX_LINE_BYTES + 2):
        number += 1
        text = piece.rstrip(b"\r\n")
        if len(text) > MAX_LINE_BYTES:
            _skip_rest(file, piece)
            yield Line(number, None)
        elif text.strip():
            yield Line(number, text)


def _skip_rest(file: BinaryIO, piece: bytes) -> None:
    while piece and not piece.endswith(b"\n"):
        piece = file.readline(SKIP_BYTES)


def changed_exports(file: BinaryIO) -> Iterator[tuple[int, InvalidRecord]]:
    """Name the last line of each export in a file that isn't as it was exported.

    A line that is missing, doubled or changed is noticed by the digest of all of them.
    """
    file.seek(0)
    number, digest, is_start = 1, hashlib.sha256(), True
    while piece := file.readline(MAX_LINE_BYTES):
        if is_start and piece.startswith(END):
            if digest_of_end(piece) != digest.hexdigest():
                yield number, InvalidRecord(FieldError("/end/digest", "wrong-digest", CHANGED))
            digest = hashlib.sha256()
        else:
            digest.update(piece)
        is_start = piece.endswith(b"\n")
        number += is_start


def digest_of_end(text: bytes) -> str:
    """Give the digest that the last line of an export states; "" where it states none."""
    try:
        end = loads_strict(text.rstrip(b"\r\n"), max_bytes=MAX_LINE_BYTES)["end"]
    except InvalidRecord:
        return ""
    return str(end.get("digest", "")) if isinstance(end, dict) else ""


def read_line(line: Line, *, node_host: str) -> Submission | Draft | Skipped:
    """Read what a line holds, within the limits that a single record has.

    Raises
    ------
    InvalidRecord
        With all that is wrong with it; of a signed record, only what stands around it.
    """
    if line.text is None:
        sentence = f"A line has at most {MAX_LINE_BYTES} bytes, and this one has more."
        raise TooLarge(FieldError("", "too-large", sentence))
    document = loads_strict(
        line.text, max_bytes=MAX_LINE_BYTES, max_depth=LINE_DEPTH, allow_fractions=True
    )
    if not isinstance(document, dict):
        raise InvalidRecord(FieldError("", "not-an-object", WHAT))
    if "record" in document:
        return _signed(document, line.text)
    if "erased_by" in document:
        _closed(document, ERASED)
        return Skipped("This record was erased where it was exported; nothing is left of it.")
    if set(document) == {"end"}:
        return Skipped("This is the last line of an export and holds no record.")
    return _draft(document, node_host)


def _draft(document: Mapping[str, Any], node_host: str) -> Draft:
    if "kind" not in document:
        raise InvalidRecord(FieldError("/kind", "missing", WHAT))
    members = {name: value for name, value in document.items() if name != "kind"}
    return read_draft(document["kind"], members, node_host=node_host)


def _signed(document: Mapping[str, Any], text: bytes) -> Submission:
    _closed(document, SIGNED)
    record, signature = document["record"], document.get("signature")
    if not isinstance(record, dict):
        raise InvalidRecord(FieldError("/record", "not-an-object", "Write the record in braces."))
    if not isinstance(signature, str):
        raise InvalidRecord(FieldError("/signature", "missing", "Give the signature as a string."))
    data = _canonical(record, text)
    if document.get("id", record_id(data)) != record_id(data):
        sentence = "The id is not the SHA-256 of the record's canonical bytes; one was changed."
        raise InvalidRecord(FieldError("/id", "wrong-id", sentence))
    return Submission(data=data, signature=signature)


def _canonical(record: Mapping[str, Any], text: bytes) -> bytes:
    try:
        return canonical_bytes(record)
    except InvalidRecord:
        # Read again as a record is read, the text says where the number is that can't stand there.
        loads_strict(text, max_bytes=MAX_LINE_BYTES, max_depth=LINE_DEPTH)
        raise


def _closed(document: Mapping[str, Any], names: frozenset[str]) -> None:
    errors = [
        FieldError(
            pointer_of(name), "unknown-field", "No such field beside a record; leave it out."
        )
        for name in document
        if name not in names
    ]
    if errors:
        raise InvalidRecord(*errors)

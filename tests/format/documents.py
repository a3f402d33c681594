"""Strict JSON, canonical form and ids, by docs/format/records.md and the standard library."""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import re
from typing import Any

MAX_BYTES = 32_768
MAX_DEPTH = 16
MAX_INTEGER = 2**53 - 1
MAX_REFERENCES = 16

HOST = r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?(\.[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?)+"
HANDLE = re.compile(rf"[a-z0-9]([a-z0-9-]{{0,30}}[a-z0-9])?@{HOST}")
TAG = re.compile(r"[A-Z0-9]([A-Z0-9._-]{0,38}[A-Z0-9])?")
KIND = re.compile("[a-z][a-z0-9-]{0,39}")
ID = re.compile("[0-9a-f]{64}")
KEY_ID = re.compile("[A-Za-z0-9_-]{43}")
SALT = re.compile("[0-9a-f]{32}")
MOMENT = re.compile(r"(\d{4})-\d{2}-\d{2}(T\d{2}:\d{2}:\d{2}(Z|[+-]\d{2}:\d{2}))?", re.ASCII)
BY_NODE = {"key", "key-end", "erasure"}
WITHOUT_SKI = {"key", "key-end"}
REFERRING = {"correction", "retraction", "dispute", "erasure"}
KINDS = BY_NODE | REFERRING | {
    "description", "job", "measurement", "bevel-setting", "usage", "status", "pair", "same-ski",
    "distinct-ski",
}  # fmt: skip


class Unreadable(ValueError):
    """A document is not what the specification asks for."""


def need(fits: object, sentence: str) -> None:
    """Refuse a document that breaks a rule."""
    if not fits:
        raise Unreadable(sentence)


def parse(data: bytes, *, max_bytes: int = MAX_BYTES, max_depth: int = MAX_DEPTH) -> Any:
    """Read JSON: no doubled names, fractions, large integers, half characters or deep nesting."""
    need(len(data) <= max_bytes, "too long")
    need(not data.startswith(b"\xef\xbb\xbf"), "a byte order mark")
    _no_deeper(data, max_depth)
    try:
        document = json.loads(
            data.decode("utf-8"),
            object_pairs_hook=_object,
            parse_int=_integer,
            parse_float=_no_number,
            parse_constant=_no_number,
        )
    except (UnicodeDecodeError, json.JSONDecodeError) as error:
        raise Unreadable(str(error)) from error
    _no_halves(document)
    return document


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    need(len({name for name, _ in pairs}) == len(pairs), "a name stands twice")
    return dict(pairs)


def _integer(text: str) -> int:
    need(len(text) <= 17 and abs(int(text)) <= MAX_INTEGER, "an integer too large")
    return int(text)


def _no_number(text: str) -> Any:
    raise Unreadable(f"{text} is no integer")


def _no_deeper(data: bytes, limit: int) -> None:
    depth = 0
    for bracket in re.findall(rb"[\[\]{}]", re.sub(rb'"(?:[^"\\]|\\.)*"', b"", data, flags=re.S)):
        depth += 1 if bracket in b"[{" else -1
        need(depth <= limit, "nested too deep")


def _no_halves(document: Any) -> None:
    if isinstance(document, dict):
        for name, value in document.items():
            _no_halves(name)
            _no_halves(value)
    elif isinstance(document, list):
        for value in document:
            _no_halves(value)
    elif isinstance(document, str):
        need(not re.search("[\ud800-\udfff]", document), "half a character")


def canonical(document: Any) -> bytes:
    """Write the canonical form: RFC 8785, which here has no fractions to write."""
    return _written(document).encode("utf-8")


def _written(value: Any) -> str:
    if isinstance(value, dict):
        names = sorted(value, key=lambda name: name.encode("utf-16-be"))
        return "{" + ",".join(f"{_written(name)}:{_written(value[name])}" for name in names) + "}"
    if isinstance(value, list):
        return "[" + ",".join(map(_written, value)) + "]"
    return json.dumps(value, ensure_ascii=False)


def id_of(data: bytes) -> str:
    """Give the id of canonical bytes."""
    return hashlib.sha256(data).hexdigest()


def base64url(data: bytes) -> str:
    """Write base64url without padding."""
    return base64.urlsafe_b64encode(data).decode("ascii").rstrip("=")


def unbase64url(text: object, length: int) -> bytes:
    """Read unpadded base64url of one length; only the one way to write it counts."""
    need(isinstance(text, str), "no text")
    try:
        data = base64.b64decode(f"{text}{'=' * (-len(str(text)) % 4)}", b"-_", validate=True)
    except (binascii.Error, ValueError) as error:
        raise Unreadable("no base64url") from error
    need(len(data) == length and base64url(data) == text, "base64url of another length or form")
    return data


def read_record(document: Any) -> dict[str, Any]:
    """Check the envelope of a record of any format; gives it back."""
    need(isinstance(document, dict), "no object")
    version = document.get("format")
    need(type(version) is int and version >= 1, "no format")
    for name, form in (("kind", KIND), ("author", HANDLE), ("key", KEY_ID), ("salt", SALT)):
        _matches(document.get(name), form, name)
    need(len(document["author"]) <= 120, "a handle too long")
    _moment(document.get("performed_at"))
    references = document.get("refers_to")
    need(isinstance(references, list) and len(references) <= MAX_REFERENCES, "no references")
    for one in document["refers_to"]:
        _matches(one, ID, "refers_to")
    if "ski" in document:
        read_ski(document["ski"])
    if version == 1:
        _first_format(document)
    return dict(document)


def _first_format(document: dict[str, Any]) -> None:
    kind = document["kind"]
    need(kind in KINDS, "no kind of format 1")
    names = {"format", "kind", "author", "key", "performed_at", "refers_to", "salt", "body"}
    wanted = names if kind in WITHOUT_SKI else names | {"ski"}
    need(set(document) == wanted, "members missing or unknown")
    need(isinstance(document["body"], dict), "no body")
    need(document["author"].startswith("node@") == (kind in BY_NODE), "another author")
    need(len(document["refers_to"]) == (kind in REFERRING), "another number of references")
    need(kind in WITHOUT_SKI or set(document["ski"]) == {"shop", "tag"}, "more about the ski")


def read_ski(ski: Any) -> None:
    """Check the tag of a ski; it may say more."""
    need(isinstance(ski, dict), "no ski")
    _matches(ski.get("shop"), HANDLE, "shop")
    _matches(ski.get("tag"), TAG, "tag")
    need(not ski["shop"].startswith("node@"), "a node has no tags")


def _moment(value: Any) -> None:
    _matches(value, MOMENT, "performed_at")
    need("1950" <= value[:4] <= "2100", "a year out of range")


def _matches(value: Any, form: re.Pattern[str], name: str) -> None:
    need(isinstance(value, str) and form.fullmatch(value), f"{name} is not well formed")

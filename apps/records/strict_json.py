"""JSON without the doubtful parts: no duplicate keys, floats, huge integers, or lone surrogates."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from apps.records.errors import FieldError, MalformedJson, TooLarge, pointer_of
from apps.records.forms import shown

MAX_BYTES = 32768
MAX_DEPTH = 16
MAX_SAFE_INTEGER = 2**53 - 1
MAX_NUMBER_LENGTH = 40

# A string that never ends is one token to the end of the text, and no step back is kept: else
# time grows with the square of its escaped quotes, and memory with each of its letters.
_STRING_OR_BRACKET = re.compile(rb'"(?:[^"\\]++|\\.)*+"?|[\[\]{}]', re.DOTALL)


@dataclass(frozen=True, slots=True)
class _Pairs:
    """The members of an object in order, before duplicates are looked for."""

    members: list[tuple[str, Any]]


@dataclass(frozen=True, slots=True)
class _Number:
    """A number as it was written, before it is judged."""

    text: str
    is_integer: bool


@dataclass(frozen=True, slots=True)
class _Constant:
    """One of the words NaN, Infinity, -Infinity, which are no JSON."""

    text: str


def loads_strict(
    data: bytes,
    *,
    max_bytes: int = MAX_BYTES,
    max_depth: int = MAX_DEPTH,
    allow_fractions: bool = False,
) -> Any:
    """Read one JSON text strictly.

    Parameters
    ----------
    data : bytes
        The JSON text in UTF-8, without a byte order mark.
    max_bytes : int
        Greatest length [byte].
    max_depth : int
        Greatest depth of nested arrays and objects.
    allow_fractions : bool
        True reads fractions as `decimal.Decimal`, exactly as written; False refuses them.

    Returns
    -------
    document : dict, list, str, int, bool, None or Decimal

    Raises
    ------
    TooLarge
        The text has more than `max_bytes` bytes.
    MalformedJson
        All else; duplicate keys, numbers and strings are reported all at once.

    Notes
    -----
    I-JSON (RFC 7493) asks for unique names, integers within 2^53 - 1 and no lone surrogates.
    """
    text = _decoded(data, max_bytes)
    _refuse_depth(data, max_depth)
    judge = _Judge(allow_fractions=allow_fractions)
    document = judge.plain(_parsed(text), ())
    if judge.errors:
        raise MalformedJson(*judge.errors)
    return document


def _decoded(data: bytes, max_bytes: int) -> str:
    if len(data) > max_bytes:
        sentence = f"The document has {len(data)} bytes, at most {max_bytes} are read; split it."
        raise TooLarge(FieldError("", "too-large", sentence))
    if data.startswith(b"\xef\xbb\xbf"):
        raise _malformed("byte-order-mark", "Take away the byte order mark at the beginning.")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        sentence = f"Byte {error.start} is not UTF-8; write the document in UTF-8."
        raise _malformed("not-utf-8", sentence) from None


def _refuse_depth(data: bytes, max_depth: int) -> None:
    # Counted before parsing, since the parser itself gives up on deep nesting by recursion.
    depth = 0
    for match in _STRING_OR_BRACKET.finditer(data):
        token = match.group()
        depth += (token in b"[{") - (token in b"]}")
        if depth > max_depth:
            raise _malformed("too-deep", f"Nest lists and objects at most {max_depth} deep.")


def _parsed(text: str) -> Any:
    try:
        return json.loads(
            text,
            object_pairs_hook=_Pairs,
            parse_int=lambda number: _Number(number, is_integer=True),
            parse_float=lambda number: _Number(number, is_integer=False),
            parse_constant=_Constant,
        )
    except json.JSONDecodeError as error:
        sentence = f"Not JSON at line {error.lineno}, column {error.colno}: {error.msg.lower()}."
        raise _malformed("not-json", sentence) from None


def _malformed(code: str, sentence: str) -> MalformedJson:
    return MalformedJson(FieldError("", code, sentence))


Path = tuple[str | int, ...]


class _Judge:
    """Turns the parsed nodes into plain values and gathers what is wrong with them."""

    def __init__(self, *, allow_fractions: bool) -> None:
        self.allow_fractions = allow_fractions
        self.errors: list[FieldError] = []

    def plain(self, node: Any, path: Path) -> Any:
        readers: dict[type, Callable[[Any, Path], Any]] = {
            _Pairs: self._object,
            list: self._array,
            str: self._string,
            _Number: self._number,
            _Constant: self._constant,
        }
        read = readers.get(type(node))
        return node if read is None else read(node, path)

    def _wrong(self, path: Path, code: str, sentence: str) -> None:
        self.errors.append(FieldError(pointer_of(*path), code, sentence))

    def _object(self, node: _Pairs, path: Path) -> dict[str, Any]:
        plain: dict[str, Any] = {}
        for name, value in node.members:
            here = (*path, _printable(name))
            if name in plain:
                self._wrong(here, "duplicate-key", f"{shown(name)} stands twice; give it once.")
            self._string(name, here)
            plain[name] = self.plain(value, here)
        return plain

    def _array(self, node: list[Any], path: Path) -> list[Any]:
        return [self.plain(item, (*path, index)) for index, item in enumerate(node)]

    def _string(self, node: str, path: Path) -> str:
        if any("\ud800" <= character <= "\udfff" for character in node):
            self._wrong(path, "lone-surrogate", "Half a character stands here; write it whole.")
        return node

    def _constant(self, node: _Constant, path: Path) -> None:
        self._wrong(path, "not-a-number", f"`{node.text}` is no JSON number; leave the field out.")

    def _number(self, node: _Number, path: Path) -> int | Decimal | None:
        if len(node.text) > MAX_NUMBER_LENGTH:
            sentence = f"A number has at most {MAX_NUMBER_LENGTH} characters; shorten it."
            self._wrong(path, "number-too-long", sentence)
            return None
        return self._integer(node, path) if node.is_integer else self._fraction(node, path)

    def _integer(self, node: _Number, path: Path) -> int | None:
        number = int(node.text)
        if abs(number) > MAX_SAFE_INTEGER:
            sentence = f"Integers go up to {MAX_SAFE_INTEGER}; two larger ones can look the same."
            self._wrong(path, "integer-too-large", sentence)
            return None
        return number

    def _fraction(self, node: _Number, path: Path) -> Decimal | None:
        if self.allow_fractions:
            return self._decimal(node, path)
        sentence = f'A record holds no fractions: write the decimal as a string, "{node.text}".'
        self._wrong(path, "fraction", sentence)
        return None

    def _decimal(self, node: _Number, path: Path) -> Decimal | None:
        exponent = re.split("[eE]", node.text)[1:]
        if exponent and abs(int(exponent[0])) > MAX_NUMBER_LENGTH:
            self._wrong(path, "number-too-long", "The exponent is absurd; write a plain decimal.")
            return None
        return Decimal(node.text)


def _printable(name: str) -> str:
    """Make a member name safe to stand in a pointer: no halves of characters."""
    return name.encode("utf-8", "replace").decode("utf-8")


def nulls(document: Any, path: Path = ()) -> Iterator[FieldError]:
    """Yield an error for each null: an absent value is left out, never null."""
    if document is None:
        sentence = "null says nothing; leave the field out."
        yield FieldError(pointer_of(*path), "null", sentence)
    members: Any = ()
    if isinstance(document, dict):
        members = document.items()
    elif isinstance(document, list | tuple):
        members = enumerate(document)
    for key, value in members:
        yield from nulls(value, (*path, key))

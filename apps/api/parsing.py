"""Reads request bodies: bounded, strict JSON, with the bytes kept for the idempotency key."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import IO, Any

from rest_framework.parsers import BaseParser
from rest_framework.request import Request

from apps.api.problem_types import (
    LENGTH_REQUIRED,
    MALFORMED_JSON,
    TOO_LARGE,
    UNSUPPORTED_MEDIA_TYPE,
)
from apps.api.problems import Problem
from apps.records.strict_json import MAX_DEPTH, loads_strict

ONE_RECORD_BYTES = 64 * 1024
SEVERAL_RECORDS_BYTES = 1024 * 1024
# A record may be as deep as its schema lets it, and stands one deeper in a request around it.
AROUND_A_RECORD = MAX_DEPTH + 1


@dataclass(frozen=True, slots=True)
class Body:
    """A request body, as it came and as it was read.

    Parameters
    ----------
    raw : bytes
        The body as it came.
    document : any JSON value
        Fractions are `decimal.Decimal`, exactly as written.
    """

    raw: bytes
    document: Any


EMPTY = Body(b"", {})
# ASCII is a part of UTF-8 (RFC 3629 section 1).
UTF_8 = frozenset({"utf-8", "utf8", "us-ascii"})


class StrictJSONParser(BaseParser):
    """The strict reader of the schema, for a body of bounded length."""

    media_type = "application/json"

    def parse(
        self,
        stream: IO[Any],
        _media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:
        """Read the body into a `Body`.

        Raises
        ------
        TooLarge
            For more bytes than the address takes, of which one too many is read.
        MalformedJson
            For anything that is not strict JSON.
        """
        view = (parser_context or {}).get("view")
        limit = int(getattr(view, "max_bytes", ONE_RECORD_BYTES))
        depth = int(getattr(view, "max_depth", MAX_DEPTH))
        raw = stream.read(limit + 1)
        read = loads_strict(raw, max_bytes=limit, max_depth=depth, allow_fractions=True)
        return Body(raw, read)


def check_length(request: Request, limit: int) -> None:
    """Refuse a body by its announced length, before a byte of it is read.

    Raises
    ------
    Problem
        `too-large`, or `length-required` for a body in pieces of unknown length.
    """
    announced = str(request.META.get("CONTENT_LENGTH") or "")
    if not announced and request.META.get("HTTP_TRANSFER_ENCODING"):
        raise Problem(LENGTH_REQUIRED, "Send the body with a Content-Length.")
    if announced.isdigit() and int(announced) > limit:
        raise too_large(int(announced), limit)


def check_encoding(request: Request) -> None:
    """Refuse a body that is packed, or written in other characters than UTF-8.

    Raises
    ------
    Problem
        `unsupported-media-type`, since reading it as plain UTF-8 could change what it says.
    """
    packed = request.headers.get("Content-Encoding", "identity")
    if packed.strip().lower() != "identity":
        sentence = "Send the body as it is, without a Content-Encoding."
        headers = {"Accept-Encoding": "identity"}
        raise Problem(UNSUPPORTED_MEDIA_TYPE, sentence, headers=headers)
    parameters: Mapping[str, str] = request.content_params or {}
    if parameters.get("charset", "utf-8").lower() not in UTF_8:
        raise Problem(UNSUPPORTED_MEDIA_TYPE, "Send the body in UTF-8; no other charset is read.")


def too_large(length: int, limit: int) -> Problem:
    """The problem of a body that is too large."""
    return Problem(
        TOO_LARGE, f"The body has {length} bytes, and at most {limit} are read here; split it."
    )


def body_of(request: Request) -> Body:
    """The body of a request; an absent one reads as an object without members."""
    body: object = request.data
    return body if isinstance(body, Body) else EMPTY


def required_body_of(request: Request) -> Body:
    """The body of a request that means nothing without one.

    Raises
    ------
    Problem
        `malformed-json` for an absent one.
    """
    body = body_of(request)
    if not body.raw:
        raise Problem(MALFORMED_JSON, "The body is missing; send an object, `{}` at least.")
    return body

"""Reads request bodies: bounded, strict JSON, with the bytes kept for the idempotency key."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import IO, Any

from rest_framework.parsers import BaseParser
from rest_framework.request import Request

from apps.api.problem_types import LENGTH_REQUIRED, TOO_LARGE
from apps.api.problems import Problem
from apps.records.strict_json import loads_strict

ONE_RECORD_BYTES = 64 * 1024
SEVERAL_RECORDS_BYTES = 1024 * 1024


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
        limit = _limit(parser_context or {})
        raw = stream.read(limit + 1)
        return Body(raw, loads_strict(raw, max_bytes=limit, allow_fractions=True))


def _limit(context: Mapping[str, Any]) -> int:
    return int(getattr(context.get("view"), "max_bytes", ONE_RECORD_BYTES))


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


def too_large(length: int, limit: int) -> Problem:
    """The problem of a body that is too large."""
    return Problem(
        TOO_LARGE, f"The body has {length} bytes, and at most {limit} are read here; split it."
    )


def body_of(request: Request) -> Body:
    """The body of a request; an absent one reads as an object without members."""
    body: object = request.data
    return body if isinstance(body, Body) else EMPTY

"""Writes answers as JSON; stored bytes go in as they are and are never written anew."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel
from rest_framework.renderers import BaseRenderer


@dataclass(frozen=True, slots=True)
class Verbatim:
    """JSON text that goes into an answer byte for byte.

    Parameters
    ----------
    data : bytes
        One JSON value in UTF-8.
    """

    data: bytes


def dumps(value: object) -> bytes:
    """Write a value as JSON.

    Parameters
    ----------
    value : object
        Mappings, lists, strings, integers, booleans, None, Pydantic models and `Verbatim`.
        Floats are refused: what is a number here is an integer, a decimal is a string.
    """
    if isinstance(value, Verbatim):
        return value.data
    if isinstance(value, BaseModel):
        return value.model_dump_json(exclude_none=True).encode()
    if isinstance(value, Mapping):
        members = (dumps(str(name)) + b":" + dumps(item) for name, item in value.items())
        return b"{" + b",".join(members) + b"}"
    if isinstance(value, list | tuple):
        return b"[" + b",".join(map(dumps, value)) + b"]"
    if isinstance(value, float):
        raise TypeError(f"{value!r} is a float; write decimals as strings.")
    return json.dumps(value, ensure_ascii=False).encode()


class JSONRenderer(BaseRenderer):
    """JSON by `dumps`; what is text already is passed through."""

    media_type = "application/json"
    format = "json"
    charset: str | None = None
    render_style = "binary"

    def render(
        self,
        data: Any,
        _accepted_media_type: str | None = None,
        _renderer_context: Mapping[str, Any] | None = None,
    ) -> bytes:
        """Write the answer; one without a document stays empty."""
        return b"" if data is None else dumps(data)

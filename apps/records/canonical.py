"""The one byte form of a document (RFC 8785), and the id that follows from it."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any

import rfc8785

from apps.records.errors import FieldError, InvalidRecord


def canonical_bytes(document: Mapping[str, Any]) -> bytes:
    """Write a document in the JSON Canonicalization Scheme.

    Parameters
    ----------
    document : mapping
        Strings, integers, booleans, lists and mappings.

    Raises
    ------
    InvalidRecord
        Something in it has no canonical form, such as a number outside 2^53 - 1.

    Notes
    -----
    Source: RFC 8785.
    """
    try:
        return rfc8785.dumps(dict(document))
    except (rfc8785.CanonicalizationError, UnicodeError) as error:
        sentence = f"The document has no canonical form: {error}."
        raise InvalidRecord(FieldError("", "no-canonical-form", sentence)) from error


def record_id(data: bytes) -> str:
    """Give the id of a record: SHA-256 (FIPS 180-4) of its canonical bytes, in hexadecimal."""
    return hashlib.sha256(data).hexdigest()

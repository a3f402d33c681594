"""Shared by the tests: what is wrong with a draft or a record, as pointer, code and sentence."""

from __future__ import annotations

import json
from typing import Any

import pytest

from apps.records.errors import FieldError, InvalidRecord
from apps.records.examples import RECORD, REFERRING, SKI, example_record
from apps.records.reading import document_of, read_document, read_draft

HOST = "node.example"


def draft_of(kind: str, body: Any, /, **envelope: Any) -> dict[str, Any]:
    """Give a draft with a good envelope around a body."""
    references = {"refers_to": [RECORD]} if kind in REFERRING else {}
    return {"ski": SKI, "performed_at": "2025-01-31", "body": body, **references, **envelope}


def accepted_body(kind: str, body: dict[str, Any]) -> dict[str, Any]:
    """Read a draft with this body and give the body that would be signed."""
    document = document_of(read_draft(kind, draft_of(kind, body), node_host=HOST))
    said: dict[str, Any] = document["body"]
    return said


def draft_errors(kind: str, body: Any, /, **envelope: Any) -> tuple[FieldError, ...]:
    """Read a draft as JSON text and give all its errors."""
    data = json.dumps(draft_of(kind, body, **envelope)).encode()
    with pytest.raises(InvalidRecord) as caught:
        read_draft(kind, data, node_host=HOST)
    return caught.value.errors


def record_errors(kind: str, /, **changes: Any) -> tuple[FieldError, ...]:
    """Read the example record of a kind with some members changed and give all its errors."""
    with pytest.raises(InvalidRecord) as caught:
        read_document({**example_record(kind), **changes})
    return caught.value.errors


def coded(errors: tuple[FieldError, ...]) -> list[tuple[str, str]]:
    """Give pointer and code of each error."""
    return [(error.pointer, error.code) for error in errors]

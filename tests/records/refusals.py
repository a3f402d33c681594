"""Shared by the tests: what is wrong with a draft or a record, as pointer, code and sentence."""

from __future__ import annotations

import json
from typing import Any, cast

import pytest

from apps.records.envelope import AnyDraft
from apps.records.errors import FieldError, InvalidRecord
from apps.records.examples import RECORD, REFERRING, SKI, WITHOUT_SKI, example_record
from apps.records.reading import (
    NodeKind,
    document_of,
    read_document,
    read_draft,
    read_node_draft,
)

HOST = "node.example"


def draft_of(kind: str, body: Any, /, **envelope: Any) -> dict[str, Any]:
    """Give a draft with a good envelope around a body."""
    references = {"refers_to": [RECORD]} if kind in REFERRING else {}
    subject = {} if kind in WITHOUT_SKI else {"ski": SKI}
    return {**subject, "performed_at": "2025-01-31", "body": body, **references, **envelope}


def read_any_draft(kind: str, draft: dict[str, Any]) -> AnyDraft:
    """Read a draft of any kind, also of those that only a node makes."""
    if kind in WITHOUT_SKI:
        return read_node_draft(cast("NodeKind", kind), draft, node_host=HOST)
    return read_draft(kind, draft, node_host=HOST)


def accepted_body(kind: str, body: dict[str, Any]) -> dict[str, Any]:
    """Read a draft with this body and give the body that would be signed."""
    document = document_of(read_any_draft(kind, draft_of(kind, body)))
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

"""The open schema as JSON Schema 2020-12 documents, one for each kind and one for them all."""

from __future__ import annotations

import json
from typing import Any

from apps.records.frame import FORMAT, AnyEnvelope, Frame
from apps.records.kinds import KINDS

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schema_id(name: str) -> str:
    """Give the `$id` of a schema document."""
    return f"urn:ski-service-registry:schema:{FORMAT}:{name}"


def schema_documents() -> dict[str, dict[str, Any]]:
    """Give all schema documents by name: each kind, the envelope, and `record` for any of them."""
    documents = {kind: _document(kind, spec.record) for kind, spec in KINDS.items()}
    documents["envelope"] = _open(_document("envelope", AnyEnvelope))
    documents["record"] = _any_record()
    return documents


def schema_files() -> dict[str, str]:
    """Give the text of every schema document by its file name; the same bytes every time."""
    return {f"{name}.json": schema_text(document) for name, document in schema_documents().items()}


def schema_text(document: dict[str, Any]) -> str:
    """Write one schema document as text with sorted keys."""
    return json.dumps(document, indent=2, sort_keys=True, ensure_ascii=False) + "\n"


def _document(name: str, model: type[Frame]) -> dict[str, Any]:
    head = {"$schema": DIALECT, "$id": schema_id(name)}
    return head | model.model_json_schema(mode="serialization")


def _open(document: dict[str, Any]) -> dict[str, Any]:
    """Let an envelope carry the fields that each kind adds."""
    document["additionalProperties"] = True
    document["description"] += " The fields `kind`, `refers_to` and `body` are those of each kind."
    return document


def _any_record() -> dict[str, Any]:
    return {
        "$schema": DIALECT,
        "$id": schema_id("record"),
        "title": "Record",
        "description": "Any record of this format.",
        "oneOf": [{"$ref": schema_id(kind)} for kind in KINDS],
    }

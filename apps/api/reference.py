"""The contract laid out for reading: operations by subject, then every shape with its fields."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from apps.api.openapi import contract
from apps.api.openapi_writer import SCHEMAS

METHODS = ("get", "post", "put", "delete")


@dataclass(frozen=True, slots=True)
class FieldLine:
    """One field or parameter: its name, type, the shapes the type names, and what it says."""

    name: str
    type: str
    shapes: tuple[str, ...]
    required: bool
    description: str


@dataclass(frozen=True, slots=True)
class OperationText:
    """One operation."""

    id: str
    method: str
    path: str
    summary: str
    description: str
    scope: str
    parameters: tuple[FieldLine, ...]
    request: str
    request_example: str
    status: str
    answer: str
    answer_shape: str
    answer_example: str
    problems: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Subject:
    """A tag and its operations."""

    name: str
    description: str
    operations: tuple[OperationText, ...]


@dataclass(frozen=True, slots=True)
class ShapeText:
    """A schema and its fields; `words` for a closed list."""

    name: str
    description: str
    fields: tuple[FieldLine, ...]
    words: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Reference:
    """All there is to read."""

    title: str
    description: str
    subjects: tuple[Subject, ...]
    shapes: tuple[ShapeText, ...]


@cache
def reference() -> Reference:
    """Lay the contract out."""
    document = contract()
    operations = list(_operations(document))
    subjects = [
        Subject(
            tag["name"],
            tag["description"],
            tuple(text for name, text in operations if name == tag["name"]),
        )
        for tag in document["tags"]
    ]
    shapes = [_shape(name, schema) for name, schema in document["components"]["schemas"].items()]
    info = document["info"]
    return Reference(info["title"], info["description"], tuple(subjects), tuple(shapes))


def _operations(document: dict[str, Any]) -> Iterator[tuple[str, OperationText]]:
    for path, methods in document["paths"].items():
        for method in METHODS:
            if method in methods:
                yield methods[method]["tags"][0], _operation(method, path, methods[method])


def _operation(method: str, path: str, written: dict[str, Any]) -> OperationText:
    request = written.get("requestBody", {}).get("content", {}).get("application/json", {})
    status, answer = next(iter(written["responses"].items()))
    content = next(iter(answer["content"].values()))
    security = written["security"]
    return OperationText(
        id=written["operationId"],
        method=method.upper(),
        path=path,
        summary=written["summary"],
        description=written["description"],
        scope=next((scope for one in security for scope in one.get("apiKey", [])), ""),
        parameters=tuple(_parameter(_resolved(one)) for one in written["parameters"]),
        request=_named(request.get("schema", {})),
        request_example=_example(request),
        status=status,
        answer=answer["description"],
        answer_shape=_named(content["schema"]),
        answer_example=_example(content),
        problems=tuple(_problems(written["responses"])),
    )


def _parameter(one: dict[str, Any]) -> FieldLine:
    kind = f"{one['in']}, {_type(one['schema'])}"
    return FieldLine(one["name"], kind, (), one["required"], one["description"])


def _resolved(part: dict[str, Any]) -> dict[str, Any]:
    """Follow a reference to a component."""
    if "$ref" not in part:
        return part
    _, _, kind, name = part["$ref"].split("/")
    component: dict[str, Any] = contract()["components"][kind][name]
    return component


def _problems(responses: dict[str, Any]) -> Iterator[tuple[str, str]]:
    for status, answer in responses.items():
        examples = (
            _resolved(answer)
            .get("content", {})
            .get("application/problem+json", {})
            .get("examples", {})
        )
        for slug in examples:
            yield status, slug


def _example(content: dict[str, Any]) -> str:
    examples = [one["value"] for one in content.get("examples", {}).values()]
    first = examples[0] if examples else ""
    return first if isinstance(first, str) else json.dumps(first, indent=2, ensure_ascii=False)


def _named(schema: dict[str, Any]) -> str:
    return str(schema.get("$ref", "")).removeprefix(SCHEMAS)


def _shape(name: str, schema: dict[str, Any]) -> ShapeText:
    required = set(schema.get("required", []))
    fields = tuple(
        FieldLine(
            field, _type(part), tuple(_shapes(part)), field in required, part.get("description", "")
        )
        for field, part in schema.get("properties", {}).items()
    )
    meanings = schema.get("x-meanings", {})
    words = tuple((word, meanings.get(word, "")) for word in schema.get("enum", []))
    return ShapeText(name, schema.get("description", ""), fields, words)


def _shapes(schema: Any) -> Iterator[str]:
    """Names of the shapes that a type mentions, each once."""
    found: dict[str, None] = {}
    _collect(schema, found)
    yield from found


def _collect(schema: Any, found: dict[str, None]) -> None:
    if isinstance(schema, list):
        for part in schema:
            _collect(part, found)
    if isinstance(schema, dict):
        if "$ref" in schema:
            found[_named(schema)] = None
        for key in ("items", "anyOf", "oneOf", "allOf", "additionalProperties"):
            _collect(schema.get(key), found)


def _type(schema: dict[str, Any]) -> str:
    if "$ref" in schema:
        return _named(schema)
    choices = schema.get("anyOf") or schema.get("oneOf")
    if choices:
        return " or ".join(dict.fromkeys(_type(choice) for choice in choices))
    if "const" in schema:
        return json.dumps(schema["const"])
    if "enum" in schema:
        return " | ".join(schema["enum"])
    if schema.get("type") == "array":
        return f"list of {_type(schema.get('items', {}))}"
    return str(schema.get("type", "any"))

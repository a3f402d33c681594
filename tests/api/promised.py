"""Holds every answer of the tests to the contract: its status, its media type, its shape."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from functools import cache
from typing import Any

from jsonschema import Draft202012Validator
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012

from apps.api.openapi import contract

DOCUMENT = "urn:contract"


@cache
def _registry() -> Registry[Any]:
    resource = Resource.from_contents(contract(), default_specification=DRAFT202012)
    empty: Registry[Any] = Registry()
    filled: Registry[Any] = empty.with_resource(DOCUMENT, resource)
    return filled


@cache
def validator(pointer: str) -> Draft202012Validator:
    """A validator of the schema at a place of the contract."""
    return Draft202012Validator({"$ref": f"{DOCUMENT}#{pointer}"}, registry=_registry())


def resolved(part: dict[str, Any]) -> dict[str, Any]:
    """Follow a reference to a component."""
    if "$ref" not in part:
        return part
    _, _, kind, name = part["$ref"].split("/")
    component: dict[str, Any] = contract()["components"][kind][name]
    return component


@cache
def _templates() -> list[tuple[re.Pattern[str], str]]:
    # Fixed parts first, so that /jobs/bulk is not taken for a job's id.
    paths = sorted(contract()["paths"], key=lambda path: path.count("{"))
    return [(re.compile(re.sub(r"{\w+}", "[^/]+", path)), path) for path in paths]


def operation_at(method: str, path: str) -> dict[str, Any] | None:
    """The operation of the contract at an address; None where it has none."""
    for pattern, template in _templates():
        if pattern.fullmatch(path):
            found: dict[str, Any] | None = contract()["paths"][template].get(method.lower())
            return found
    return None


def keeps_promise(method: str, path: str, response: Any) -> None:
    """Check an answer against what the contract says of the operation."""
    method = "GET" if method == "HEAD" else method
    operation = operation_at(method, path)
    if operation is None:
        assert response.status_code in {204, 401, 404, 405, 429}
        return
    answers: Mapping[str, dict[str, Any]] = operation["responses"]
    status = str(response.status_code)
    assert status in answers, f"{method} {path} answered {status}, which the contract lacks"
    content = resolved(answers[status]).get("content", {})
    if not response.content:
        return
    media_type = response.headers["Content-Type"]
    assert media_type in content, f"{status} of {path} came as {media_type}"
    schema = content[media_type]["schema"]
    if "$ref" in schema:
        validator(schema["$ref"].removeprefix("#")).validate(json.loads(response.content))

"""Writes the contract (OpenAPI 3.1) from the operations, so that it can't say what isn't done."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from typing import Any

import yaml
from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.openapi import AutoSchema
from drf_spectacular.plumbing import ComponentRegistry

from apps.api import problem_types
from apps.api.openapi_texts import SECURITY, TAGS
from apps.api.openapi_writer import OperationWriter
from apps.api.operations import Operation
from apps.api.problem_types import PROBLEM_TYPES, ProblemType


class RegistrySchema(AutoSchema):
    """Hands the operation of a view's method to the writer."""

    def get_operation(
        self,
        path: str,
        _path_regex: str,
        _path_prefix: str,
        method: str,
        registry: ComponentRegistry,
    ) -> dict[str, Any]:
        """Give the operation object."""
        view: Any = self.view
        operations: Mapping[str, Operation] = view.operations
        return OperationWriter(registry).operation(operations[method], path)


@cache
def contract() -> dict[str, Any]:
    """Give the contract as an OpenAPI 3.1 document."""
    document: dict[str, Any] = _generated()
    document["tags"] = [{"name": name, "description": text} for name, text in TAGS.items()]
    components = document["components"]
    components["securitySchemes"] = SECURITY
    components["examples"] = {kind.slug: {"value": problem_example(kind)} for kind in PROBLEM_TYPES}
    return document


def _generated() -> Any:
    generator = SchemaGenerator()  # type: ignore[no-untyped-call]
    return generator.get_schema(request=None, public=True)  # type: ignore[no-untyped-call]


def problem_example(kind: ProblemType) -> dict[str, Any]:
    """Give an example of an answer with this problem."""
    example = {
        "type": kind.uri,
        "title": kind.title,
        "status": kind.status,
        "detail": kind.example,
        "instance": "/api/v1/jobs",
        "request_id": "5f0c2f1e9d0b4a6c8e1d2b3a4c5d6e7f",
    }
    errors = _EXAMPLE_ERRORS.get(kind.slug)
    return {**example, "errors": errors} if errors else example


_EXAMPLE_ERRORS = {
    problem_types.INVALID_FIELDS.slug: [
        {
            "pointer": "/body/bevel_settings/0/side_bevel_deg",
            "code": "out-of-range",
            "detail": "`45` is outside 0.00 to 10.00 deg; give the bevel from square, e.g. 2, or "
            "in a request side_angle_deg 88.",
        }
    ],
    problem_types.INVALID_PARAMETERS.slug: [
        {
            "parameter": "asof",
            "code": "unknown-parameter",
            "detail": "There is no parameter `asof` here; did you mean `as_of`?",
        }
    ],
}


@cache
def contract_json() -> bytes:
    """Give the contract as JSON; its limits of numbers are numbers, unlike those in answers."""
    return json.dumps(contract(), ensure_ascii=False).encode()


def contract_yaml() -> str:
    """Give the contract as YAML, the same text every time."""
    return yaml.dump(
        contract(), Dumper=_Plain, sort_keys=False, allow_unicode=True, width=100, line_break="\n"
    )


class _Plain(yaml.SafeDumper):
    """Writes repeated parts out, since not every reader of YAML follows aliases."""

    def ignore_aliases(self, _data: Any) -> bool:
        """Never write an alias."""
        return True

"""Writes the contract (OpenAPI 3.1) from the operations, so that it can't say what isn't done."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

import yaml
from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.openapi import AutoSchema
from drf_spectacular.plumbing import ComponentRegistry, ResolvedComponent
from pydantic import BaseModel

from apps.api import problem_types
from apps.api.answers.problem import ProblemAnswer
from apps.api.openapi_texts import HEADERS, PATH_PARAMETERS, SECURITY, TAGS
from apps.api.operations import Operation
from apps.api.problem_types import PROBLEM_TYPES, ProblemType
from apps.api.problems import CONTENT_TYPE
from apps.api.query import parameter_schemas

SCHEMAS = "#/components/schemas/"


class RegistrySchema(AutoSchema):
    """Hands the operation of a view's method to the writer."""

    def get_operation(
        self,
        path: str,
        path_regex: str,
        path_prefix: str,
        method: str,
        registry: ComponentRegistry,
    ) -> dict[str, Any] | None:
        """Give the operation object; None for what is not part of the contract."""
        operation = self.view.operations.get(method)
        if operation is None:
            return None
        return _Writer(registry).operation(operation, path)


class _Writer:
    """Writes operation objects and registers the schemas they name."""

    def __init__(self, registry: ComponentRegistry) -> None:
        self.registry = registry

    def operation(self, operation: Operation, path: str) -> dict[str, Any]:
        written: dict[str, Any] = {
            "operationId": operation.id,
            "summary": operation.summary,
            "description": operation.description,
            "tags": [operation.tag],
            "parameters": _parameters(operation, path),
            "security": [] if operation.scope is None else [{"apiKey": [operation.scope.value]}],
        }
        if operation.request is not None:
            written["requestBody"] = self._request(operation, operation.request)
        written["responses"] = {
            str(operation.status): self._answer(operation),
            **_not_modified(operation),
            **self._problems(operation.all_problems),
        }
        return written

    def _request(self, operation: Operation, model: type[BaseModel]) -> dict[str, Any]:
        content: dict[str, Any] = {"schema": self._ref(model)}
        if operation.request_examples:
            content["examples"] = {
                name: {"value": value} for name, value in operation.request_examples.items()
            }
        return {"required": True, "content": {"application/json": content}}

    def _answer(self, operation: Operation) -> dict[str, Any]:
        answer = operation.answer
        schema = {"type": "object"} if answer.model is None else self._ref(answer.model)
        content: dict[str, Any] = {"schema": schema}
        if answer.example is not None:
            content["examples"] = {"usual": {"value": answer.example}}
        names = ["X-Request-ID", *answer.headers, *_headers_by_method(operation)]
        return {
            "description": answer.description,
            "headers": {name: _header(name, answer.headers) for name in names},
            "content": {answer.media_type: content},
        }

    def _problems(self, kinds: Iterable[ProblemType]) -> dict[str, Any]:
        by_status: dict[int, list[ProblemType]] = defaultdict(list)
        for kind in kinds:
            by_status[kind.status].append(kind)
        return {str(status): self._problem(by_status[status]) for status in sorted(by_status)}

    def _problem(self, kinds: list[ProblemType]) -> dict[str, Any]:
        examples = {kind.slug: {"$ref": f"#/components/examples/{kind.slug}"} for kind in kinds}
        content = {"schema": self._ref(ProblemAnswer), "examples": examples}
        return {
            "description": " Or: ".join(f"{kind.title} (`{kind.slug}`)." for kind in kinds),
            "headers": {name: _header(name, {}) for name in _problem_headers(kinds[0])},
            "content": {CONTENT_TYPE: content},
        }

    def _ref(self, model: type[BaseModel]) -> dict[str, str]:
        schema = model.model_json_schema(ref_template=SCHEMAS + "{model}", mode="serialization")
        for name, part in {**schema.pop("$defs", {}), model.__name__: schema}.items():
            self._register(name, part)
        return {"$ref": SCHEMAS + model.__name__}

    def _register(self, name: str, schema: dict[str, Any]) -> None:
        component = ResolvedComponent(
            name=name, type=ResolvedComponent.SCHEMA, object=name, schema=schema
        )
        known = self.registry._components.get(component.key)
        if known is not None and known.schema != schema:
            raise ValueError(f"Two schemas are called {name}; rename one of the models.")
        self.registry.register_on_missing(component)


def _parameters(operation: Operation, path: str) -> list[dict[str, Any]]:
    named = [PATH_PARAMETERS[name] for name in re.findall(r"{(\w+)}", path)]
    return [*named, *parameter_schemas(operation.query), *_request_headers(operation)]


def _request_headers(operation: Operation) -> list[dict[str, Any]]:
    names = ["X-Request-ID"]
    if operation.idempotent:
        names.append("Idempotency-Key")
    if operation.status == 200 and operation.request is None:
        names.append("If-None-Match")
    return [{"name": name, "in": "header", "required": False, **HEADERS[name]} for name in names]


def _headers_by_method(operation: Operation) -> list[str]:
    if operation.idempotent:
        return ["Idempotency-Replayed"]
    return ["ETag"] if operation.request is None else []


def _header(name: str, own: Mapping[str, str]) -> dict[str, Any]:
    if name in own:
        return {"description": own[name], "schema": {"type": "string"}}
    return dict(HEADERS[name])


def _problem_headers(kind: ProblemType) -> list[str]:
    by_status = {
        401: ["WWW-Authenticate"],
        405: ["Allow"],
        429: ["Retry-After"],
        503: ["Retry-After"],
    }
    return ["X-Request-ID", *by_status.get(kind.status, [])]


def _not_modified(operation: Operation) -> dict[str, Any]:
    if operation.request is not None:
        return {}
    headers = {"ETag": _header("ETag", {})}
    description = "The client has this answer already; the body is empty."
    return {"304": {"description": description, "headers": headers}}


@cache
def contract() -> dict[str, Any]:
    """Give the contract as an OpenAPI 3.1 document."""
    document: dict[str, Any] = SchemaGenerator().get_schema(request=None, public=True)
    document["tags"] = [{"name": name, "description": text} for name, text in TAGS.items()]
    components = document["components"]
    components["securitySchemes"] = SECURITY
    components["examples"] = {kind.slug: {"value": problem_example(kind)} for kind in PROBLEM_TYPES}
    return document


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


def contract_yaml() -> str:
    """Give the contract as YAML, the same text every time."""
    return yaml.dump(
        contract(), Dumper=_Plain, sort_keys=False, allow_unicode=True, width=100, line_break="\n"
    )


class _Plain(yaml.SafeDumper):
    """Writes repeated parts out, since not every reader of YAML follows aliases."""

    def ignore_aliases(self, data: Any) -> bool:
        """Never write an alias."""
        return True

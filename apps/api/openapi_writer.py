"""Writes one operation for the contract; what several share becomes a component, written once."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any

from drf_spectacular.plumbing import ComponentRegistry, ResolvedComponent
from pydantic import BaseModel

from apps.api.answers.problem import ProblemAnswer
from apps.api.openapi_texts import HEADERS, PATH_PARAMETERS
from apps.api.operations import Answer, Operation
from apps.api.problem_types import ProblemType
from apps.api.problems import CONTENT_TYPE
from apps.api.query import parameter_schemas

SCHEMAS = "#/components/schemas/"
HEADERS_BY_STATUS: Mapping[int, tuple[str, ...]] = {
    401: ("WWW-Authenticate",),
    405: ("Allow",),
    429: ("Retry-After",),
    503: ("Retry-After",),
}


class OperationWriter:
    """Writes operation objects and registers the components they name."""

    def __init__(self, registry: ComponentRegistry) -> None:
        self.registry = registry

    def operation(self, operation: Operation, path: str) -> dict[str, Any]:
        """Give the operation object (OpenAPI 3.1.1 section 4.8.10)."""
        written: dict[str, Any] = {
            "operationId": operation.id,
            "summary": operation.summary,
            "description": operation.description,
            "tags": [operation.tag],
            "parameters": self._parameters(operation, path),
            "security": _security(operation),
        }
        if operation.takes_body:
            written["requestBody"] = self._body(operation)
        written["responses"] = {
            str(operation.status): self._answer(operation),
            **self._repeated(operation),
            **self._not_modified(operation),
            **self._problems(operation.all_problems),
        }
        return written

    def _parameters(self, operation: Operation, path: str) -> list[dict[str, Any]]:
        named = [self._parameter(PATH_PARAMETERS[name]) for name in re.findall(r"{(\w+)}", path)]
        headers = [self._parameter(_request_header(name)) for name in _request_headers(operation)]
        return [*named, *parameter_schemas(operation.query), *headers]

    def _parameter(self, parameter: Mapping[str, Any]) -> dict[str, Any]:
        name = f"{parameter['in']}-{parameter['name']}"
        return self._component(ResolvedComponent.PARAMETER, name, dict(parameter))

    def _body(self, operation: Operation) -> dict[str, Any]:
        if operation.request is not None:
            return self._request(operation, operation.request)
        content = {media_type: _file(example) for media_type, example in operation.bodies.items()}
        return {"required": True, "content": content}

    def _request(self, operation: Operation, model: type[BaseModel]) -> dict[str, Any]:
        shown = operation.request_examples.items()
        content = {
            "schema": self._schema(model),
            "examples": {name: {"value": value} for name, value in shown},
        }
        return {"required": True, "content": {"application/json": content}}

    def _answer(self, operation: Operation) -> dict[str, Any]:
        answer = operation.answer
        schema = self._schema(answer.model) if answer.model else _bare(answer)
        content: dict[str, Any] = {"schema": schema}
        if answer.example is not None:
            example = answer.example() if callable(answer.example) else answer.example
            content["examples"] = {"usual": {"value": example}}
        own = {
            name: {"description": text, "schema": {"type": "string"}}
            for name, text in answer.headers.items()
        }
        shared = {name: self._header(name) for name in _answer_headers(operation)}
        return {
            "description": answer.description,
            "headers": {**own, **shared},
            "content": {
                answer.media_type: content,
                **{media_type: _text(example) for media_type, example in answer.also.items()},
            },
        }

    def _repeated(self, operation: Operation) -> dict[str, Any]:
        if operation.repeated is None:
            return {}
        return {str(operation.repeated): self._answer(operation)}

    def _not_modified(self, operation: Operation) -> dict[str, Any]:
        if not operation.is_read:
            return {}
        response = {
            "description": "The client has this answer already; the body is empty.",
            "headers": {"ETag": self._header("ETag")},
        }
        return {"304": self._component(ResolvedComponent.RESPONSE, "not-modified", response)}

    def _problems(self, kinds: Iterable[ProblemType]) -> dict[str, Any]:
        by_status: dict[int, list[ProblemType]] = defaultdict(list)
        for kind in kinds:
            by_status[kind.status].append(kind)
        return {str(status): self._problem(by_status[status]) for status in sorted(by_status)}

    def _problem(self, kinds: list[ProblemType]) -> dict[str, Any]:
        examples = {kind.slug: {"$ref": f"#/components/examples/{kind.slug}"} for kind in kinds}
        headers = ("X-Request-ID", *HEADERS_BY_STATUS.get(kinds[0].status, ()))
        response = {
            "description": " Or: ".join(f"{kind.title} (`{kind.slug}`)." for kind in kinds),
            "headers": {name: self._header(name) for name in headers},
            "content": {
                CONTENT_TYPE: {"schema": self._schema(ProblemAnswer), "examples": examples}
            },
        }
        name = ".".join(kind.slug for kind in kinds)
        return self._component(ResolvedComponent.RESPONSE, name, response)

    def _header(self, name: str) -> dict[str, Any]:
        return self._component(ResolvedComponent.HEADER, name, dict(HEADERS[name]))

    def _schema(self, model: type[BaseModel]) -> dict[str, Any]:
        schema = model.model_json_schema(ref_template=SCHEMAS + "{model}", mode="serialization")
        for name, part in {**schema.pop("$defs", {}), model.__name__: schema}.items():
            self._component(ResolvedComponent.SCHEMA, name, part)
        return {"$ref": SCHEMAS + model.__name__}

    def _component(self, kind: str, name: str, content: dict[str, Any]) -> dict[str, Any]:
        """Register a component unless it is there already; two things never share a name."""
        component = ResolvedComponent(  # type: ignore[no-untyped-call]
            name=name, type=kind, object=name, schema=content
        )
        known = self.registry._components.get(component.key)
        if known is not None and known.schema != content:
            raise ValueError(f"Two {kind} are called {name}; rename one of them.")
        self.registry.register_on_missing(component)
        return {"$ref": f"#/components/{kind}/{name}"}


def _security(operation: Operation) -> list[dict[str, list[str]]]:
    if operation.heeds_key:
        return [{}, {"apiKey": []}]
    return [{"apiKey": [scope.value]} for scope in operation.scopes]


def _bare(answer: Answer) -> dict[str, Any]:
    is_text = answer.media_type.startswith("text/") or answer.is_stream
    return {"type": "string" if is_text else "object"}


def _file(example: str) -> dict[str, Any]:
    # A generated client sends such a body as it is read from a file, and not as a string.
    text = _text(example)
    return {**text, "schema": {**text["schema"], "format": "binary"}}


def _text(example: str) -> dict[str, Any]:
    return {"schema": {"type": "string"}, "examples": {"usual": {"value": example}}}


def _request_headers(operation: Operation) -> list[str]:
    names = ["X-Request-ID"]
    if operation.idempotent:
        names.append("Idempotency-Key")
    if operation.is_read:
        names.append("If-None-Match")
    return names


def _request_header(name: str) -> dict[str, Any]:
    return {"name": name, "in": "header", "required": False, **HEADERS[name]}


def _answer_headers(operation: Operation) -> list[str]:
    if operation.idempotent:
        return ["X-Request-ID", "Idempotency-Replayed"]
    return ["X-Request-ID", "ETag"] if operation.is_read else ["X-Request-ID"]

"""The contract is valid, whole and up to date, and its own examples keep to it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from django.urls import URLPattern, URLResolver
from drf_spectacular.plumbing import ComponentRegistry
from openapi_spec_validator import OpenAPIV31SpecValidator

from apps.api import openapi_writer, urls
from apps.api.answers.base import AnswerModel
from apps.api.openapi import contract, contract_yaml
from apps.api.problem_types import PROBLEM_TYPES
from tests.api.client import ApiClient
from tests.api.promised import resolved, validator

FILE = Path(__file__).parents[2] / "docs" / "openapi.yaml"
OPERATIONS = [
    (method, path, operation)
    for path, methods in contract()["paths"].items()
    for method, operation in methods.items()
]
each_operation = pytest.mark.parametrize(
    ("method", "path", "operation"), OPERATIONS, ids=[o["operationId"] for _, _, o in OPERATIONS]
)


def test_the_file_is_as_the_code_has_it() -> None:
    assert FILE.read_text(encoding="utf-8") == contract_yaml(), (
        "docs/openapi.yaml has drifted; write it anew with: service-registry openapi"
    )


def test_it_is_openapi_3_1() -> None:
    document = yaml.safe_load(FILE.read_text(encoding="utf-8"))
    assert document["openapi"].startswith("3.1.")
    assert list(OpenAPIV31SpecValidator(document).iter_errors()) == []


def test_the_node_serves_the_same_document(nobody: ApiClient) -> None:
    served = nobody.get("openapi.json").json
    assert served == yaml.safe_load(FILE.read_text(encoding="utf-8"))


def addresses(patterns: list[URLPattern | URLResolver], before: str = "/") -> Iterator[str]:
    """All addresses below a list of patterns, as the contract writes them."""
    for pattern in patterns:
        here = before + str(pattern.pattern).replace("<str:", "{").replace(">", "}")
        if isinstance(pattern, URLResolver):
            yield from addresses(pattern.url_patterns, here)
        else:
            yield here


def test_every_address_is_in_it_and_no_other() -> None:
    routed = {one for one in addresses(urls.urlpatterns) if one.startswith(("/api/", "/.well"))}
    assert set(contract()["paths"]) == routed


def test_names_of_operations_are_unique() -> None:
    names = [operation["operationId"] for _, _, operation in OPERATIONS]
    assert len(set(names)) == len(names)


def said(content: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    """The examples of a body with the schema they belong to."""
    for example in content.get("examples", {}).values():
        yield content["schema"]["$ref"].removeprefix("#"), resolved(example)["value"]


@each_operation
def test_an_operation_is_whole(method: str, path: str, operation: dict[str, Any]) -> None:
    for part in ("operationId", "summary", "description", "tags", "responses"):
        assert operation[part], part
    assert operation["tags"][0] in {tag["name"] for tag in contract()["tags"]}
    assert ("requestBody" in operation) == (method in {"post", "put"})
    needs_key = operation["security"] != []
    assert ("401" in operation["responses"]) == needs_key
    assert {"400", "405", "406", "429", "500", "503"} <= set(operation["responses"])
    is_stream = "application/x-ndjson" in operation["responses"].get("200", {}).get("content", {})
    assert ("304" in operation["responses"]) == (method == "get" and not is_stream)


@each_operation
def test_its_examples_keep_to_its_schemas(
    method: str, path: str, operation: dict[str, Any]
) -> None:
    bodies = [operation.get("requestBody", {"content": {}}), *operation["responses"].values()]
    shown = [
        example
        for body in bodies
        for content in resolved(body).get("content", {}).values()
        if "$ref" in content["schema"]
        for example in said(content)
    ]
    assert shown
    for pointer, value in shown:
        validator(pointer).validate(value)


@each_operation
def test_requests_and_answers_have_examples(
    method: str, path: str, operation: dict[str, Any]
) -> None:
    for name, body in [("request", operation.get("requestBody")), *operation["responses"].items()]:
        for content in resolved(body or {}).get("content", {}).values():
            if content["schema"] != {"type": "object"}:
                assert content.get("examples"), f"{name} of {operation['operationId']}"


@each_operation
def test_parameters_say_what_they_are(method: str, path: str, operation: dict[str, Any]) -> None:
    for parameter in operation["parameters"]:
        assert resolved(parameter)["description"]
        assert resolved(parameter)["schema"]


def test_every_field_of_every_shape_is_described() -> None:
    silent = [
        f"{name}.{field}"
        for name, schema in contract()["components"]["schemas"].items()
        for field, part in schema.get("properties", {}).items()
        if not part.get("description")
    ]
    assert silent == []


def test_no_shape_lets_unknown_fields_in() -> None:
    open_shapes = [
        name
        for name, schema in contract()["components"]["schemas"].items()
        if schema.get("properties") and schema.get("additionalProperties") is not False
    ]
    # What a later version puts into a record is relayed as it is.
    assert open_shapes == ["LaterRecord"]


def test_every_problem_type_stands_in_some_operation() -> None:
    named = {
        slug
        for _, _, operation in OPERATIONS
        for response in operation["responses"].values()
        for content in resolved(response).get("content", {}).values()
        for slug in content.get("examples", {})
    }
    # An address that is no operation's has no place in a contract of operations.
    assert {kind.slug for kind in PROBLEM_TYPES} - named == {"not-found"}


def test_two_shapes_never_share_a_name() -> None:
    class Place(AnswerModel):
        """Another thing of the same name as one of the schema's."""

        here: str

    class First(AnswerModel):
        """Names it."""

        place: Place

    writer = openapi_writer.OperationWriter(ComponentRegistry())
    writer._component("schemas", "Place", {"type": "string"})
    with pytest.raises(ValueError, match="Two schemas are called Place"):
        writer._schema(First)

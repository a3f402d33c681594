"""The published JSON Schema: valid 2020-12, up to date, and judging as the models do."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from pydantic import BaseModel
from referencing import Registry, Resource

from apps.records.errors import InvalidRecord
from apps.records.examples import NODE, OTHER_SKI, example_draft, example_record
from apps.records.json_schema import schema_documents, schema_files, schema_id, schema_text
from apps.records.kinds import KINDS
from apps.records.reading import read_document
from tests.records.make_golden import golden_records

FOLDER = Path(__file__).parents[2] / "docs" / "schema"
DOCUMENTS = schema_documents()
REGISTRY: Registry[Any] = Registry().with_resources(
    [(schema_id(name), Resource.from_contents(doc)) for name, doc in DOCUMENTS.items()]
)
MODELS = [model for spec in KINDS.values() for model in (spec.record, spec.draft)]
GOLDEN = {name: golden["document"] for name, golden in golden_records().items()}


def validator(name: str) -> Draft202012Validator:
    return Draft202012Validator(DOCUMENTS[name], registry=REGISTRY)


def nodes(schema: Any) -> Iterator[dict[str, Any]]:
    """Give every object of a JSON Schema."""
    if isinstance(schema, dict):
        yield schema
    children = schema.values() if isinstance(schema, dict) else schema
    for child in children if isinstance(schema, dict | list) else ():
        yield from nodes(child)


@pytest.mark.parametrize("name", DOCUMENTS)
def test_each_document_is_a_json_schema_and_is_kept_up_to_date(name: str) -> None:
    Draft202012Validator.check_schema(DOCUMENTS[name])
    kept = (FOLDER / f"{name}.json").read_text(encoding="utf-8")
    assert kept == schema_text(DOCUMENTS[name])


def test_the_files_are_the_kept_ones() -> None:
    files = schema_files()
    assert sorted(files) == sorted(path.name for path in FOLDER.iterdir())
    assert all(text.encode() == (FOLDER / name).read_bytes() for name, text in files.items())


@pytest.mark.parametrize("name", GOLDEN)
def test_golden_records_fit_the_schema_of_their_kind_and_no_other(name: str) -> None:
    document = GOLDEN[name]
    fitting = [kind for kind in KINDS if validator(kind).is_valid(document)]
    assert fitting == [document["kind"]]
    assert validator("record").is_valid(document)
    assert validator("envelope").is_valid(document)


@pytest.mark.parametrize("kind", KINDS)
def test_examples_in_the_schema_fit_it(kind: str) -> None:
    (example,) = DOCUMENTS[kind]["examples"]
    assert example == example_record(kind)
    assert validator(kind).is_valid(example)
    draft = KINDS[kind].draft.model_json_schema()
    (example,) = draft["examples"]
    assert Draft202012Validator(draft).is_valid(example)


@pytest.mark.parametrize(
    ("kind", "changes"),
    [
        ("usage", {"format": 2}),
        ("usage", {"format": True}),
        ("usage", {"colour": "red"}),
        ("usage", {"salt": None}),
        ("usage", {"refers_to": ["0" * 64]}),
        ("usage", {"ski": {"shop": "a@b.c", "tag": "lower"}}),
        ("usage", {"performed_at": "2025-01-31T10:00:00"}),
        ("usage", {"body": {"days": 401}}),
        ("usage", {"body": {"days": 1.5}}),
        ("retraction", {"refers_to": []}),
        ("bevel-setting", {"body": {"edge": "left", "base_bevel_deg": 0.5, "basis": "set"}}),
        ("bevel-setting", {"body": {"edge": "left", "base_bevel_deg": "0.5", "basis": "set"}}),
        ("bevel-setting", {"body": {"edge": "left", "base_bevel_deg": "0.50"}}),
        ("job", {"body": {"findings": []}}),
        ("job", {"body": {"remarks": None}}),
        ("correction", {"body": {"reason": "omitted", "replacement": {"kind": "retraction"}}}),
        ("usage", {"author": NODE}),
        ("usage", {"ski": {"shop": NODE, "tag": "A"}}),
        ("same-ski", {"body": {"other_ski": OTHER_SKI, "evidence": []}}),
        ("same-ski", {"body": {"other_ski": OTHER_SKI, "evidence": ["markings"] * 2}}),
        ("same-ski", {"body": {"other_ski": OTHER_SKI, "evidence": ["side_by_side"]}}),
        ("same-ski", {"body": {"evidence": ["markings"]}}),
        ("dispute", {"refers_to": []}),
        ("dispute", {"body": {"reason": "wrong"}}),
        ("erasure", {"author": OTHER_SKI["shop"]}),
        ("key", {"ski": OTHER_SKI}),
        ("key", {"author": OTHER_SKI["shop"]}),
        ("key", {"body": {**example_record("key")["body"], "public": "A" * 42 + "B"}}),
        ("key-end", {"body": {**example_record("key-end")["body"], "reason": "old"}}),
    ],
)
def test_the_schema_refuses_what_the_reader_refuses(kind: str, changes: dict[str, Any]) -> None:
    document = {**example_record(kind), **changes}
    assert not validator(kind).is_valid(document)
    with pytest.raises(InvalidRecord):
        read_document(document)


@pytest.mark.parametrize(
    ("shop", "fits"), [("fellbench", True), ("node-1", True), ("node", False), (NODE, False)]
)
def test_a_draft_schema_knows_the_nodes_own_code(shop: str, fits: bool) -> None:
    schema = Draft202012Validator(KINDS["usage"].draft.model_json_schema())
    draft = {**example_draft("usage"), "ski": {"shop": shop, "tag": "A"}}
    assert schema.is_valid(draft) == fits


@pytest.mark.parametrize("value", [0.5, "1.5", 1, "0.50"])
def test_a_draft_schema_takes_numbers_and_strings(value: Any) -> None:
    schema = Draft202012Validator(KINDS["bevel-setting"].draft.model_json_schema())
    body = {"edge": "left", "base_bevel_deg": value, "side_angle_deg": 88}
    ski = {"shop": "fellbench", "tag": "fb-1"}
    assert schema.is_valid({"ski": ski, "performed_at": "2025-01-31", "body": body})


@pytest.mark.parametrize("model", MODELS, ids=lambda model: str(model.__name__))
def test_a_model_has_one_schema_for_reading_and_writing(model: type[BaseModel]) -> None:
    # A component of an OpenAPI document is named by its class alone, so both must agree.
    assert model.model_json_schema(mode="validation") == model.model_json_schema(
        mode="serialization"
    )


def test_a_name_means_the_same_in_every_schema() -> None:
    named: dict[str, Any] = {}
    for model in MODELS:
        schema = model.model_json_schema(ref_template="#/{model}")
        definitions = schema.pop("$defs")
        assert schema["title"] == model.__name__
        for name, definition in {**definitions, model.__name__: schema}.items():
            assert named.setdefault(name, definition) == definition
            assert definition["title"] == name


@pytest.mark.parametrize("model", MODELS, ids=lambda model: str(model.__name__))
def test_every_field_is_described_and_simple(model: type[BaseModel]) -> None:
    schema = model.model_json_schema()
    for node in nodes(schema):
        assert not {"prefixItems", "patternProperties", "x-draft"} & set(node)
        assert node.get("type") != "null"
        for name, field in node.get("properties", {}).items():
            assert field["description"].endswith("."), name
    for definition in [schema, *schema["$defs"].values()]:
        assert definition["description"]
        assert ("enum" in definition) or definition["additionalProperties"] is False


UNIT_ENDINGS = {"_mm": "mm", "_um": "um", "_m": "m", "_deg": "deg", "_c": "°C"}


@pytest.mark.parametrize("model", MODELS, ids=lambda model: str(model.__name__))
def test_a_name_with_a_unit_says_the_same_unit_in_its_schema(model: type[BaseModel]) -> None:
    schema = model.model_json_schema()
    for definition in [schema, *schema["$defs"].values()]:
        for name, field in definition.get("properties", {}).items():
            ending = next((unit for end, unit in UNIT_ENDINGS.items() if name.endswith(end)), None)
            declared = field.get("x-unit") or field.get("items", {}).get("x-unit")
            if ending is not None:
                assert declared == ending, name
                assert f"[{ending}]" in field["description"], name
            else:
                assert declared in {None, "a", "d", "1", "by quantity"}, name


@pytest.mark.parametrize("model", MODELS, ids=lambda model: str(model.__name__))
def test_every_word_has_a_meaning(model: type[BaseModel]) -> None:
    for definition in model.model_json_schema()["$defs"].values():
        if "enum" in definition:
            assert sorted(definition["x-meanings"]) == sorted(definition["enum"])
            assert all(text.endswith(".") for text in definition["x-meanings"].values())


def test_schema_text_is_plain_and_sorted() -> None:
    assert json.loads(schema_text({"b": "é", "a": 1})) == {"a": 1, "b": "é"}
    assert schema_text({"b": "é", "a": 1}).splitlines()[1] == '  "a": 1,'

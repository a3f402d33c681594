"""The base of every answer model."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema


class AnswerModel(BaseModel):
    """Base of the shapes that answers have; absent values are left out, never null."""

    model_config = ConfigDict(frozen=True, extra="forbid", from_attributes=True)

    @classmethod
    def __get_pydantic_json_schema__(
        cls, core: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Give the schema without null and without the titles that Pydantic makes up."""
        schema = handler(core)
        target = handler.resolve_ref_schema(schema)
        properties: dict[str, Any] = target.get("properties", {})
        for name, prop in properties.items():
            properties[name] = _bare(prop)
        return schema


def _bare(schema: JsonSchemaValue) -> JsonSchemaValue:
    rest = {key: value for key, value in schema.items() if key != "title"}
    choices = rest.get("anyOf", [])
    kept = [choice for choice in choices if choice != {"type": "null"}]
    if len(kept) == len(choices):
        return rest
    own = {key: value for key, value in rest.items() if key not in {"anyOf", "default"}}
    return {**(kept[0] if len(kept) == 1 else {"anyOf": kept}), **own}

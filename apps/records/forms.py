"""How one written form is checked: strictly as a record, or leniently as a draft."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

DRAFT_PATCH = "x-draft"
"""Schema key under which a form keeps the merge patch that drafts apply to its schema."""


@dataclass(frozen=True, slots=True)
class Mode:
    """Which of the two readings is under way.

    Parameters
    ----------
    draft : bool
        True for what an API request may send, False for the exact form that is signed.
    node_host : str or None
        Completes a shop code to a handle; only used in drafts.
    """

    draft: bool = False
    node_host: str | None = None

    @classmethod
    def of(cls, info: ValidationInfo) -> Mode:
        """Read the mode from pydantic's validation context; strict when there is none."""
        context = info.context or {}
        return cls(draft=bool(context.get("draft")), node_host=context.get("node_host"))

    def context(self) -> dict[str, object]:
        """Give the validation context that `of` reads back."""
        return {"draft": self.draft, "node_host": self.node_host}


def fault(code: str, sentence: str) -> PydanticCustomError:
    """Make the error of one field; the sentence is kept apart so that braces in it stay literal."""
    return PydanticCustomError(code, "{sentence}", {"sentence": sentence})


def shown(value: object, limit: int = 40) -> str:
    """Quote a value for an error sentence: printable ASCII only, and never long."""
    text = value if isinstance(value, str) else str(value)
    clipped = text[:limit] + ("…" if len(text) > limit else "")
    return "`" + "".join(c if c.isprintable() else f"<U+{ord(c):04X}>" for c in clipped) + "`"


# Compared by identity: an annotation must be hashable, and a schema is a dict.
@dataclass(frozen=True, slots=True, eq=False)
class Form:
    """A string form: its check and its JSON Schema, to stand in an `Annotated` string type.

    Parameters
    ----------
    check : callable
        Takes the string and the mode, gives the string to keep, or raises `fault`.
    schema : mapping
        JSON Schema of the record form.
    draft : mapping
        Merge patch (RFC 7396) that turns the schema into that of the draft form.
    """

    check: Callable[[str, Mode], str]
    schema: Mapping[str, Any]
    draft: Mapping[str, Any] = field(default_factory=dict)

    def _validate(self, value: object, info: ValidationInfo) -> str:
        if not isinstance(value, str):
            raise fault("not-a-string", "Write this as a string in quotation marks.")
        return self.check(value, Mode.of(info))

    def __get_pydantic_core_schema__(
        self, source: type[Any], handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(
            self._validate, serialization=core_schema.to_string_ser_schema()
        )

    def __get_pydantic_json_schema__(
        self, core: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return with_draft({"type": "string", **self.schema}, self.draft)


def with_draft(schema: JsonSchemaValue, patch: Mapping[str, Any]) -> JsonSchemaValue:
    """Attach the patch that a draft applies to a schema, when there is one."""
    return {**schema, DRAFT_PATCH: dict(patch)} if patch else schema


def settled(schema: Any, *, draft: bool) -> Any:
    """Apply or drop the draft patches anywhere in a JSON Schema.

    Parameters
    ----------
    schema : any JSON value
    draft : bool
        True applies each patch, False drops it.
    """
    if isinstance(schema, list):
        return [settled(item, draft=draft) for item in schema]
    if not isinstance(schema, dict):
        return schema
    patch = schema.get(DRAFT_PATCH, {}) if draft else {}
    merged = {k: v for k, v in {**schema, **patch}.items() if k != DRAFT_PATCH and v is not None}
    return {key: settled(value, draft=draft) for key, value in merged.items()}

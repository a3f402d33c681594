"""The base of every model of the schema: frozen, closed, without null, and with named rules."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any, ClassVar, Self

from pydantic import (
    BaseModel,
    ConfigDict,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    ValidationInfo,
    model_validator,
)
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from apps.records.forms import Mode, fault, settled, with_draft

BROKEN_RULES = "broken-rules"
NULL = {"type": "null"}


@dataclass(frozen=True, slots=True)
class Broken:
    """One broken rule between fields: the field to mend, a stable code, a sentence."""

    field: str
    code: str
    sentence: str


class RecordModel(BaseModel):
    """Base of the record form of everything in the schema.

    Rules that join several fields are checked once each field is well formed by itself.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", use_attribute_docstrings=False)

    is_draft: ClassVar[bool] = False

    def broken_rules(self) -> Iterator[Broken]:
        """Yield the broken rules between fields; models with rules extend this."""
        yield from self._other_texts()

    def _other_texts(self) -> Iterator[Broken]:
        for name, text_name in _with_texts(type(self)):
            yield from self._other_text(name, text_name)

    def _other_text(self, name: str, text_name: str) -> Iterator[Broken]:
        value = getattr(self, name)
        is_other = "other" in value if isinstance(value, tuple) else value == "other"
        has_text = getattr(self, text_name) is not None
        if is_other and not has_text:
            yield Broken(text_name, "text-needed", f"`{name}` is `other`: say here what it is.")
        if has_text and not is_other:
            yield Broken(
                text_name,
                "text-refused",
                f"This text goes with `{name}` `other` only; leave it out.",
            )

    def needs_one_of(self, *names: str) -> Iterator[Broken]:
        """Yield a broken rule when none of the fields is given."""
        if not any(getattr(self, name) not in (None, ()) for name in names):
            listed = ", ".join(f"`{name}`" for name in names)
            yield Broken("", "nothing-given", f"Give at least one of {listed}.")

    def only_with(self, names: tuple[str, ...], why: str, *, fits: bool) -> Iterator[Broken]:
        """Yield a broken rule for each given field when it does not fit the rest."""
        for name in names:
            if not fits and getattr(self, name) is not None:
                yield Broken(name, "does-not-belong", f"{why}; leave it out.")

    @model_validator(mode="after")
    def _keep_rules(self) -> Self:
        broken = tuple(self.broken_rules())
        if broken:
            raise PydanticCustomError(BROKEN_RULES, "rules", {"broken": broken})
        return self

    @classmethod
    def __get_pydantic_json_schema__(
        cls, core: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        schema = handler(core)
        target = handler.resolve_ref_schema(schema)
        properties = target.get("properties", {})
        for name, field_schema in properties.items():
            properties[name] = _without_null(settled(field_schema, draft=cls.is_draft))
        return schema


@cache
def _with_texts(model: type[RecordModel]) -> tuple[tuple[str, str], ...]:
    """Pair each field with the text beside it; looked up once, as every read record asks."""
    names = model.model_fields
    return tuple((name, f"{name}_text") for name in names if f"{name}_text" in names)


def _without_null(schema: JsonSchemaValue) -> JsonSchemaValue:
    """Drop null and defaults that mean absent: an absent value is left out, never null."""
    means_absent = schema.get("default") in (None, [])
    dropped = {"title", "default"} if means_absent else {"title"}
    rest = {key: value for key, value in schema.items() if key not in dropped}
    if "anyOf" not in rest or NULL not in rest["anyOf"]:
        return rest
    kept = next(choice for choice in rest.pop("anyOf") if choice != NULL)
    return {**kept, **rest}


def is_empty(value: tuple[object, ...]) -> bool:
    """Say whether a list has nothing in it, so that it is left out when written."""
    return not value


@dataclass(frozen=True, slots=True)
class Filled:
    """Marks a list that is left out of a record when it is empty; a draft may send it empty."""

    def _validate(self, value: object, info: ValidationInfo) -> object:
        if value == [] and not Mode.of(info).draft:
            raise fault("empty-list", "An empty list is left out of a record; leave it out.")
        return value

    def __get_pydantic_core_schema__(
        self, source: type[Any], handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.with_info_before_validator_function(self._validate, handler(source))

    def __get_pydantic_json_schema__(
        self, core: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return with_draft({**handler(core), "minItems": 1}, {"minItems": None})


FILLED = Filled()
LIST_LENGTH = 60

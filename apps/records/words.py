"""What a closed list of words is: each member carries its meaning and where it comes from."""

from __future__ import annotations

from enum import StrEnum
from typing import Self

from pydantic import GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema

PRACTICE = "common practice, no source"
OWN = "this schema"


class Word(StrEnum):
    """A closed list of words; each is written with its meaning and, if any, its source."""

    meaning: str
    source: str

    def __new__(cls, value: str, meaning: str = "", source: str = PRACTICE) -> Self:
        """Make a member that is the word itself and knows its meaning."""
        member = str.__new__(cls, value)
        member._value_ = value
        member.meaning = meaning
        member.source = source
        return member

    @classmethod
    def __get_pydantic_json_schema__(
        cls, core: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        schema = handler(core)
        target = handler.resolve_ref_schema(schema)
        target["x-meanings"] = {word.value: word.meaning for word in cls}
        return schema

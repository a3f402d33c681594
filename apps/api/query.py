"""Reads query parameters by a model; an unknown, repeated or unreadable one is an error."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator
from typing import Annotated, Any, TypeVar

from django.http import QueryDict
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from apps.api.problem_types import INVALID_PARAMETERS
from apps.api.problems import Mistake, Problem
from apps.records.forms import fault, shown
from apps.records.problems import field_errors

MOST_ITEMS = 500
USUAL_ITEMS = 100


class Query(BaseModel):
    """Base of the query parameters of an address; without fields it takes none."""

    model_config = ConfigDict(frozen=True, extra="forbid")


Q = TypeVar("Q", bound=Query)


_DIGITS = re.compile(r"[0-9]{1,15}", re.ASCII)


def _flag(value: object) -> object:
    flags: dict[object, bool] = {"true": True, "false": False}
    if value not in flags:
        raise fault("not-a-flag", f"{shown(value)} is neither true nor false; write one.")
    return flags[value]


def _whole(value: object) -> object:
    if not _DIGITS.fullmatch(str(value)):
        raise fault("not-an-integer", f"{shown(value)} is no whole number; write digits only.")
    return int(str(value))


Flag = Annotated[bool, BeforeValidator(_flag)]
Whole = Annotated[int, BeforeValidator(_whole)]
Limit = Annotated[Whole, Field(ge=1, le=MOST_ITEMS)]
Position = Annotated[Whole, Field(ge=0)]


def read_query(given: QueryDict, model: type[Q]) -> Q:
    """Read the query parameters of a request.

    Raises
    ------
    Problem
        `invalid-parameters`, with all that is wrong at once.
    """
    mistakes = [*_unknown(given, model), *_repeated(given)]
    known = {name: given[name] for name in given if name in parameter_names(model)}
    try:
        query = model.model_validate(known)
    except ValidationError as error:
        mistakes += _mistakes(error, model)
    if mistakes:
        raise _problem(mistakes)
    return query


def parameter_names(model: type[Query]) -> tuple[str, ...]:
    """Name the parameters; one that is called by a word of Python has that word as its alias."""
    return tuple(info.alias or name for name, info in model.model_fields.items())


def _mistakes(error: ValidationError, model: type[Query]) -> Iterator[Mistake]:
    for one in field_errors(error, model):
        yield Mistake(one.code, one.message, parameter=one.pointer.removeprefix("/"))


def _unknown(given: QueryDict, model: type[Query]) -> Iterator[Mistake]:
    for name in given:
        if name not in parameter_names(model):
            yield Mistake("unknown-parameter", _no_such(name, model), parameter=name[:40])


def _no_such(name: str, model: type[Query]) -> str:
    near = difflib.get_close_matches(name, sorted(parameter_names(model)), n=1)
    if near:
        return f"There is no parameter {shown(name)} here; did you mean `{near[0]}`?"
    listed = ", ".join(f"`{field}`" for field in parameter_names(model)) or "no parameter at all"
    return f"There is no parameter {shown(name)} here; this address takes {listed}."


def _repeated(given: QueryDict) -> Iterator[Mistake]:
    for name, values in given.lists():
        if len(values) > 1:
            sentence = f"{shown(name)} is given {len(values)} times; give it once."
            yield Mistake("repeated-parameter", sentence, parameter=name[:40])


def _problem(mistakes: list[Mistake]) -> Problem:
    detail = mistakes[0].detail
    if len(mistakes) > 1:
        detail = f"{len(mistakes)} query parameters need mending; see `errors`."
    return Problem(INVALID_PARAMETERS, detail, mistakes=mistakes)


# Pydantic leaves the limits of a number that a validator made under its own names.
LIMITS = {"ge": "minimum", "le": "maximum"}


def parameter_schemas(model: type[Query]) -> list[dict[str, Any]]:
    """Give the OpenAPI parameter objects of a model."""
    schema = model.model_json_schema()
    needed = set(schema.get("required", []))
    properties = schema.get("properties", {})
    return [
        {**_parameter(name, prop), "required": name in needed} for name, prop in properties.items()
    ]


def _parameter(name: str, prop: dict[str, Any]) -> dict[str, Any]:
    described = {key: value for key, value in prop.items() if key not in {"title", "description"}}
    choices = [one for one in described.pop("anyOf", []) if one != {"type": "null"}]
    if described.get("default", ...) is None:
        del described["default"]
    written = {**(choices[0] if choices else {}), **described}
    schema = {LIMITS.get(key, key): value for key, value in written.items()}
    return {
        "name": name,
        "in": "query",
        "required": False,
        "description": prop["description"],
        "schema": schema,
    }

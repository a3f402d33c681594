"""The one place where pydantic's errors become sentences that name the field and the mend."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from apps.records.errors import FieldError, pointer_of
from apps.records.forms import shown
from apps.records.model import BROKEN_RULES

UNIONS = frozenset({"replacement"})
POINT_PREFIX = "point:"

Location = tuple[str | int, ...]


def field_errors(error: ValidationError, model: type[BaseModel]) -> tuple[FieldError, ...]:
    """Translate all errors of a validation, in the order of the model's fields."""
    found: list[FieldError] = []
    for details in error.errors(include_url=False):
        found.extend(_translated(details, model))
    return tuple(found)


def _translated(details: ErrorDetails, model: type[BaseModel]) -> Iterator[FieldError]:
    if _is_counted_short(details):
        return
    place = _without_tags(details["loc"])
    if details["type"] == BROKEN_RULES:
        for broken in details["ctx"]["broken"]:
            field = tuple(part for part in broken.field.split("/") if part)
            yield FieldError(pointer_of(*place, *field), broken.code, broken.sentence)
        return
    code, sentence = _worded(details, place, model)
    yield FieldError(pointer_of(*place), code, sentence)


def _is_counted_short(details: ErrorDetails) -> bool:
    # Pydantic counts the good items only; a long enough list with a bad item is not too short.
    if details["type"] != "too_short":
        return False
    return bool(len(details["input"]) >= details["ctx"]["min_length"])


def _without_tags(location: Location) -> Location:
    """Drop the names of union members, which pydantic puts into a location."""
    kept: list[str | int] = []
    after_union = False
    for part in location:
        is_tag = after_union or (isinstance(part, str) and part.startswith(POINT_PREFIX))
        if not is_tag:
            kept.append(part)
        after_union = part in UNIONS and not after_union
    return tuple(kept)


def _worded(details: ErrorDetails, place: Location, model: type[BaseModel]) -> tuple[str, str]:
    kind, context = details["type"], details.get("ctx", {})
    if kind == "extra_forbidden":
        return "unknown-field", _unknown_field(str(place[-1]), details["loc"][:-1], model)
    if "sentence" in context:
        return kind, context["sentence"]
    if kind not in SENTENCES:
        return "wrong", f"{details['msg']}; correct it."
    code, template = SENTENCES[kind]
    return code, template.format_map(_facts(details))


def _facts(details: ErrorDetails) -> dict[str, Any]:
    """Give what a sentence may name; all that the sender wrote is made safe to show."""
    context = details.get("ctx", {})
    named = {"tag": shown(context["tag"])} if "tag" in context else {}
    field = str(details["loc"][-1])
    return {**context, **named, "input": shown(details["input"]), "field": field}


def _unknown_field(name: str, parent: Location, model: type[BaseModel]) -> str:
    near = difflib.get_close_matches(name, sorted(field_names(model, parent)), n=1)
    hint = f" did you mean `{near[0]}`?" if near else " leave it out."
    return f"No field {shown(name)} here;{hint}"


def field_names(model: type[BaseModel], place: Location) -> set[str]:
    """Give the names of the fields that may stand at a place below a model.

    The place may hold the names of union members, as pydantic puts them into a location; without
    them, the fields of all members are given.
    """
    models = {model}
    before: str | int = ""
    for part in place:
        members = {one for one in models if before in UNIONS and _is_of_kind(one, part)}
        if members or (isinstance(part, str) and not part.startswith(POINT_PREFIX)):
            models = members or _below(models, str(part))
        before = part
    return {name for found in models for name in found.model_fields}


def _is_of_kind(model: type[BaseModel], tag: str | int) -> bool:
    kind = model.model_fields.get("kind")
    return kind is not None and tag in get_args(kind.annotation)


def _below(models: set[type[BaseModel]], name: str) -> set[type[BaseModel]]:
    fields = [one.model_fields[name] for one in models if name in one.model_fields]
    return {found for field in fields for found in _models_in(field.annotation)}


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for argument in get_args(annotation):
        yield from _models_in(argument)


SENTENCES: Mapping[str, tuple[str, str]] = {
    "missing": ("missing", "`{field}` is missing; give it."),
    "literal_error": ("unknown-word", "{input} is none of the words here; write {expected}."),
    "enum": ("unknown-word", "{input} is none of the words here; write {expected}."),
    "bool_type": ("not-a-boolean", "Write true or false, without quotation marks."),
    "int_type": (
        "not-an-integer",
        "Write a whole number, without quotation marks and without a point.",
    ),
    "greater_than": ("out-of-range", "{input} is too low; more than {gt} is needed here."),
    "greater_than_equal": ("out-of-range", "{input} is too low; at least {ge} is needed here."),
    "less_than_equal": ("out-of-range", "{input} is too high; at most {le} is allowed here."),
    "too_long": (
        "too-many",
        "At most {max_length} items may stand in this list here; take out some.",
    ),
    "too_short": ("too-few", "This list needs at least {min_length} items; add the missing ones."),
    "model_type": ("not-an-object", "Write an object in braces here."),
    "model_attributes_type": ("not-an-object", "Write an object in braces here."),
    "tuple_type": ("not-a-list", "Write a list in square brackets here."),
    "union_tag_invalid": ("unknown-kind", "{tag} can't stand here; write one of {expected_tags}."),
    "union_tag_not_found": ("missing", "{discriminator} is missing; give it."),
}

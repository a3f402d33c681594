"""Reads a request body by a model, with all that is wrong at once."""

from __future__ import annotations

from typing import TypeVar

from django.conf import settings
from pydantic import ValidationError

from apps.api.drafts import object_of
from apps.records.errors import InvalidRecord
from apps.records.forms import Mode
from apps.records.model import RecordModel
from apps.records.problems import field_errors
from apps.records.strict_json import nulls

M = TypeVar("M", bound=RecordModel)


def read_body(document: object, model: type[M], *, verbatim: frozenset[str] = frozenset()) -> M:
    """Read a document that a client sent.

    Parameters
    ----------
    document : any JSON value
    model : type
    verbatim : frozenset of str
        Members that are read elsewhere by rules of their own, such as a record's.

    Raises
    ------
    InvalidRecord
        With all that is wrong at once.
    """
    given = object_of(document)
    errors = tuple(nulls({name: one for name, one in given.items() if name not in verbatim}))
    if errors:
        raise InvalidRecord(*errors)
    try:
        mode = Mode(draft=True, node_host=settings.NODE_HOST)
        return model.model_validate(given, context=mode.context())
    except ValidationError as error:
        raise InvalidRecord(*field_errors(error, model)) from error

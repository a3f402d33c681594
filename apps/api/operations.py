"""What an operation of the API is: said once, obeyed by the view and written into the contract."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from pydantic import BaseModel

from apps.api import problem_types as types
from apps.api.problem_types import ProblemType
from apps.api.query import Query
from apps.registry.actors import Scope

Cost = Literal["read", "write", "compute"]

ANYWHERE = (
    types.BAD_REQUEST,
    types.NOT_ACCEPTABLE,
    types.METHOD_NOT_ALLOWED,
    types.TOO_MANY_REQUESTS,
    types.SERVER_ERROR,
    types.STORAGE_BUSY,
)
WITH_KEY = (types.UNAUTHENTICATED, types.NOT_ALLOWED)
WITH_BODY = (
    types.MALFORMED_JSON,
    types.INVALID_FIELDS,
    types.LENGTH_REQUIRED,
    types.TOO_LARGE,
    types.UNSUPPORTED_MEDIA_TYPE,
)
WRITING = (
    types.UNKNOWN_REFERENCE,
    types.WRONG_STATE,
    types.STORAGE_FULL,
)
IDEMPOTENT = (
    types.IDEMPOTENCY_KEY_INVALID,
    types.IDEMPOTENCY_MISMATCH,
    types.REQUEST_IN_PROGRESS,
)


@dataclass(frozen=True, slots=True)
class Answer:
    """What an operation answers when all is well.

    Parameters
    ----------
    description : str
        What the answer is.
    model : type or None
        Model of the JSON answer; None for an answer of another media type.
    example : any JSON value, or a callable that gives one
        Stands in the contract; a callable is asked when the contract is written.
    media_type : str
    headers : mapping of str to str
        Headers of this answer and what they say.
    also : mapping of str to str
        Further media types in which the same may be asked for as text, with an example each.
    """

    description: str
    model: type[BaseModel] | None = None
    example: Any = None
    media_type: str = "application/json"
    headers: Mapping[str, str] = field(default_factory=dict)
    also: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Operation:
    """One method at one address.

    Parameters
    ----------
    id : str
        Name of the operation; generated clients name their functions after it.
    tag, summary, description : str
        For the contract.
    answer : Answer
    status : int
        Status of the answer.
    scope : Scope or None
        What the API key must allow; None for an operation without a key.
    cost : str
        Which rate counts it.
    query : type
        Model of the query parameters.
    request : type or None
        Model of the body.
    request_examples : mapping
        Bodies for the contract, by name.
    problems : tuple of ProblemType
        Those that not every operation has.
    idempotent : bool
        Whether an `Idempotency-Key` is heeded.
    """

    id: str
    tag: str
    summary: str
    description: str
    answer: Answer
    status: int = 200
    scope: Scope | None = Scope.READ
    cost: Cost = "read"
    query: type[Query] = Query
    request: type[BaseModel] | None = None
    request_examples: Mapping[str, Any] = field(default_factory=dict)
    problems: tuple[ProblemType, ...] = ()
    idempotent: bool = False

    @property
    def all_problems(self) -> tuple[ProblemType, ...]:
        """Every problem this operation can answer with, by status and slug."""
        found = {*ANYWHERE, *self.problems, types.INVALID_PARAMETERS}
        if self.scope is not None:
            found |= {*WITH_KEY}
        if self.request is not None:
            found |= {*WITH_BODY}
        if self.idempotent:
            found |= {*IDEMPOTENT}
        return tuple(sorted(found, key=lambda one: (one.status, one.slug)))

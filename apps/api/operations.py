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
    types.ERASED,
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
    is_stream : bool
        Whether it is written while it is sent, so that it has no ETag.
    """

    description: str
    model: type[BaseModel] | None = None
    example: Any = None
    media_type: str = "application/json"
    headers: Mapping[str, str] = field(default_factory=dict)
    also: Mapping[str, str] = field(default_factory=dict)
    is_stream: bool = False


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
    bodies : mapping of str to str
        Bodies that are no JSON document: an example by media type; they are read as they come.
    repeated : int or None
        Status of the same answer where nothing had to be done any more.
    other_scope : Scope or None
        A scope that does as well as `scope`.
    heeds_key : bool
        Whether a key is looked at though none is needed: its own rate counts then.
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
    bodies: Mapping[str, str] = field(default_factory=dict)
    other_scope: Scope | None = None
    repeated: int | None = None
    heeds_key: bool = False

    @property
    def takes_body(self) -> bool:
        """Whether a request has a body."""
        return self.request is not None or bool(self.bodies)

    @property
    def scopes(self) -> tuple[Scope, ...]:
        """The scopes of which one is needed; none for an operation without a key."""
        return tuple(one for one in (self.scope, self.other_scope) if one is not None)

    @property
    def is_read(self) -> bool:
        """Whether it only reads what a client may keep and ask for again with the ETag."""
        return not (self.takes_body or self.answer.is_stream) and self.cost != "write"

    @property
    def all_problems(self) -> tuple[ProblemType, ...]:
        """Every problem this operation can answer with, by status and slug."""
        found = {*ANYWHERE, *self.problems, types.INVALID_PARAMETERS}
        if self.scope is not None:
            found |= {*WITH_KEY}
        if self.heeds_key:
            found.add(types.UNAUTHENTICATED)
        if self.takes_body:
            found |= {*WITH_BODY}
        if self.idempotent:
            found |= {*IDEMPOTENT}
        return tuple(sorted(found, key=lambda one: (one.status, one.slug)))

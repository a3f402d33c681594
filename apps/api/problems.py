"""Turns every refusal into problem+json (RFC 9457); the one place where errors meet statuses."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import OperationalError
from django.http import HttpRequest, HttpResponse
from rest_framework import exceptions
from rest_framework.response import Response

from apps.api import problem_types as types
from apps.api.middleware import request_id
from apps.api.problem_types import ProblemType
from apps.exchange.bundles import TooManyRecords
from apps.exchange.webhooks import UnknownWebhook
from apps.records.errors import FieldError, InvalidRecord, MalformedJson
from apps.records.errors import TooLarge as DocumentTooLarge
from apps.registry import errors as registry
from apps.registry.errors import RegistryError
from apps.registry.storage import storage_errors

CONTENT_TYPE = "application/problem+json"
RETRY_BUSY_SECONDS = 2
# A small body can hold very many mistakes, and each is answered with far more than it took.
MOST_MISTAKES = 200


@dataclass(frozen=True, slots=True)
class Mistake:
    """One thing to mend.

    Parameters
    ----------
    code : str
        Stable word for the kind of mistake.
    detail : str
        A sentence that names the mend.
    pointer : str or None
        JSON Pointer (RFC 6901) into the body, for a mistake in it.
    parameter : str or None
        The query parameter, for a mistake in the address.
    line : int or None
        The line of the file, for a mistake in one that was sent.
    column : str or None
        The column, for a mistake in a table.
    """

    code: str
    detail: str
    pointer: str | None = None
    parameter: str | None = None
    line: int | None = None
    column: str | None = None

    def shown(self) -> dict[str, str | int]:
        """Give the mistake as it is written, without what does not apply."""
        places: dict[str, str | int | None] = {
            "pointer": self.pointer,
            "parameter": self.parameter,
            "line": self.line,
            "column": self.column,
        }
        given = {name: place for name, place in places.items() if place is not None}
        return {**given, "code": self.code, "detail": self.detail}


class Problem(Exception):
    """A refusal that is already worded for HTTP."""

    def __init__(
        self,
        kind: ProblemType,
        detail: str,
        *,
        mistakes: Sequence[Mistake] = (),
        headers: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__(detail)
        self.kind = kind
        self.detail = detail
        self.mistakes = tuple(mistakes[:MOST_MISTAKES])
        self.headers = dict(headers or {})


def document(problem: Problem, request: HttpRequest) -> dict[str, Any]:
    """Give the members of a problem document."""
    members: dict[str, Any] = {
        "type": problem.kind.uri,
        "title": problem.kind.title,
        "status": problem.kind.status,
        "detail": problem.detail,
        "instance": request.path,
        "request_id": request_id(request),
    }
    if problem.mistakes:
        members["errors"] = [mistake.shown() for mistake in problem.mistakes]
    return members


def exception_handler(error: Exception, context: Mapping[str, Any]) -> Response | None:
    """Answer an exception of a view; None leaves it to `server_error`."""
    problem = problem_of(error, several=getattr(context.get("view"), "several", ""))
    if problem is None:
        return None
    # The status counts as rendered by JSON whatever was asked for, also for 406 itself.
    return Response(
        document(problem, context["request"]._request),
        status=problem.kind.status,
        headers=problem.headers,
        content_type=CONTENT_TYPE,
    )


def problem_of(error: Exception, *, several: str = "") -> Problem | None:
    """Word an exception for HTTP; None for one that nobody foresaw.

    Parameters
    ----------
    error : Exception
    several : str
        JSON Pointer to the list of records of a call that sends several; "" for one record.
    """
    if isinstance(error, Problem):
        return error
    if isinstance(error, InvalidRecord):
        return _of_document(error)
    if isinstance(error, RegistryError):
        return _of_registry(error, several)
    if isinstance(error, exceptions.APIException):
        return _of_framework(error)
    if isinstance(error, OperationalError):
        return _of_database(error)
    return None


def _of_database(error: OperationalError) -> Problem | None:
    """Word the database's own refusal of a read."""
    try:
        with storage_errors():
            raise error
    except RegistryError as translated:
        return _of_registry(translated, "")
    except OperationalError:
        return None


def _of_document(error: InvalidRecord) -> Problem:
    kind = types.INVALID_FIELDS
    if isinstance(error, DocumentTooLarge):
        kind = types.TOO_LARGE
    elif isinstance(error, MalformedJson):
        kind = types.MALFORMED_JSON
    return of_faults(kind, error.errors)


def of_faults(kind: ProblemType, faults: Sequence[FieldError], *, under: str = "") -> Problem:
    """Make the problem of a document with faults; `under` is where the document stands."""
    mistakes = [Mistake(f.code, f.message, pointer=f"{under}{f.pointer}") for f in faults]
    if len(faults) == 1:
        return Problem(kind, faults[0].message, mistakes=mistakes)
    return Problem(kind, f"{len(faults)} fields need mending; see `errors`.", mistakes=mistakes)


_KINDS: Mapping[type[RegistryError], ProblemType] = {
    registry.NotKnown: types.UNAUTHENTICATED,
    registry.NotAllowed: types.NOT_ALLOWED,
    registry.UnknownShop: types.UNKNOWN_REFERENCE,
    registry.UnknownTag: types.UNKNOWN_REFERENCE,
    registry.UnknownRecord: types.UNKNOWN_REFERENCE,
    registry.UnknownKey: types.UNKNOWN_KEY,
    registry.UnknownShareLink: types.UNKNOWN_SHARE_LINK,
    registry.KeyLimit: types.KEY_LIMIT,
    registry.Erased: types.ERASED,
    registry.TagExists: types.TAG_EXISTS,
    registry.BadSignature: types.BAD_SIGNATURE,
    registry.WrongState: types.WRONG_STATE,
    registry.IdempotencyMismatch: types.IDEMPOTENCY_MISMATCH,
    registry.IdempotencyInProgress: types.REQUEST_IN_PROGRESS,
    registry.StorageBusy: types.STORAGE_BUSY,
    registry.StorageFull: types.STORAGE_FULL,
    registry.InvalidSubmission: types.INVALID_FIELDS,
    UnknownWebhook: types.UNKNOWN_WEBHOOK,
    TooManyRecords: types.TOO_MANY_RECORDS,
}
_BY_CODE = {error.code: kind for error, kind in _KINDS.items()} | {
    types.MALFORMED_JSON.slug: types.MALFORMED_JSON,
    types.TOO_LARGE.slug: types.TOO_LARGE,
}
_RETRY = {types.STORAGE_BUSY: RETRY_BUSY_SECONDS, types.REQUEST_IN_PROGRESS: 1}


def kind_of_code(code: str) -> ProblemType:
    """Give the type of the problem that a refusal of the registry becomes, by its code."""
    return _BY_CODE.get(code, types.INVALID_FIELDS)


def _of_registry(error: RegistryError, several: str) -> Problem | None:
    """Word a refusal of the registry; of several, the first gives the status."""
    errors = error.errors if isinstance(error, registry.Refused) else (error,)
    kind = _kind_of(errors[0])
    if kind is None:
        return None
    mistakes = [mistake for one in errors for mistake in _mistakes(one, several)]
    headers = {"Retry-After": str(_RETRY[kind])} if kind in _RETRY else {}
    if kind is types.UNAUTHENTICATED:
        headers["WWW-Authenticate"] = CHALLENGE
    detail = mistakes[0].detail
    if len(mistakes) > 1:
        detail = f"{len(mistakes)} things need mending; see `errors`."
    return Problem(kind, detail, mistakes=_placed(mistakes), headers=headers)


def _kind_of(error: RegistryError) -> ProblemType | None:
    too_large = isinstance(error, registry.InvalidSubmission) and any(
        fault.code == types.TOO_LARGE.slug for fault in error.faults
    )
    return types.TOO_LARGE if too_large else _KINDS.get(type(error))


def _mistakes(error: RegistryError, several: str) -> list[Mistake]:
    under = f"{several}/{error.submission}" if several and error.submission is not None else ""
    if isinstance(error, registry.InvalidSubmission):
        return [Mistake(f.code, f.message, pointer=f"{under}{f.pointer}") for f in error.faults]
    return [Mistake(error.code, error.sentence, pointer=f"{under}{error.pointer}")]


def _placed(mistakes: Sequence[Mistake]) -> Sequence[Mistake]:
    """Drop the list when it says no more than the detail: one mistake without a place."""
    return () if len(mistakes) == 1 and not mistakes[0].pointer else mistakes


CHALLENGE = 'Bearer realm="ski-service-registry"'


def _of_framework(error: exceptions.APIException) -> Problem:
    kind = _FRAMEWORK.get(type(error), types.BAD_REQUEST)
    return Problem(kind, _worded(error), headers=_framework_headers(error))


_FRAMEWORK: Mapping[type[Exception], ProblemType] = {
    exceptions.NotAuthenticated: types.UNAUTHENTICATED,
    exceptions.AuthenticationFailed: types.UNAUTHENTICATED,
    exceptions.PermissionDenied: types.NOT_ALLOWED,
    exceptions.NotFound: types.NOT_FOUND,
    exceptions.MethodNotAllowed: types.METHOD_NOT_ALLOWED,
    exceptions.NotAcceptable: types.NOT_ACCEPTABLE,
    exceptions.UnsupportedMediaType: types.UNSUPPORTED_MEDIA_TYPE,
    exceptions.Throttled: types.TOO_MANY_REQUESTS,
}


WRONG_METHOD = "This method does not work here; the Allow header lists those that do."


def _worded(error: exceptions.APIException) -> str:
    if isinstance(error, exceptions.Throttled):
        return f"Too many requests; try again in {_wait(error)} seconds."
    if isinstance(error, exceptions.UnsupportedMediaType):
        return "Send the body with Content-Type: application/json."
    if isinstance(error, exceptions.MethodNotAllowed):
        return WRONG_METHOD
    if isinstance(error, exceptions.NotAcceptable):
        return "This address has no answer in a format that the Accept header allows."
    return str(error.detail)


def _wait(error: exceptions.Throttled) -> int:
    wait: float | None = getattr(error, "wait", None)
    return max(1, math.ceil(wait or 1))


def _framework_headers(error: exceptions.APIException) -> dict[str, str]:
    if isinstance(error, exceptions.Throttled):
        return {"Retry-After": str(_wait(error))}
    if isinstance(error, exceptions.NotAuthenticated | exceptions.AuthenticationFailed):
        return {"WWW-Authenticate": CHALLENGE}
    return {}


def _response(problem: Problem, request: HttpRequest) -> HttpResponse:
    return HttpResponse(
        json.dumps(document(problem, request), ensure_ascii=False),
        status=problem.kind.status,
        content_type=CONTENT_TYPE,
        headers=problem.headers,
    )


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:  # noqa: ARG001 - named by Django
    """Answer a request that Django itself refuses, such as one for an unknown host name."""
    detail = "The request is broken outside of its document; check the host name and the address."
    return _response(Problem(types.BAD_REQUEST, detail), request)


def forbidden(request: HttpRequest, reason: str) -> HttpResponse:
    """Answer what Django itself forbids; the API's own views word their refusals themselves."""
    return _response(Problem(types.NOT_ALLOWED, reason), request)


def method_not_allowed(request: HttpRequest, *, allow: Sequence[str]) -> HttpResponse:
    """Answer a method that a page does not have."""
    headers = {"Allow": ", ".join(allow)}
    return _response(Problem(types.METHOD_NOT_ALLOWED, WRONG_METHOD, headers=headers), request)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:  # noqa: ARG001 - named by Django
    """Answer an address that no view has."""
    detail = "Nothing has this address; /docs/ lists what there is."
    return _response(Problem(types.NOT_FOUND, detail), request)


def server_error(request: HttpRequest) -> HttpResponse:
    """Answer when a view failed in a way that nobody foresaw; Django has logged it."""
    detail = "The node failed. Tell its operator the request id."
    return _response(Problem(types.SERVER_ERROR, detail), request)

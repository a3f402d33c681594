"""Gives each request an id that answer and log line share, and answers without a body no length."""

from __future__ import annotations

import re
import uuid
from collections.abc import Callable

from django.http import HttpRequest
from django.http.response import HttpResponseBase

HEADER = "X-Request-ID"
WITHOUT_BODY = frozenset({204, 304})
# Names in META that come from headers begin with HTTP_, so no client can set this one.
_META_NAME = "REGISTRY_REQUEST_ID"
# Anything longer or with other characters could forge a log line.
_ACCEPTED = re.compile(r"[A-Za-z0-9._:-]{1,64}", re.ASCII)


class RequestId:
    """Takes over a well-formed `X-Request-ID` or makes one, and sends it back."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Name the request, answer it, and put the name on the answer."""
        request.META[_META_NAME] = _given(request) or uuid.uuid4().hex
        response = self.get_response(request)
        response.headers[HEADER] = request_id(request)
        return response


class NoLength:
    """Takes the length off answers that never have a body (RFC 9110 section 8.6).

    Must stand outside of Django's `CommonMiddleware`, which puts a length on every answer.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer the request."""
        response = self.get_response(request)
        if response.status_code in WITHOUT_BODY:
            response.headers.pop("Content-Length", None)
        return response


def request_id(request: HttpRequest) -> str:
    """The id of a request; "" when the middleware did not see it."""
    return str(request.META.get(_META_NAME, ""))


def _given(request: HttpRequest) -> str | None:
    given = request.headers.get(HEADER, "")
    return given if _ACCEPTED.fullmatch(given) else None

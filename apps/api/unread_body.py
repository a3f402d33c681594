"""Reads what an answer left of a request's body, so that the answer reaches whoever sends it."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

from django.http import HttpRequest, UnreadablePostError
from django.http.response import HttpResponseBase

AT_ONCE = 64 * 1024
MOST_BYTES = 4 * 2**20


class ReadToTheEnd:
    """Reads and drops a body of up to a few megabytes that was refused unread.

    A connection that is closed with bytes still unread is reset, and a client that is sending may
    then lose the answer that says why. A longer body is not waited for.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer the request, and then read on."""
        response = self.get_response(request)
        # A stream may read the body only while it is sent.
        if not response.streaming and _announced(request) <= MOST_BYTES:
            with suppress(UnreadablePostError):
                while request.read(AT_ONCE):
                    pass
        return response


def _announced(request: HttpRequest) -> int:
    length = str(request.META.get("CONTENT_LENGTH") or "")
    return int(length) if length.isdigit() else 0

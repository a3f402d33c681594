"""Reads what an answer left of a request's body, so that the answer reaches whoever sends it."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

from django.http import HttpRequest, UnreadablePostError
from django.http.response import HttpResponseBase

AT_ONCE = 64 * 1024
MOST_BYTES = 4 * 2**20


class ReadToTheEnd:
    """Reads and drops a body that was refused unread, up to a few megabytes.

    A connection that is closed with bytes still unread is reset, and a client that is sending may
    then lose the answer that says why. A body longer than this is cut off all the same.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer the request, and then read on."""
        response = self.get_response(request)
        # A stream may read the body only while it is sent.
        if not response.streaming:
            _read_on(request)
        return response


def _read_on(request: HttpRequest) -> None:
    read = 0
    with suppress(UnreadablePostError):
        while read < MOST_BYTES and (piece := request.read(AT_ONCE)):
            read += len(piece)

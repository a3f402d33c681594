"""A large request body in a file of its own: whole before it is read, and never in memory."""

from __future__ import annotations

import tempfile
from typing import BinaryIO, cast

from django.http import HttpRequest
from rest_framework.request import Request

from apps.api.problem_types import BAD_REQUEST, STORAGE_FULL
from apps.api.problems import Problem

IMPORT_BYTES = 256 * 1024 * 1024
CHUNK_BYTES = 64 * 1024
CUT = "The body ended after {got} of {announced} bytes, and nothing was written. Send it again."
NO_ROOM = "The node has no room for a file of this size. The operator must make some."


def spooled(request: Request) -> BinaryIO:
    """Copy the body of a request into a file that vanishes when it is closed.

    The whole of it comes before any of it is read: many clients read no answer before they have
    sent everything, and a body that was cut on its way is noticed before a line of it is written.

    Raises
    ------
    Problem
        `bad-request` for a body shorter than announced, `storage-full` without room on disk.
    """
    http: HttpRequest = request._request
    file = tempfile.TemporaryFile()  # noqa: SIM115 - closed by whoever sends the answer
    try:
        got = _copied(http, cast("BinaryIO", file))
        announced = int(http.META.get("CONTENT_LENGTH") or 0)
        if got < announced:
            raise Problem(BAD_REQUEST, CUT.format(got=got, announced=announced))
    except BaseException:
        file.close()
        raise
    return cast("BinaryIO", file)


def _copied(http: HttpRequest, file: BinaryIO) -> int:
    got = 0
    while chunk := http.read(CHUNK_BYTES):
        got += len(chunk)
        try:
            file.write(chunk)
        except OSError as error:
            raise Problem(STORAGE_FULL, NO_ROOM) from error
    return got

"""Strong ETags over the bytes of an answer, and 304 for whoever has them already (RFC 9110)."""

from __future__ import annotations

import hashlib

from django.http import HttpRequest
from django.http.response import HttpResponse
from django.utils.http import parse_etags
from rest_framework.request import Request


def tagged(request: Request | HttpRequest, response: HttpResponse) -> HttpResponse:
    """Put the ETag on a rendered answer, and empty it when the client has the same bytes."""
    tag = f'"{hashlib.sha256(response.content).hexdigest()}"'
    response.headers["ETag"] = tag
    if _has(request.headers.get("If-None-Match", ""), tag):
        response.status_code = 304
        response.content = b""
        del response.headers["Content-Type"]
    return response


def _has(if_none_match: str, tag: str) -> bool:
    """Say whether the header names the tag; RFC 9110 section 13.1.2 compares weakly here."""
    named = [one.removeprefix("W/") for one in parse_etags(if_none_match)]
    return "*" in named or tag in named

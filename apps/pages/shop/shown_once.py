"""A secret on its way to the page that shows it once.

It travels in a cookie of that one page, signed, for two minutes: so the node keeps it nowhere,
not even in the session, and the form that made it is not sent again by going back.
"""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest, HttpResponse

NAME = "shown-once"
MAX_AGE_S = 120


def show_once(response: HttpResponse, path: str, secret: str) -> HttpResponse:
    """Let the page at a path show a secret when it is opened next."""
    response.set_signed_cookie(
        NAME,
        secret,
        salt=path,
        max_age=MAX_AGE_S,
        path=path,
        secure=settings.SESSION_COOKIE_SECURE,
        httponly=True,
        samesite="Strict",
    )
    return response


def shown(request: HttpRequest) -> str:
    """Give the secret that this page is to show; "" where there is none."""
    text = request.get_signed_cookie(NAME, "", salt=request.path, max_age=MAX_AGE_S)
    return text or ""


def forget_shown(request: HttpRequest, response: HttpResponse) -> HttpResponse:
    """Let the page not show it a second time."""
    if NAME in request.COOKIES:
        response.delete_cookie(NAME, path=request.path, samesite="Strict")
    return response

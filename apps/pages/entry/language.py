"""The language a visitor chose: in a cookie, and for people of a shop beside their name."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.utils.http import url_has_allowed_host_and_scheme

YEAR_S = 365 * 24 * 3600


def language_code(language: str) -> str:
    """Give the code of the settings for a language as it is kept beside a person; "" for none."""
    codes = [code for code, _name in settings.LANGUAGES]
    return next((code for code in codes if language and code.partition("-")[0] == language), "")


def kept_language(code: str) -> str:
    """Give how the language of a code is kept beside a person."""
    return code.partition("-")[0]


def remember_language(response: HttpResponseBase, code: str) -> None:
    """Let the browser ask in this language from now on."""
    response.set_cookie(
        settings.LANGUAGE_COOKIE_NAME,
        code,
        max_age=YEAR_S,
        samesite="Lax",
        secure=settings.LANGUAGE_COOKIE_SECURE,
    )


def way_back(request: HttpRequest, usual: str) -> str:
    """Give the page of this node that a form or an address wants to go on to."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    ours = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if ours else usual

"""The language a visitor chose: in a cookie, and for people of a shop beside their name."""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import urlsplit

from django.conf import settings
from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.urls import Resolver404, resolve, reverse
from django.utils.http import url_has_allowed_host_and_scheme

YEAR_S = 365 * 24 * 3600
# Addresses that only take a form, and the page that the form stands on.
STANDS_ON: Mapping[str, str] = {
    "pages:person-role": "pages:people",
    "pages:person-alias": "pages:people",
    "pages:person-password": "pages:people",
    "pages:key-revoke": "pages:keys",
    "pages:share-link-revoke": "pages:share-links",
}
STANDS_ON_A_SKI = frozenset({"pages:certificate-make"})
STANDS_EVERYWHERE = frozenset({"pages:leave", "pages:language"})


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
    """Give the page of this node that a form or an address wants to go on to.

    After a refused form that is the address of the form, which can't be read: then it is the page
    that the form stands on.
    """
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    ours = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return _readable(wanted, usual) if ours else usual


def _readable(wanted: str, usual: str) -> str:
    parts = urlsplit(wanted)
    try:
        found = resolve(parts.path)
    except Resolver404:
        return wanted
    if found.view_name in STANDS_ON:
        return reverse(STANDS_ON[found.view_name])
    if found.view_name in STANDS_ON_A_SKI:
        return reverse("pages:ski", kwargs=found.kwargs)
    return usual if found.view_name in STANDS_EVERYWHERE else wanted

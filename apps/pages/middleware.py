"""What all pages share: who opens them, in which language, under which policy, and refusals."""

from __future__ import annotations

from collections.abc import Callable
from http import HTTPStatus
from typing import cast

from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.utils import translation
from django.utils.cache import patch_vary_headers

from apps.pages.refusals import page as refusal
from apps.pages.refusals import refusal_page, wrong_method_page
from apps.pages.visitor import PageRequest, visitor_of

# Everything of a page comes from its own node; nothing inline, so no text can become a script.
POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; "
    "connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'"
)
NUL = "\0"
NOT_PAGES = ("/api/", "/docs/", "/.well-known/", "/static/")

Answer = Callable[[HttpRequest], HttpResponseBase]


def is_page(request: HttpRequest) -> bool:
    """Say whether an address is one of the pages'; the API speaks one language to all."""
    return not request.path.startswith(NOT_PAGES)


class Pages:
    """Names the visitor and the language, and holds pages to the policy."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer the request."""
        if not is_page(request):
            return self.get_response(request)
        page = cast("PageRequest", request)
        page.visitor = visitor_of(request)
        with translation.override(translation.get_language_from_request(request)):
            response = self._answer(page)
            hold_to_policy(response)
        return response

    def _answer(self, request: PageRequest) -> HttpResponseBase:
        if NUL in request.path:
            # Nothing is called so, and PostgreSQL refuses even to look for it.
            return refusal(request, HTTPStatus.NOT_FOUND)
        response = self.get_response(request)
        if response.status_code != HTTPStatus.METHOD_NOT_ALLOWED:
            return response
        # Django's own answer to a wrong method is an empty page.
        return wrong_method_page(request, response.headers["Allow"])

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """Answer a refusal of the registry with a page that says it."""
        if not is_page(request) or isinstance(error, Http404):
            return None
        return refusal_page(request, error)


def hold_to_policy(response: HttpResponseBase) -> None:
    """Put on an answer what all pages carry, where the view didn't say otherwise."""
    response.headers.setdefault("Content-Security-Policy", POLICY)
    response.headers.setdefault("Cache-Control", "private, no-store")
    response.headers.setdefault("Content-Language", translation.get_language())
    patch_vary_headers(response, ("Accept-Language", "Cookie"))

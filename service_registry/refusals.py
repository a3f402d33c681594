"""Refusals outside of any view: a page for who opens pages, a problem document for programs."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse

from apps.api import problems
from apps.pages import refusals
from apps.pages.middleware import hold_to_policy, is_page


def wants_page(request: HttpRequest) -> bool:
    """Say whether a browser asks at an address of the pages; programs accept HTML by `*/*` only."""
    return is_page(request) and "text/html" in request.headers.get("Accept", "")


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Answer 400, also for a host name that is not ours."""
    if not wants_page(request):
        return problems.bad_request(request, exception)
    # Such a request is refused before the pages' own middleware sees it.
    response = refusals.page(request, 400)
    hold_to_policy(response)
    return response


def forbidden(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Answer 403 outside of a view."""
    if wants_page(request):
        return refusals.page(request, 403, str(exception))
    return problems.forbidden(request, str(exception))


def forged(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Answer a form that came from elsewhere, or from before the log-in changed."""
    if wants_page(request):
        return refusals.forged_page(request)
    return problems.forbidden(request, reason)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Answer 404."""
    if wants_page(request):
        return refusals.page(request, 404)
    return problems.not_found(request, exception)


def server_error(request: HttpRequest) -> HttpResponse:
    """Answer 500."""
    if wants_page(request):
        return refusals.page(request, 500)
    return problems.server_error(request)

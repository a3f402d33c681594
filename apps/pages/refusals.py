"""Refusals as pages: what was refused, why, and what mends it."""

from __future__ import annotations

from http import HTTPStatus

from django.db import OperationalError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from apps.records.errors import InvalidRecord
from apps.registry import errors as registry
from apps.registry.errors import RegistryError
from apps.registry.storage import storage_errors

STATUSES: tuple[tuple[type[Exception], int], ...] = (
    (registry.UnknownTag, 404),
    (registry.UnknownRecord, 404),
    (registry.UnknownShareLink, 404),
    (registry.NotKnown, 404),
    (registry.NotAllowed, 403),
    (registry.StorageBusy, 503),
    (registry.StorageFull, 507),
    (RegistryError, 400),
    (InvalidRecord, 400),
)


def refusal_page(request: HttpRequest, error: Exception) -> HttpResponse | None:
    """Give the page for a refusal; None for what nobody foresaw."""
    known = _of_storage(error) if isinstance(error, OperationalError) else error
    status = next((status for kind, status in STATUSES if isinstance(known, kind)), None)
    if status is None:
        return None
    sentence = known.sentence if isinstance(known, RegistryError) else str(known)
    return page(request, status, sentence)


def _of_storage(error: OperationalError) -> Exception:
    """Translate the database's own refusal of a read."""
    try:
        with storage_errors():
            raise error
    except (RegistryError, OperationalError) as translated:
        return translated


def page(
    request: HttpRequest, status: int, sentence: str = "", *, advice: str = ""
) -> HttpResponse:
    """Give a page that says what is wrong.

    Parameters
    ----------
    request : HttpRequest
    status : int
    sentence : str
        The registry's own, in English.
    advice : str
        What mends it, in the page's language.
    """
    shown = {"title": _title(status), "sentence": sentence, "advice": advice}
    return render(request, "pages/refusal.html", shown, status=status)


def forged_page(request: HttpRequest) -> HttpResponse:
    """Refuse a form that came from elsewhere, or from before the log-in changed."""
    advice = _(
        "The form was opened before you logged in or out, or it came from elsewhere. Go back, load "
        "the page again, and send the form once more."
    )
    return page(request, HTTPStatus.FORBIDDEN, advice=advice)


def wrong_method_page(request: HttpRequest, allow: str) -> HttpResponse:
    """Refuse what was sent to a page that is only read, or read from one that only takes a form.

    Parameters
    ----------
    request : HttpRequest
    allow : str
        The methods that work, as the header lists them.
    """
    advice = _("Go back, and use the links and buttons of the page.")
    response = page(request, HTTPStatus.METHOD_NOT_ALLOWED, advice=advice)
    response.headers["Allow"] = allow
    return response


def _title(status: int) -> str:
    titles = {
        400: _("This can't be done as asked"),
        403: _("You may not do this"),
        404: _("Nothing is here under this address"),
        405: _("This address doesn't work this way"),
        429: _("The node is busy. Try again in a moment"),
        503: _("The node is busy. Try again in a moment"),
        507: _("The node has no room left. Its operator must make some"),
    }
    return titles.get(status, _("Something went wrong on the node"))

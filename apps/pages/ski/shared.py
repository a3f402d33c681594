"""What a buyer sees by a share link, without a log-in: no technician, no remarks, no bundle."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from http import HTTPStatus
from typing import Any

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from apps.pages.counting import counted
from apps.pages.refusals import page as refusal
from apps.pages.ski.certificate import certificate_of
from apps.pages.ski.moments import moment_text
from apps.pages.ski.page import SkiPage, ski_page
from apps.pages.ski.viewer import Viewer
from apps.pages.visitor import PageRequest, writer
from apps.registry.errors import NotKnown, UnknownTag
from apps.registry.joining import joined_ski
from apps.registry.models import ShareLink, Tag
from apps.registry.naming import ski_named
from apps.registry.sharing import make_share_link, open_share_link, read_share_link

PERIOD_S = 10 * 60
MOST_OPENINGS = 120
HEADERS = {
    "X-Robots-Tag": "noindex",
    # The address is a secret and goes to no other host. With "no-referrer" browsers would hide
    # the origin of forms from this node too, and the choice of a language would be refused.
    "Referrer-Policy": "same-origin",
    "Cache-Control": "private, no-store",
}


@require_safe
def shared(request: PageRequest, token: str) -> HttpResponse:
    """Show a ski to whoever holds a link to it, and count that it was opened."""

    def shown(link: ShareLink) -> Mapping[str, Any]:
        return {"holds_until": moment_text(link.expires_at)}

    return _opened(request, token, open_share_link, "pages/ski/shared.html", shown)


@require_safe
def shared_certificate(request: PageRequest, token: str) -> HttpResponse:
    """Show the certificate that a link stands for, to be printed."""
    live = request.build_absolute_uri(reverse("pages:shared", args=[token]))

    def shown(link: ShareLink) -> Mapping[str, Any]:
        return {"certificate": certificate_of(link, live, timezone.now())}

    return _opened(request, token, read_share_link, "pages/ski/certificate.html", shown)


@require_POST
@writer
def make_certificate(request: PageRequest, shop: str, tag: str) -> HttpResponse:
    """Make a link of two months and lead to the certificate that it stands for."""
    ski = ski_named(shop, tag)
    link = make_share_link(shop=ski.shop, tag=ski.tag, by=request.visitor.actor)
    return redirect("pages:shared-certificate", token=link.token)


def _opened(
    request: PageRequest,
    token: str,
    find: Callable[..., ShareLink],
    template: str,
    more: Callable[[ShareLink], Mapping[str, Any]],
) -> HttpResponse:
    """Show the ski that a link leads to, unless the link leads nowhere or is opened too often."""
    try:
        link = find(token, now=timezone.now())
        if _is_opened_too_often(link):
            return _too_often(request)
        page = _page(request, link)
    except (NotKnown, UnknownTag):
        return _no_link(request)
    return _answer(request, template, {"page": page, "token": token, **more(link)})


def _page(request: PageRequest, link: ShareLink) -> SkiPage:
    found = Tag.objects.find(link.shop_id, link.tag)
    viewer = Viewer(link.shop_id, request.visitor.unit, is_buyer=True)
    return ski_page(joined_ski(found, "mutual"), viewer)


def _is_opened_too_often(link: ShareLink) -> bool:
    # The page of a long history costs seconds, and here it is asked for without a log-in.
    return counted(f"shared-{link.prefix}", PERIOD_S) > MOST_OPENINGS


def _too_often(request: PageRequest) -> HttpResponse:
    response = refusal(request, HTTPStatus.TOO_MANY_REQUESTS)
    response.headers["Retry-After"] = str(PERIOD_S)
    return response


def _no_link(request: PageRequest) -> HttpResponse:
    """Say that a link doesn't work; whether it ever did is not told."""
    return _answer(request, "pages/ski/no_link.html", {}, status=404)


def _answer(
    request: PageRequest, template: str, shown: Mapping[str, Any], *, status: int = 200
) -> HttpResponse:
    response = render(request, template, dict(shown), status=status)
    for name, value in HEADERS.items():
        response.headers[name] = value
    return response

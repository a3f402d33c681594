"""Links by which a buyer sees one ski: made, shown once, revoked."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from apps.pages.forms import status_of
from apps.pages.labels.address import root_of
from apps.pages.labels.code_svg import code_svg
from apps.pages.paging import first_rows
from apps.pages.shop.forms import ShareForm
from apps.pages.shop.shown_once import forget_shown, show_once, shown
from apps.pages.visitor import PageRequest, reader, writer
from apps.registry.errors import UnknownTag
from apps.registry.keys import PREFIX
from apps.registry.label_ranges import check_typed
from apps.registry.models import ShareLink
from apps.registry.querysets import ShareLinkQuerySet
from apps.registry.sharing import make_share_link, revoke_share_link

PAGE = 50


@reader
def links(request: PageRequest) -> HttpResponseBase:
    """Show the links of the shop, and make one."""
    if request.method == "POST":
        return _make(request)
    return _links(request, ShareForm(initial={"tag": request.GET.get("tag", "")}))


def _links(request: PageRequest, form: ShareForm) -> HttpResponse:
    rows, last = first_rows(_rows(request)[: PAGE + 1], PAGE)
    prefix, _sep, address = shown(request).partition(" ")
    context: dict[str, Any] = {
        "form": form,
        "links": rows,
        "older": last.prefix if last else "",
        "now": timezone.now(),
        "new_prefix": prefix,
        "address": address,
        "code": _code(address),
    }
    page = render(request, "pages/shop/links.html", context, status=status_of(form))
    return forget_shown(request, page)


def _code(address: str) -> str:
    return code_svg(address, _("The link as a code to scan")) if address else ""


def _rows(request: PageRequest) -> ShareLinkQuerySet:
    rows = ShareLink.objects.of_shop(request.visitor.shop)
    before = request.GET.get("before", "")
    last = rows.filter(prefix=before).first() if PREFIX.fullmatch(before) else None
    return rows.before(last) if last else rows


@writer
def _make(request: PageRequest) -> HttpResponse:
    form = ShareForm(request.POST)
    if form.is_valid():
        made = _made(request, form)
        if made is not None:
            return made
    return _links(request, form)


def _made(request: PageRequest, form: ShareForm) -> HttpResponse | None:
    tag, shop = form.cleaned_data["tag"], request.visitor.shop
    try:
        made = make_share_link(
            shop=shop, tag=tag, days=form.cleaned_data["days"], by=request.visitor.actor
        )
    except UnknownTag:
        form.add_error("tag", _no_ski(tag, shop))
        return None
    path = reverse("pages:share-links")
    opens = root_of(request).address + reverse("pages:shared", kwargs={"token": made.token})
    return show_once(redirect(path), path, f"{made.prefix} {opens}")


def _no_ski(tag: str, shop: str) -> str:
    near = check_typed(tag, shop).suggestions
    if near:
        return _("No ski of your shop has this tag. Did you mean %(tags)s?") % {
            "tags": ", ".join(near)
        }
    return _("No ski of your shop has this tag.")


@require_POST
@writer
def revoke(request: PageRequest, prefix: str) -> HttpResponse:
    """End a link at once."""
    link = revoke_share_link(prefix=prefix, by=request.visitor.actor)
    messages.success(request, _("The link to %(tag)s opens nothing any more.") % {"tag": link.tag})
    return redirect("pages:share-links")

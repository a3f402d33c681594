"""The page of a ski for people of a shop, and its bundle."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from apps.exchange.bundles import bundle_of
from apps.pages.ski.page import ski_page
from apps.pages.ski.unknown import unknown_ski
from apps.pages.ski.viewer import Viewer
from apps.pages.visitor import PageRequest, reader
from apps.registry.errors import UnknownTag
from apps.registry.joining import JoinedSki, look_up_ski
from apps.registry.naming import ski_named


def viewer_of(request: PageRequest) -> Viewer:
    """Say what someone who is logged in sees of a ski."""
    who = request.visitor
    return Viewer(who.shop, who.unit, may_write=who.may_write)


def find_ski(request: PageRequest, shop: str, tag: str) -> JoinedSki:
    """Find the ski of an address; a look at other shops' tags is noted.

    Raises
    ------
    UnknownTag
    """
    named = ski_named(shop, tag)
    return look_up_ski(shop=named.shop, tag=named.tag, links="mutual", by=request.visitor.actor)


@require_safe
@reader
def tag_page(request: PageRequest, shop: str, tag: str) -> HttpResponse:
    """Show what the label's code leads to."""
    try:
        ski = find_ski(request, shop, tag)
    except UnknownTag:
        return unknown_ski(request, shop, tag)
    shown = {"page": ski_page(ski, viewer_of(request))}
    return render(request, "pages/ski/tag.html", shown)


@require_safe
@reader
def bundle(request: PageRequest, shop: str, tag: str) -> HttpResponse:
    """Hand out the signed file that verifies without this node."""
    ski = find_ski(request, shop, tag)
    data = bundle_of(ski.tag, "mutual")
    # A tag holds no character that would end the file's name.
    saved_as = f'attachment; filename="{ski.tag.tag}.bundle.json"'
    return HttpResponse(
        data, content_type="application/json", headers={"Content-Disposition": saved_as}
    )

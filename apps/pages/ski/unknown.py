"""The page for a tag that no ski has here, with what may have been meant."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from apps.pages.missing import Missing, missing_ski
from apps.pages.visitor import PageRequest
from apps.registry.errors import UnknownTag
from apps.registry.naming import ski_named


def unknown_ski(request: PageRequest, shop: str, tag: str) -> HttpResponse:
    """Say that no ski is registered under a tag; nothing is told of other shops' labels."""
    shown = {"missing": _missing(shop, tag, own=request.visitor.shop)}
    return render(request, "pages/ski/unknown.html", shown, status=404)


def _missing(shop: str, tag: str, *, own: str) -> Missing:
    try:
        return missing_ski(ski_named(shop, tag), own=own)
    except UnknownTag:
        return Missing(shop, tag)

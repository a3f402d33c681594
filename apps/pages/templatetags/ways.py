"""Which way of the top of the page a page lies on."""

from __future__ import annotations

from collections.abc import Mapping

from django import template
from django.template import Context
from django.utils.safestring import SafeString, mark_safe

register = template.Library()

SECTIONS: Mapping[str, str] = {
    "bench": "/bench",
    "due": "/fleet/due",
    "fleet": "/fleet",
    "labels": "/labels",
    "shop": "/shop",
    "node": "/node",
    "enter": "/enter",
}
PAGE: SafeString = mark_safe(' aria-current="page"')


@register.simple_tag(takes_context=True)
def current(context: Context, name: str) -> str:
    """Mark a way as the one the visitor is on."""
    request = context.get("request")
    return PAGE if request is not None and section_of(request.path) == name else ""


def section_of(path: str) -> str:
    """Name the section that a page lies in; "" for a page of none.

    Parameters
    ----------
    path : str
        Of the page, without its query.
    """
    if path == "/":
        return "home"
    inside = [name for name, root in SECTIONS.items() if path == root or _is_below(path, root)]
    return max(inside, key=lambda name: len(SECTIONS[name]), default="")


def _is_below(path: str, root: str) -> bool:
    return path.startswith(f"{root}/")

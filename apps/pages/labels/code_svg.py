"""A code on a page, for a camera that is held before the screen or the paper."""

from __future__ import annotations

from django.utils.html import format_html
from django.utils.safestring import SafeString

from apps.pages.labels.code import QUIET_MODULES, code_of

LEVEL = "M"
_SVG = (
    '<svg class="code" role="img" aria-label="{name}" viewBox="{start} {start} {side} {side}" '
    'xmlns="http://www.w3.org/2000/svg" shape-rendering="crispEdges">'
    '<rect class="ground" x="{start}" y="{start}" width="{side}" height="{side}"/>'
    '<path d="{path}"/></svg>'
)


def code_svg(address: str, name: str) -> SafeString:
    """Draw the code of an address with its quiet zone, a unit a module.

    Parameters
    ----------
    address : str
        Where it leads.
    name : str
        What it is, for who doesn't see it.
    """
    code = code_of(address, LEVEL)
    side = code.modules_with_quiet_zone
    return format_html(_SVG, name=name, start=-QUIET_MODULES, side=side, path=code.path)

"""Draws pictures: ``{% picture edge %}``."""

from __future__ import annotations

from django import template
from django.utils.safestring import SafeString

from apps.pages.pictures.picture import Picture
from apps.pages.pictures.rendering import svg_of

register = template.Library()


@register.simple_tag
def picture(shown: Picture) -> SafeString:
    """Draw a picture as inline SVG; show its rows beside it."""
    return svg_of(shown)

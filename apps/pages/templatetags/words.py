"""Words of closed lists in templates: ``{{ step.operation|word:"operation" }}``."""

from __future__ import annotations

from django import template

from apps.pages.words import word

register = template.Library()


@register.filter(name="word")
def word_filter(value: object, kind: str) -> str:
    """Give a word in the visitor's language; nothing for a value that is absent."""
    return "" if value is None or value == "" else word(kind, str(value))

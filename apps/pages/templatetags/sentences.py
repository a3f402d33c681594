"""Sentences in templates: ``{{ bevel|sentence:request.visitor.unit }}``."""

from __future__ import annotations

from django import template

from apps.pages import sentences
from apps.pages.numbers import Unit

register = template.Library()


@register.filter
def sentence(one: object, unit: Unit = "mm") -> str:
    """Tell whatever the arithmetic gave."""
    return sentences.sentence(one, unit)


@register.filter
def caution(code: str) -> str:
    """Tell a caution by its code."""
    return sentences.caution_sentence(code)

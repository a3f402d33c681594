"""Filters that name shops and skis as addresses do."""

from __future__ import annotations

from django import template

from apps.pages.addresses import ski_path
from apps.registry.models.ski import shop_and_tag
from apps.registry.naming import short_shop

register = template.Library()


@register.filter
def shop(handle: str) -> str:
    """Name a shop as this node's addresses do."""
    return short_shop(handle)


@register.filter
def ski_address(key: str) -> str:
    """Give the address of the page of a ski, named by its key `handle/TAG`."""
    return ski_path(*shop_and_tag(key))

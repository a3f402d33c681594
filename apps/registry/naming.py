"""Skis as addresses name them: the shop by its code on its own node, by its handle elsewhere."""

from __future__ import annotations

from django.conf import settings
from pydantic_core import PydanticCustomError

from apps.records.forms import Mode
from apps.records.names import check_handle, check_tag, node_host, shop_code
from apps.records.place import SkiTag
from apps.registry.errors import UnknownTag


def short_shop(handle: str) -> str:
    """Give a shop as addresses of this node name it: a shop of its own by the code alone."""
    return shop_code(handle) if node_host(handle) == settings.NODE_HOST else handle


def ski_named(shop: str, tag: str) -> SkiTag:
    """Read the shop and the tag of an address.

    Raises
    ------
    UnknownTag
        With the sentence that says why no ski can be called that.
    """
    mode = Mode(draft=True, node_host=settings.NODE_HOST)
    try:
        return SkiTag(shop=check_handle(shop, mode), tag=check_tag(tag, mode))
    except PydanticCustomError as error:
        raise UnknownTag(str(error.message())) from error

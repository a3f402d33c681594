"""A row that is read in order to be changed is locked until the commit."""

from __future__ import annotations

from apps.registry.errors import UnknownShop
from apps.registry.models import Shop


def locked_shop(handle: str) -> Shop:
    """Give a shop of this node, locked until the commit.

    Raises
    ------
    UnknownShop
    """
    shop = Shop._default_manager.select_for_update().filter(handle=handle).first()
    if shop is None:
        raise UnknownShop(f"There is no shop {handle} on this node.")
    return shop

"""The columns of a fleet as an answer shows them: the registry's, and a link to the condition."""

from __future__ import annotations

from apps.api.addresses import ski_address
from apps.registry import fleet_columns as kept
from apps.registry.fleet import Row
from apps.registry.fleet_columns import Cell

NAMES = (*kept.NAMES, "condition")


def cells_of(row: Row) -> dict[str, Cell]:
    """Give the cells of a row by name, in the order of the columns."""
    _, key, *_ = row
    shop, _, tag = key.partition("/")
    return kept.cells_of(row) | {"condition": f"{ski_address(shop, tag)}/condition"}

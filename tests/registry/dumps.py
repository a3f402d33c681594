"""Everything that the index holds, as plain values that can be compared."""

from __future__ import annotations

from typing import Any

from django.db.models import Model

from apps.registry import models
from apps.registry.indexing import INDEX_TABLES

INDEX: tuple[type[Model], ...] = (
    models.SigningKey,
    models.Ski,
    models.Tag,
    models.Condition,
    models.Wear,
    models.Likeness,
    models.LikeValue,
    models.ModelKey,
    *INDEX_TABLES,
)


def index_dump() -> dict[str, list[dict[str, Any]]]:
    """Every row of every index table, in the order of its key."""
    return {table.__name__: sorted(table._default_manager.values(), key=repr) for table in INDEX}

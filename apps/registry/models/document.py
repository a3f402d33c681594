"""The column of a record's bytes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models.expressions import Expression

if TYPE_CHECKING:
    BinaryField = models.BinaryField[bytes, bytes]
else:
    BinaryField = models.BinaryField


class DocumentField(BinaryField):
    """Bytes, also where somebody put text: SQLite lets a hand do so, and then that is found out.

    A changed record must fail the check of its id, and not the program that reads it.
    """

    def from_db_value(
        self, value: Any, _expression: Expression, _connection: BaseDatabaseWrapper
    ) -> Any:
        """Give text as its bytes."""
        return value.encode() if isinstance(value, str) else value

    def deconstruct(self) -> Any:
        """Stand in migrations as the binary column that it is."""
        name, _, arguments, options = super().deconstruct()
        return name, "django.db.models.BinaryField", arguments, options

"""Which drafts of an import became which records, so that the same file twice adds nothing."""

from __future__ import annotations

from django.db import models
from django.db.models.functions import Length
from django.db.models.lookups import Exact

from apps.registry.models import Shop

DIGEST_LENGTH = 64


class ImportedRow(models.Model):
    """One draft that a shop imported, and the record that it became.

    `digest` is SHA-256 of the draft's canonical bytes. The row is written in the transaction of
    its record. It stays when the record is erased: else the next import of the same file would
    bring back what was erased.
    """

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="imported_rows")
    digest = models.CharField(max_length=DIGEST_LENGTH)
    record = models.CharField(max_length=DIGEST_LENGTH)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["shop", "digest"], name="imported_row_once_a_shop"),
            models.CheckConstraint(
                name="imported_row_lengths",
                condition=models.Q(Exact(Length("digest"), DIGEST_LENGTH))
                & models.Q(Exact(Length("record"), DIGEST_LENGTH)),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.shop_id} {self.digest}"

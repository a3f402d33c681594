"""The shops of this node, and whose tags they looked up."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q, Value
from django.db.models.functions import Concat

from apps.records.names import HANDLE_LENGTH, TAG_LENGTH
from apps.registry.querysets import LookUpQuerySet


class Shop(models.Model):
    """A shop that writes on this node.

    `practice` holds the shop's settings as JSON, only those that differ from the default.
    """

    handle = models.CharField(max_length=HANDLE_LENGTH, primary_key=True)
    code = models.CharField(max_length=32)
    label = models.CharField(max_length=80, blank=True, default="")
    practice = models.TextField(default="{}")
    created_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["code"], name="shop_code_once"),
            models.CheckConstraint(
                name="shop_handle_begins_with_code",
                condition=Q(handle__startswith=Concat(F("code"), Value("@"))),
            ),
        ]

    def __str__(self) -> str:
        return self.handle


class LookUp(models.Model):
    """One look-up of another shop's tag: who looked, at which tag, when."""

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="look_ups")
    tag_key = models.CharField(max_length=HANDLE_LENGTH + 1 + TAG_LENGTH)
    looked_at = models.DateTimeField()

    objects = LookUpQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["shop", "tag_key"], name="look_up_by_shop")]
        constraints = [
            models.CheckConstraint(
                name="look_up_is_of_a_foreign_tag",
                condition=~Q(tag_key__startswith=Concat(F("shop"), Value("/"))),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.shop_id} looked at {self.tag_key}"

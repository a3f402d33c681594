"""A ski as the registry sees it: a cluster of tags."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q, Value
from django.db.models.functions import Concat

from apps.records.names import HANDLE_LENGTH, TAG_LENGTH
from apps.registry.querysets import TagQuerySet

KEY_LENGTH = HANDLE_LENGTH + 1 + TAG_LENGTH


def tag_key(shop: str, tag: str) -> str:
    """Write a tag as one string; neither part can hold a slash, so no two tags share it."""
    return f"{shop}/{tag}"


class Ski(models.Model):
    """The tags that are on one ski; its key is the lowest of theirs, whatever came first."""

    key = models.CharField(max_length=KEY_LENGTH, primary_key=True)

    def __str__(self) -> str:
        return self.key


class Tag(models.Model):
    """A tag that a shop put on a ski; it is here from its first description on."""

    key = models.CharField(max_length=KEY_LENGTH, primary_key=True)
    shop = models.CharField(max_length=HANDLE_LENGTH)
    tag = models.CharField(max_length=TAG_LENGTH)
    ski = models.ForeignKey(Ski, on_delete=models.DO_NOTHING, related_name="tags")
    registered_by = models.CharField(max_length=64)

    objects = TagQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["shop", "tag"], name="tag_once_a_shop"),
            models.CheckConstraint(
                name="tag_key_is_shop_and_tag",
                condition=Q(key=Concat(F("shop"), Value("/"), F("tag"))),
            ),
        ]

    def __str__(self) -> str:
        return self.key

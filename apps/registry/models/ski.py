"""A ski as the registry sees it: a cluster of tags, and each shop's part of it."""

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


def shop_and_tag(key: str) -> tuple[str, str]:
    """Take apart what `tag_key` wrote."""
    shop, _, tag = key.partition("/")
    return shop, tag


SHOWN_APART = ("", "contested", "too-many")


class Ski(models.Model):
    """A ski as one shop has it: those of its tags that are on one ski, by the lowest of them.

    `cluster` is the lowest tag of all shops on that ski, whatever came first, so it is the same
    for each shop that has the ski; `tag_count` counts them all. Where links would join more but
    contradict themselves or join too much, each tag stands by itself and `apart` says why.
    """

    key = models.CharField(max_length=KEY_LENGTH, primary_key=True)
    cluster = models.CharField(max_length=KEY_LENGTH)
    tag_count = models.IntegerField(default=1)
    apart = models.CharField(max_length=10, blank=True, default="")

    class Meta:
        indexes = [models.Index(fields=["cluster", "key"], name="ski_by_cluster")]
        constraints = [
            models.CheckConstraint(name="ski_shown_apart", condition=Q(apart__in=SHOWN_APART)),
            models.CheckConstraint(
                name="ski_apart_has_one_tag",
                condition=Q(tag_count=1) | Q(tag_count__gt=1, apart=""),
            ),
        ]

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

"""The hash tree over the log, as stored nodes: what a proof reads instead of the whole log."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.db.models.functions import Length
from django.db.models.lookups import Exact

from apps.records.tree import HASH_BYTES


class TreeNode(models.Model):
    """The hash of one complete subtree of the log (RFC 6962).

    Node (level, position) stands over the records from position * 2^level on, 2^level of them;
    level 0 is the record itself. A complete subtree never changes, so a row is written once, with
    the record that completes it.
    """

    pk = models.CompositePrimaryKey("level", "position")
    level = models.SmallIntegerField()
    position = models.BigIntegerField()
    hash = models.BinaryField(max_length=HASH_BYTES)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="tree_node_hash_length", condition=Exact(Length("hash"), HASH_BYTES)
            ),
            models.CheckConstraint(
                name="tree_node_in_a_tree", condition=Q(level__gte=0, position__gte=0)
            ),
        ]

    def __str__(self) -> str:
        return f"{self.level}/{self.position}"

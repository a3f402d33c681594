"""The links by which somebody without a log-in sees one ski for a while."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Length
from django.db.models.lookups import Exact

from apps.records.names import TAG_LENGTH
from apps.registry.models.keys import DIGEST_LENGTH
from apps.registry.models.shop import Shop
from apps.registry.querysets import ShareLinkQuerySet


class ShareLink(models.Model):
    """A link to one ski of a shop; of its secret only the SHA-256 is kept.

    `tag` is text and no reference: the tags are an index that is dropped and made again.
    """

    prefix = models.CharField(max_length=8, primary_key=True)
    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="share_links")
    tag = models.CharField(max_length=TAG_LENGTH)
    digest = models.CharField(max_length=DIGEST_LENGTH)
    created_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True)
    opened_count = models.IntegerField(default=0)
    last_opened_at = models.DateTimeField(null=True)

    objects = ShareLinkQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["shop", "created_at", "prefix"], name="share_link_by_shop"),
        ]
        constraints = [
            models.CheckConstraint(
                name="share_link_digest_length", condition=Exact(Length("digest"), DIGEST_LENGTH)
            ),
            models.CheckConstraint(
                name="share_link_expires_later", condition=Q(expires_at__gt=F("created_at"))
            ),
            models.CheckConstraint(
                name="share_link_revoked_later",
                condition=Q(revoked_at__isnull=True) | Q(revoked_at__gte=F("created_at")),
            ),
            models.CheckConstraint(
                name="share_link_opened_at_a_time",
                condition=Q(opened_count=0, last_opened_at__isnull=True)
                | Q(opened_count__gt=0, last_opened_at__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return self.prefix

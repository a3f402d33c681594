"""What was answered to a request that may be sent again."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.db.models.functions import Length
from django.db.models.lookups import Exact

from apps.records.names import HANDLE_LENGTH
from apps.registry.querysets import IdempotencyKeyQuerySet

DIGEST_LENGTH = 64


class IdempotencyKey(models.Model):
    """A key that a shop sent with a request, and the answer that the request got.

    The row is written in the transaction of the request's effect: neither is ever there without
    the other.
    """

    shop = models.CharField(max_length=HANDLE_LENGTH)
    key = models.CharField(max_length=255)
    request_digest = models.CharField(max_length=DIGEST_LENGTH)
    status = models.SmallIntegerField(null=True)
    headers = models.TextField(default="[]")
    body = models.BinaryField(default=b"")
    created_at = models.DateTimeField()

    objects = IdempotencyKeyQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["created_at"], name="idempotency_by_age")]
        constraints = [
            models.UniqueConstraint(fields=["shop", "key"], name="idempotency_key_once_a_shop"),
            models.CheckConstraint(
                name="idempotency_digest_length",
                condition=Exact(Length("request_digest"), DIGEST_LENGTH),
            ),
            models.CheckConstraint(
                name="idempotency_status",
                condition=Q(status__isnull=True) | Q(status__gte=200, status__lte=599),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.shop} {self.key}"

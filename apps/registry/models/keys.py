"""The keys of a shop: those that sign its records, and those its programs come with."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Length
from django.db.models.lookups import Exact

from apps.records.signing import KEY_BYTES
from apps.registry.models.shop import Shop
from apps.registry.querysets import ApiKeyQuerySet, SigningKeyQuerySet

DIGEST_LENGTH = 64
SCOPES = ("read", "read write", "write")


class SigningKey(models.Model):
    """An Ed25519 key that signs for a shop, for a stretch of the log.

    `private` is absent where the shop keeps the key itself. The key speaks for log positions
    from `valid_from`, and before `ends_at` where it has an end: a stolen key also signs the
    time, so its end is a place in the log and not a date.
    """

    key_id = models.CharField(max_length=43, primary_key=True)
    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="signing_keys")
    public = models.BinaryField(max_length=KEY_BYTES)
    private = models.BinaryField(max_length=KEY_BYTES, null=True)
    valid_from = models.BigIntegerField(default=0)
    ends_at = models.BigIntegerField(null=True)

    objects = SigningKeyQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="signing_key_public_length", condition=Exact(Length("public"), KEY_BYTES)
            ),
            models.CheckConstraint(
                name="signing_key_private_length",
                condition=Q(private__isnull=True) | Q(Exact(Length("private"), KEY_BYTES)),
            ),
            models.CheckConstraint(
                name="signing_key_ends_after_it_begins",
                condition=Q(valid_from__gte=0)
                & (Q(ends_at__isnull=True) | Q(ends_at__gte=F("valid_from"))),
            ),
            models.UniqueConstraint(
                name="signing_key_one_kept_by_the_node",
                fields=["shop"],
                condition=Q(private__isnull=False, ends_at__isnull=True),
            ),
        ]

    def __str__(self) -> str:
        return self.key_id


class ApiKey(models.Model):
    """What a shop's program shows to be let in; the secret itself is not kept.

    `digest` is SHA-256 of the secret. A slow password hash would add nothing: it slows down
    guessing at what people choose, and these secrets are 256 random bits.
    """

    prefix = models.CharField(max_length=8, primary_key=True)
    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="api_keys")
    digest = models.CharField(max_length=DIGEST_LENGTH)
    scopes = models.CharField(max_length=10)
    created_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    revoked_at = models.DateTimeField(null=True)

    objects = ApiKeyQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="api_key_digest_length", condition=Exact(Length("digest"), DIGEST_LENGTH)
            ),
            models.CheckConstraint(name="api_key_scopes", condition=Q(scopes__in=SCOPES)),
            models.CheckConstraint(
                name="api_key_expires_later", condition=Q(expires_at__gt=F("created_at"))
            ),
        ]

    def __str__(self) -> str:
        return self.prefix

"""The keys of a shop: those that sign its records, and those its programs come with."""

from __future__ import annotations

from itertools import combinations

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Length
from django.db.models.lookups import Exact

from apps.records.names import HANDLE_LENGTH
from apps.records.signing import KEY_BYTES
from apps.registry.models.record import ID_LENGTH, Record
from apps.registry.models.shop import Shop
from apps.registry.querysets import ApiKeyQuerySet, KeptKeyQuerySet, SigningKeyQuerySet

DIGEST_LENGTH = 64
KEY_ID_LENGTH = 43
HOLDERS = ("node", "shop")
SHOP_SCOPES = ("keys", "read", "write")
SCOPES = (
    "feed",
    *(" ".join(some) for size in (1, 2, 3) for some in combinations(SHOP_SCOPES, size)),
)


class SigningKey(models.Model):
    """Index of the Ed25519 keys that sign for an author, for a stretch of the log.

    `record` is the key record that brought it in, at the place `valid_from`; `ended_by` is the
    record that ended it, at `ends_at`. The key speaks for the places between the two: a stolen
    key also signs the time, so its end is a place in the log and not a date.
    """

    key_id = models.CharField(max_length=KEY_ID_LENGTH, primary_key=True)
    author = models.CharField(max_length=HANDLE_LENGTH)
    public = models.BinaryField(max_length=KEY_BYTES)
    held_by = models.CharField(max_length=4)
    record = models.OneToOneField(Record, on_delete=models.DO_NOTHING, related_name="+")
    valid_from = models.BigIntegerField()
    ended_by = models.CharField(max_length=ID_LENGTH, blank=True, default="")
    ends_at = models.BigIntegerField(null=True)

    objects = SigningKeyQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["author", "valid_from"], name="signing_key_by_author")]
        constraints = [
            models.CheckConstraint(
                name="signing_key_public_length", condition=Exact(Length("public"), KEY_BYTES)
            ),
            models.CheckConstraint(name="signing_key_held_by", condition=Q(held_by__in=HOLDERS)),
            models.CheckConstraint(
                name="signing_key_ends_after_it_begins",
                condition=Q(valid_from__gte=0)
                & (Q(ends_at__isnull=True) | Q(ends_at__gt=F("valid_from"))),
            ),
            models.CheckConstraint(
                name="signing_key_ended_by_a_record",
                condition=Q(ends_at__isnull=True, ended_by="")
                | Q(ends_at__isnull=False, ended_by__gt=""),
            ),
        ]

    def __str__(self) -> str:
        return self.key_id


class KeptKey(models.Model):
    """The private half of the one key that the node signs with for a shop, while it lives."""

    key_id = models.CharField(max_length=KEY_ID_LENGTH, primary_key=True)
    shop = models.OneToOneField(Shop, on_delete=models.PROTECT, related_name="kept_key")
    private = models.BinaryField(max_length=KEY_BYTES)

    objects = KeptKeyQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="kept_key_private_length", condition=Exact(Length("private"), KEY_BYTES)
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
    scopes = models.CharField(max_length=20)
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

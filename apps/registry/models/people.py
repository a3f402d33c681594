"""The people of a shop, and what each may do."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q

from apps.registry.models.shop import Shop
from apps.registry.querysets import MemberQuerySet

OWNER = "owner"
TECHNICIAN = "technician"
READER = "reader"
ROLES = (OWNER, TECHNICIAN, READER)
UNITS = ("mm", "um")
LANGUAGES = ("", "en", "de", "fr")
ALIAS_LENGTH = 32


class Member(models.Model):
    """One person of a shop: a log-in, a role, and how this person likes pages written.

    `alias` is what records call the person; "" for one who writes none. The nickname of the
    log-in never goes into a record.
    """

    user = models.OneToOneField(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="member"
    )
    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="members")
    role = models.CharField(max_length=10)
    alias = models.CharField(max_length=ALIAS_LENGTH, blank=True, default="")
    unit = models.CharField(max_length=2, default="mm")
    language = models.CharField(max_length=2, blank=True, default="")

    objects = MemberQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(name="member_role", condition=Q(role__in=ROLES)),
            models.CheckConstraint(name="member_unit", condition=Q(unit__in=UNITS)),
            models.CheckConstraint(name="member_language", condition=Q(language__in=LANGUAGES)),
            models.UniqueConstraint(
                fields=["shop", "alias"],
                condition=~Q(alias=""),
                name="member_alias_once_a_shop",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.role} {self.user_id} of {self.shop_id}"

"""Index of use, of status and of the pairs."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from apps.registry.models.rows import WORD_LENGTH, SingleRow
from apps.registry.models.ski import KEY_LENGTH

STATUSES = ("in_service", "on_bench", "quarantined", "retired", "sold", "missing")
MOST_DAYS = 400


class Usage(SingleRow):
    """Days out since the usage record before."""

    days = models.SmallIntegerField()

    class Meta:
        indexes = [models.Index(fields=["tag", "performed_day"], name="usage_by_tag")]
        constraints = [
            models.CheckConstraint(
                name="usage_days", condition=Q(days__gte=0, days__lte=MOST_DAYS)
            ),
        ]

    def __str__(self) -> str:
        return f"usage {self.record_id}"


class StatusChange(SingleRow):
    """Where the ski stands from this day on."""

    status = models.CharField(max_length=WORD_LENGTH)
    reason = models.CharField(max_length=WORD_LENGTH, blank=True, default="")

    class Meta:
        indexes = [models.Index(fields=["tag", "performed_day"], name="status_change_by_tag")]
        constraints = [
            models.CheckConstraint(name="status_change_word", condition=Q(status__in=STATUSES)),
            models.CheckConstraint(
                name="status_change_retired_for_a_reason",
                condition=~Q(status="retired") | ~Q(reason=""),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.status} {self.record_id}"


class Pairing(SingleRow):
    """Two tags that are used together; the other one may not be registered here."""

    other_tag_key = models.CharField(max_length=KEY_LENGTH)

    class Meta:
        indexes = [models.Index(fields=["other_tag_key"], name="pairing_by_other")]
        constraints = [
            models.CheckConstraint(name="pairing_of_two", condition=~Q(other_tag_key=F("tag"))),
        ]

    def __str__(self) -> str:
        return f"pair {self.record_id}"

"""Who wants to be told that the log has grown, and what was told so far."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from apps.registry.models import Shop

NAME_LENGTH = 40
URL_LENGTH = 2000
SECRET_LENGTH = 64
REASON_LENGTH = 400
STATES = ("active", "paused")
OUTCOMES = ("waiting", "delivered", "dropped")


class Webhook(models.Model):
    """An address of a shop that is told when the log has grown.

    `secret` is kept in the clear, since each message is signed with it. `told` is the log index
    up to which the receiver knows: the next message begins there. `reason` says why it is paused.
    """

    id = models.CharField(max_length=NAME_LENGTH, primary_key=True)
    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="webhooks")
    url = models.CharField(max_length=URL_LENGTH)
    secret = models.CharField(max_length=SECRET_LENGTH)
    told = models.BigIntegerField()
    state = models.CharField(max_length=8, default="active")
    reason = models.CharField(max_length=REASON_LENGTH, blank=True, default="")
    created_at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["shop", "created_at"], name="webhook_by_shop")]
        constraints = [
            models.CheckConstraint(name="webhook_state", condition=Q(state__in=STATES)),
            models.CheckConstraint(
                name="webhook_paused_for_a_reason",
                condition=Q(state="active", reason="") | (Q(state="paused") & ~Q(reason="")),
            ),
            models.CheckConstraint(name="webhook_told_from_zero", condition=Q(told__gte=0)),
        ]

    def __str__(self) -> str:
        return self.id


class Delivery(models.Model):
    """One message to one webhook: a stretch of the log, and how telling it went.

    `tries` counts those that began, so that a process killed in the middle of one has used it up.
    `next_at` is when the next may begin; nobody else begins one before.
    """

    id = models.CharField(max_length=NAME_LENGTH, primary_key=True)
    webhook = models.ForeignKey(Webhook, on_delete=models.CASCADE, related_name="deliveries")
    from_index = models.BigIntegerField()
    until_index = models.BigIntegerField()
    outcome = models.CharField(max_length=10, default="waiting")
    tries = models.SmallIntegerField(default=0)
    last_answer = models.CharField(max_length=REASON_LENGTH, blank=True, default="")
    made_at = models.DateTimeField()
    next_at = models.DateTimeField(null=True)

    class Meta:
        indexes = [
            models.Index(fields=["webhook", "made_at"], name="delivery_by_webhook"),
            models.Index(fields=["next_at"], name="delivery_due", condition=Q(outcome="waiting")),
        ]
        constraints = [
            models.CheckConstraint(name="delivery_outcome", condition=Q(outcome__in=OUTCOMES)),
            models.CheckConstraint(
                name="delivery_of_a_stretch",
                condition=Q(from_index__gte=0, until_index__gt=F("from_index")),
            ),
            models.CheckConstraint(
                name="delivery_waits_for_a_moment",
                condition=Q(outcome="waiting", next_at__isnull=False)
                | (~Q(outcome="waiting") & Q(next_at__isnull=True)),
            ),
            models.CheckConstraint(name="delivery_tries_from_zero", condition=Q(tries__gte=0)),
            models.UniqueConstraint(
                name="delivery_one_waits", fields=["webhook"], condition=Q(outcome="waiting")
            ),
        ]

    def __str__(self) -> str:
        return self.id

"""Tells the webhooks that the log has grown: makes messages, sends what is due, keeps the outcome.

Several processes may do this at once: a message is claimed before it is sent, and a claim that
its process didn't live to end runs out by itself.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.db.models import OuterRef, Subquery
from django.utils import timezone

from apps.exchange.models import Delivery, Webhook
from apps.exchange.models.webhooks import REASON_LENGTH
from apps.exchange.webhook_schedule import is_last, wait_after
from apps.exchange.webhook_sending import SECONDS_IN_ALL, Sent, send
from apps.exchange.webhook_signing import headers_of
from apps.exchange.webhooks import (
    ACTIVE,
    DELIVERED,
    DROPPED,
    PAUSED,
    WAITING,
    own_networks,
)
from apps.records.canonical import canonical_bytes
from apps.registry.storage import writing
from apps.registry.tree import log_size

EVENT = "log.grown"
CLAIM = timedelta(seconds=3 * SECONDS_IN_ALL)
AT_ONCE = 8
MOST_KEPT = 50

Sender = Callable[[Delivery, datetime], Sent]


@dataclass(frozen=True, slots=True)
class Told:
    """What became of one message.

    Parameters
    ----------
    webhook : str
        Id of the webhook.
    outcome : str
        "delivered", "waiting" for another try, or "paused".
    sentence : str
        What happened, with the stretch of the log.
    """

    webhook: str
    outcome: str
    sentence: str


def message_body(delivery: Delivery) -> bytes:
    """Give the body of a message: its type, when it was made, and the stretch of the log."""
    made = delivery.made_at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    stretch = {"from": delivery.from_index, "until": delivery.until_index}
    return canonical_bytes({"type": EVENT, "timestamp": made, "data": stretch})


def send_signed(delivery: Delivery, now: datetime) -> Sent:
    """Sign and send one message."""
    body = message_body(delivery)
    headers = headers_of(
        delivery.webhook.secret, message=delivery.id, moment=int(now.timestamp()), body=body
    )
    return send(delivery.webhook.url, body, headers, own=own_networks())


def deliver_due(
    *, clock: Callable[[], datetime] = timezone.now, sender: Sender = send_signed
) -> Iterator[Told]:
    """Make the messages that are missing, and send all that are due now, each once.

    Parameters
    ----------
    clock : callable
        Tells the time; asked anew for each batch, since receivers refuse old signatures.
    sender : callable
        Sends one message; runs in a thread and must not use the database.
    """
    begun = clock()
    make_missing(begun)
    while claimed := claim_due(begun, now=clock()):
        for delivery, sent in zip(claimed, _send_all(claimed, clock(), sender), strict=True):
            yield keep_outcome(delivery, sent, now=clock())


def _send_all(claimed: Sequence[Delivery], now: datetime, sender: Sender) -> list[Sent]:
    with ThreadPoolExecutor(AT_ONCE) as pool:
        return list(pool.map(lambda one: sender(one, now), claimed))


def make_missing(now: datetime) -> None:
    """Make a message for each active webhook that is behind the log and has none waiting."""
    size = log_size()
    waiting = Delivery.objects.filter(webhook=OuterRef("pk"), outcome=WAITING).values("id")[:1]
    behind = Webhook.objects.filter(state=ACTIVE, told__lt=size)
    for webhook_id in behind.annotate(waits=Subquery(waiting)).filter(waits=None).values_list("id"):
        _make(webhook_id[0], size, now)


def _make(webhook_id: str, size: int, now: datetime) -> None:
    with writing():
        # Read again under a lock: it may have been paused, removed or served meanwhile.
        webhook = Webhook.objects.select_for_update().filter(id=webhook_id, state=ACTIVE).first()
        if webhook is None or webhook.told >= size:
            return
        if webhook.deliveries.filter(outcome=WAITING).exists():
            return
        Delivery.objects.create(
            id=f"msg_{secrets.token_hex(12)}",
            webhook=webhook,
            from_index=webhook.told,
            until_index=size,
            made_at=now,
            next_at=now,
        )


def claim_due(due_at: datetime, *, now: datetime) -> Sequence[Delivery]:
    """Claim messages that are due at a moment: for a while nobody else sends them."""
    due = Delivery.objects.filter(outcome=WAITING, next_at__lte=due_at, webhook__state=ACTIVE)
    seen = list(due.select_related("webhook").order_by("next_at", "id")[:AT_ONCE])
    return [delivery for delivery in seen if _claimed(delivery, now)]


def _claimed(delivery: Delivery, now: datetime) -> bool:
    with writing():
        unclaimed = Delivery.objects.filter(
            id=delivery.id, outcome=WAITING, tries=delivery.tries, next_at=delivery.next_at
        )
        changed = unclaimed.update(tries=delivery.tries + 1, next_at=now + CLAIM)
    delivery.tries += 1
    return changed == 1


def keep_outcome(delivery: Delivery, sent: Sent, *, now: datetime) -> Told:
    """Keep what a try came to; of a message that was dropped meanwhile nothing is kept."""
    with writing():
        webhook = Webhook.objects.select_for_update().filter(id=delivery.webhook_id).first()
        mine = Delivery.objects.filter(id=delivery.id, outcome=WAITING, tries=delivery.tries)
        if webhook is None or not mine.exists():
            return Told(delivery.webhook_id, DROPPED, "The message was dropped while it was sent.")
        if sent.result == "delivered":
            return _delivered(webhook, delivery, sent)
        if sent.result == "gone" or is_last(delivery.tries):
            return _paused(webhook, delivery, sent)
        return _waits(delivery, sent, now)


def _delivered(webhook: Webhook, delivery: Delivery, sent: Sent) -> Told:
    _end(delivery, DELIVERED, sent.sentence)
    Webhook.objects.filter(id=webhook.id).update(told=delivery.until_index)
    _forget_old(webhook)
    return Told(webhook.id, DELIVERED, f"Told of {_stretch(delivery)}. {sent.sentence}")


def _paused(webhook: Webhook, delivery: Delivery, sent: Sent) -> Told:
    _end(delivery, DROPPED, sent.sentence)
    tries = "1 try" if delivery.tries == 1 else f"{delivery.tries} tries"
    reason = f"Paused after {tries}: {sent.sentence}"[:REASON_LENGTH]
    Webhook.objects.filter(id=webhook.id).update(state=PAUSED, reason=reason)
    _forget_old(webhook)
    return Told(webhook.id, PAUSED, f"Could not tell of {_stretch(delivery)}. {reason}")


def _waits(delivery: Delivery, sent: Sent, now: datetime) -> Told:
    wait = wait_after(delivery.tries, asked=sent.asked)
    Delivery.objects.filter(id=delivery.id).update(
        next_at=now + wait, last_answer=sent.sentence[:REASON_LENGTH]
    )
    again = f"Try {delivery.tries + 1} follows in {wait.total_seconds():.0f} s."
    sentence = f"Could not tell of {_stretch(delivery)}. {sent.sentence} {again}"
    return Told(delivery.webhook_id, WAITING, sentence)


def _end(delivery: Delivery, outcome: str, sentence: str) -> None:
    Delivery.objects.filter(id=delivery.id).update(
        outcome=outcome, next_at=None, last_answer=sentence[:REASON_LENGTH]
    )


def _stretch(delivery: Delivery) -> str:
    return f"{delivery.from_index} to {delivery.until_index - 1}"


def _forget_old(webhook: Webhook) -> None:
    ended = webhook.deliveries.exclude(outcome=WAITING).order_by("-made_at", "-id")
    old = list(ended.values_list("id", flat=True)[MOST_KEPT:])
    Delivery.objects.filter(id__in=old).delete()

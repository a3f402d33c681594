"""What a shop does with its webhooks: add, see, resume, replay, remove."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from ipaddress import ip_network

from django.conf import settings
from django.utils import timezone

from apps.exchange.models import Delivery, Webhook
from apps.exchange.webhook_signing import new_secret
from apps.exchange.webhook_targets import Network, WrongTarget, read_target
from apps.records.errors import FieldError, InvalidRecord
from apps.registry import policies
from apps.registry.actors import Actor
from apps.registry.errors import RegistryError, WrongState
from apps.registry.models import Shop
from apps.registry.storage import writing
from apps.registry.tree import log_size

MOST_A_SHOP = 8
MOST_SHOWN = 20
ACTIVE, PAUSED = "active", "paused"
WAITING, DELIVERED, DROPPED = "waiting", "delivered", "dropped"


class UnknownWebhook(RegistryError):
    """The shop has no webhook of this id."""

    code = "unknown-webhook"


@dataclass(frozen=True, slots=True)
class AddedWebhook:
    """A new webhook; `secret` is shown this once."""

    webhook: Webhook
    secret: str


def own_networks() -> Sequence[Network]:
    """Networks that the operator allows messages into, besides the public one."""
    return [ip_network(network) for network in settings.WEBHOOK_NETWORKS]


def add_webhook(*, url: str, by: Actor, now: datetime | None = None) -> AddedWebhook:
    """Add an address that is told what the log grows by from now on.

    Raises
    ------
    NotAllowed
    InvalidRecord
        At `/url`, for an address that no message is sent to.
    WrongState
        If the shop has as many as it may have.
    """
    policies.may_write(by)
    try:
        read_target(url, own=own_networks())
    except WrongTarget as error:
        raise InvalidRecord(FieldError("/url", error.code, error.sentence)) from error
    secret = new_secret()
    with writing():
        _check_number(by.handle)
        webhook = Webhook.objects.create(
            id=f"wh_{secrets.token_hex(12)}",
            shop_id=by.handle,
            url=url,
            secret=secret,
            told=log_size(),
            created_at=now or timezone.now(),
        )
    return AddedWebhook(webhook, secret)


def _check_number(handle: str) -> None:
    # The shop is locked first, so that two calls at once can't both take the last place.
    Shop.objects.select_for_update().get(handle=handle)
    if Webhook.objects.filter(shop_id=handle).count() >= MOST_A_SHOP:
        raise WrongState(f"{handle} has {MOST_A_SHOP} webhooks already. Remove one of them first.")


def own_webhooks(by: Actor) -> list[Webhook]:
    """Give a shop's webhooks, the oldest first."""
    policies.may_write(by)
    return list(Webhook.objects.filter(shop_id=by.handle).order_by("created_at", "id"))


def find_webhook(webhook_id: str, *, by: Actor, locked: bool = False) -> Webhook:
    """Give one of the shop's webhooks.

    Raises
    ------
    UnknownWebhook
        If there is none, or it is another shop's.
    """
    policies.may_write(by)
    webhooks = Webhook.objects.select_for_update() if locked else Webhook.objects.all()
    found = webhooks.filter(shop_id=by.handle, id=webhook_id).first()
    if found is None:
        raise UnknownWebhook("You have no webhook of this id.")
    return found


def last_deliveries(webhook: Webhook) -> list[Delivery]:
    """Give the last messages, the latest first."""
    return list(webhook.deliveries.order_by("-made_at", "-id")[:MOST_SHOWN])


def remove_webhook(webhook_id: str, *, by: Actor) -> Webhook:
    """Remove a webhook; it is told nothing more.

    Raises
    ------
    UnknownWebhook
    """
    with writing():
        found = find_webhook(webhook_id, by=by, locked=True)
        Webhook.objects.filter(id=found.id).delete()
    return found


def resume_webhook(webhook_id: str, *, by: Actor, skip: bool = False) -> Webhook:
    """Send to a paused webhook again; one that is active stays as it is.

    Parameters
    ----------
    webhook_id : str
    by : Actor
    skip : bool
        Whether to pass over what the log grew by in the meantime.

    Raises
    ------
    UnknownWebhook
    """
    with writing():
        found = find_webhook(webhook_id, by=by, locked=True)
        if found.state == PAUSED:
            found.state, found.reason = ACTIVE, ""
            found.told = log_size() if skip else found.told
            found.save(update_fields=["state", "reason", "told"])
    return found


def replay_webhook(webhook_id: str, *, begin: int, by: Actor) -> Webhook:
    """Tell a webhook again of everything from a place of the log on.

    A message that waits is dropped, since the next one covers its stretch.

    Raises
    ------
    UnknownWebhook
    WrongState
        At `/from`, for a place that was not told yet.
    """
    with writing():
        found = find_webhook(webhook_id, by=by, locked=True)
        if begin > found.told:
            raise WrongState(
                f"Up to {found.told} was told so far; give that place or an earlier one.",
                pointer="/from",
            )
        drop_waiting(found, f"Replaced by a replay from {begin} on.")
        found.told = begin
        found.save(update_fields=["told"])
    return found


def drop_waiting(webhook: Webhook, why: str) -> None:
    """Give up the message that waits, if one does."""
    waiting = Delivery.objects.filter(webhook=webhook, outcome=WAITING)
    waiting.update(outcome=DROPPED, next_at=None, last_answer=why)

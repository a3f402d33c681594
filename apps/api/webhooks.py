"""Webhooks and their messages as members of an answer."""

from __future__ import annotations

from apps.api.addresses import ROOT
from apps.api.stored import instant
from apps.exchange.models import Delivery, Webhook


def webhook_address(webhook: Webhook) -> str:
    """Give the address of a webhook."""
    return f"{ROOT}/webhooks/{webhook.id}"


def webhook_members(webhook: Webhook) -> dict[str, object]:
    """Give a webhook without its secret."""
    reason = {"reason": webhook.reason} if webhook.reason else {}
    return {
        "id": webhook.id,
        "url": webhook.url,
        "state": webhook.state,
        **reason,
        "told": webhook.told,
        "created_at": instant(webhook.created_at),
    }


def delivery_members(delivery: Delivery) -> dict[str, object]:
    """Give one message."""
    last = {"last_answer": delivery.last_answer} if delivery.last_answer else {}
    following = {"next_at": instant(delivery.next_at)} if delivery.next_at else {}
    return {
        "id": delivery.id,
        "from": delivery.from_index,
        "until": delivery.until_index,
        "outcome": delivery.outcome,
        "tries": delivery.tries,
        **last,
        "made_at": instant(delivery.made_at),
        **following,
    }

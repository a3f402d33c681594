"""Makes the log grow, and puts webhooks into a state."""

from __future__ import annotations

from apps.exchange.models import Webhook
from apps.registry.actors import Actor
from tests.registry.making import a_ski

URL = "https://hooks.fellbench.example/in"
_TAGS = iter(range(1000, 10**6))


def grow(shop: Actor, records: int = 1) -> None:
    """Append records."""
    for _ in range(records):
        a_ski(shop, tag=f"HK-{next(_TAGS)}")


def paused(webhook: Webhook) -> None:
    """Pause a webhook."""
    Webhook.objects.filter(id=webhook.id).update(state="paused", reason="Paused by a test.")

"""The tables of this room; all are the node's own and none is a record."""

from apps.exchange.models.imports import ImportedRow
from apps.exchange.models.peers import Cosignature, Evidence, Peer, PeerEntry, PeerRefusal
from apps.exchange.models.webhooks import Delivery, Webhook

__all__ = [
    "Cosignature",
    "Delivery",
    "Evidence",
    "ImportedRow",
    "Peer",
    "PeerEntry",
    "PeerRefusal",
    "Webhook",
]

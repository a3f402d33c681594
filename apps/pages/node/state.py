"""The state of the node as its operator sees it, read in a fixed number of queries."""

from __future__ import annotations

import shutil
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from importlib.metadata import version
from pathlib import Path
from typing import Any

from django.db import connection
from django.db.models import Count, QuerySet

from apps.exchange.models import Cosignature, Evidence, ImportedRow, Peer, Webhook
from apps.records.names import NODE_CODE
from apps.registry import tree
from apps.registry.models import ApiKey, KeptKey, Member, Shop, Ski, Tag
from apps.registry.querysets import ApiKeyQuerySet

DISTRIBUTION = "ski-service-registry"
SOON = timedelta(days=30)
MOST_SHOWN = 200


@dataclass(frozen=True, slots=True)
class Store:
    """What the node stores, and on what.

    Parameters
    ----------
    version : str
        Of the software.
    database : str
        `sqlite` or `postgresql`.
    free_bytes : int or None
        Left where SQLite's file is; None for PostgreSQL, which may be on another machine.
    records, skis, tags : int
    root : str
        Root of the log's tree, hexadecimal.
    """

    version: str
    database: str
    free_bytes: int | None
    records: int
    skis: int
    tags: int
    root: str


@dataclass(frozen=True, slots=True)
class ShopLine:
    """One shop of the node."""

    code: str
    label: str
    people: int
    live_keys: int
    imported: int
    node_signs: bool


@dataclass(frozen=True, slots=True)
class PeerLine:
    """One node that is followed; `trouble` has stood since `pulled_at`."""

    host: str
    is_stopped: bool
    trouble: str
    pulled_at: datetime | None
    size: int
    behind: int
    refused: int
    evidence: int


@dataclass(frozen=True, slots=True)
class NodeState:
    """All of it."""

    store: Store
    shops: tuple[ShopLine, ...]
    peers: tuple[PeerLine, ...]
    witnesses: tuple[Cosignature, ...]
    paused: tuple[Webhook, ...]
    ending_keys: tuple[ApiKey, ...]


def node_state(now: datetime) -> NodeState:
    """Read the state of the node."""
    live = ApiKey.objects.live(now)
    ending = live.filter(expires_at__lte=now + SOON).order_by("expires_at", "prefix")
    paused = Webhook.objects.filter(state="paused").order_by("shop", "id")
    return NodeState(
        store=_store(),
        shops=_shops(live),
        peers=_peers(),
        witnesses=tuple(Cosignature.objects.order_by("witness")[:MOST_SHOWN]),
        paused=tuple(paused[:MOST_SHOWN]),
        ending_keys=tuple(ending[:MOST_SHOWN]),
    )


def _store() -> Store:
    size = tree.log_size()
    return Store(
        version=version(DISTRIBUTION),
        database=connection.vendor,
        free_bytes=free_bytes(),
        records=size,
        skis=Ski._default_manager.count(),
        tags=Tag.objects.count(),
        root=tree.root(size).hex(),
    )


def free_bytes() -> int | None:
    """Say how much room is left where SQLite's file is; None where nobody can say."""
    if connection.vendor != "sqlite":
        return None
    try:
        return shutil.disk_usage(Path(str(connection.settings_dict["NAME"])).parent).free
    except OSError:
        return None


def _shops(live: ApiKeyQuerySet) -> tuple[ShopLine, ...]:
    people, keys = _by_shop(Member.objects.all()), _by_shop(live)
    imported = _by_shop(ImportedRow.objects.all())
    signed_for = set(KeptKey.objects.values_list("shop_id", flat=True))
    shops = Shop._default_manager.exclude(code=NODE_CODE).order_by("code")[:MOST_SHOWN]
    return tuple(
        ShopLine(
            code=shop.code,
            label=shop.label,
            people=people.get(shop.handle, 0),
            live_keys=keys.get(shop.handle, 0),
            imported=imported.get(shop.handle, 0),
            node_signs=shop.handle in signed_for,
        )
        for shop in shops
    )


def _by_shop(rows: QuerySet[Any]) -> Mapping[str, int]:
    return _counts(rows, "shop_id")


def _counts(rows: QuerySet[Any], name: str) -> Mapping[str, int]:
    counted: Sequence[tuple[str, int]] = rows.order_by().values_list(name).annotate(Count("pk"))
    return dict(counted)


def _peers() -> tuple[PeerLine, ...]:
    refused = dict(Peer.objects.values_list("host").annotate(Count("refusals__index")))
    evidence = _counts(Evidence.objects.all(), "host")
    return tuple(
        PeerLine(
            host=peer.host,
            is_stopped=peer.state == "stopped",
            trouble=peer.reason or peer.trouble,
            pulled_at=peer.pulled_at,
            size=peer.size,
            behind=peer.checkpoint_size - peer.size,
            refused=refused.get(peer.host, 0),
            evidence=evidence.get(peer.host, 0),
        )
        for peer in Peer.objects.order_by("host")[:MOST_SHOWN]
    )

"""The node as an author: its own key, and the records that it writes itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any, Literal

from django.conf import settings
from django.utils import timezone

from apps.records import names
from apps.records.canonical import canonical_bytes
from apps.records.envelope import AnyDraft
from apps.records.key_proof import prove
from apps.records.names import NODE_CODE
from apps.records.reading import compose, read_draft, read_node_draft
from apps.records.signing import PrivateKey, PublicKey
from apps.registry.actors import NODE
from apps.registry.door import append_records, lock_log
from apps.registry.errors import NoIdentity
from apps.registry.models import KeptKey, Shop, SigningKey
from apps.registry.storage import storage_errors, writing
from apps.registry.submissions import Appended, Submission

__all__ = [
    "NODE",
    "NodeWord",
    "ensure_identity",
    "node_handle",
    "node_key",
    "public_key_of_node",
    "write_as_node",
]


@dataclass(frozen=True, slots=True)
class NodeWord:
    """What the node itself is to write: a key, the end of one, or an erasure."""

    kind: Literal["key", "key-end", "erasure"]
    body: Mapping[str, Any]
    about: Mapping[str, Any] = field(default_factory=dict)


def node_handle() -> str:
    """Give the handle under which this node writes."""
    return names.node_handle(settings.NODE_HOST)


def node_key() -> PrivateKey:
    """Give the key that the node signs its own records and its checkpoints with.

    Raises
    ------
    NoIdentity
        If it has none yet.
    """
    with storage_errors():
        kept = KeptKey.objects.kept_for(node_handle()).first()
    if kept is None:
        raise NoIdentity("The node has no key yet. Make one with `service-registry prepare`.")
    return PrivateKey.from_seed(bytes(kept.private))


def public_key_of_node(host: str) -> PublicKey | None:
    """Give the key that the node of a host signs with now, as far as its records are here."""
    live = SigningKey.objects.of_author(names.node_handle(host)).live().last()
    return PublicKey(bytes(live.public)) if live else None


def ensure_identity(*, key: PrivateKey | None = None, now: datetime | None = None) -> PublicKey:
    """Give the node a key, where it has none, and bring each kept key into the log.

    Keys that a version before kept have no record yet.

    Parameters
    ----------
    key : PrivateKey, optional
        The key to begin with; a new random one when absent.
    """
    with writing():
        lock_log()
        if not KeptKey.objects.kept_for(node_handle()).exists():
            _begin(key or PrivateKey.generate(), now or timezone.now())
        own = node_key()
        known = SigningKey.objects.values("key_id")
        waiting = KeptKey.objects.exclude(key_id__in=known).order_by("shop")
        # The node's own comes first: it signs for the others.
        for kept in sorted(waiting, key=lambda one: one.shop_id != node_handle()):
            private = PrivateKey.from_seed(bytes(kept.private))
            write_as_node(key_word(private, kept.shop_id), now=now)
    return own.public


def _begin(key: PrivateKey, now: datetime) -> None:
    shop, _ = Shop._default_manager.get_or_create(
        handle=node_handle(), defaults={"code": NODE_CODE, "created_at": now}
    )
    KeptKey.objects.create(key_id=key.key_id, shop=shop, private=key.seed)


def key_word(key: PrivateKey, handle: str) -> NodeWord:
    """Word what brings a key into the log that the node keeps for a shop."""
    return shop_key_word(key.public.text, handle, held_by="node", proof=prove(key, handle))


def shop_key_word(public: str, handle: str, *, held_by: str, proof: str) -> NodeWord:
    """Word what brings a key into the log."""
    body = {"shop": handle, "public": public, "held_by": held_by, "proof": proof}
    return NodeWord("key", body)


def write_as_node(
    *words: NodeWord, now: datetime | None = None, key: PrivateKey | None = None
) -> list[Appended]:
    """Write records of the node itself, signed with its key, through the one door.

    Parameters
    ----------
    words : NodeWord
        In the order they are to take in the log.
    now : datetime, optional
        When they are written; the clock's time when absent.
    key : PrivateKey, optional
        The key that signs; the node's when absent.

    Raises
    ------
    NoIdentity
        If the node has no key yet.
    RegistryError
        What `append_records` raises.
    """
    at = now or timezone.now()
    signer = key or node_key()
    documents = [_document(word, signer, at) for word in words]
    return append_records(submissions=_signed(documents, signer), by=NODE, now=at)


def _document(word: NodeWord, key: PrivateKey, at: datetime) -> bytes:
    moment = at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    members = {"performed_at": moment, "body": dict(word.body), **word.about}
    draft = _draft(word, members)
    return canonical_bytes(compose(draft, author=node_handle(), key=key.key_id))


def _draft(word: NodeWord, members: Mapping[str, Any]) -> AnyDraft:
    if word.kind == "erasure":
        return read_draft(word.kind, members, node_host=settings.NODE_HOST)
    return read_node_draft(word.kind, members, node_host=settings.NODE_HOST)


def _signed(documents: Sequence[bytes], key: PrivateKey) -> list[Submission]:
    return [Submission(data=data, signature=key.sign_text(data)) for data in documents]

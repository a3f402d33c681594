"""Which keys may begin and which may end; each rule is a sentence that raises with its reason."""

from __future__ import annotations

from apps.records.envelope import KeyEndRecord, KeyRecord
from apps.records.key_proof import proof_holds
from apps.records.signing import PublicKey
from apps.registry.errors import BadSignature, UnknownKey, WrongState
from apps.registry.known import Known
from apps.registry.signatures import REASONS
from apps.registry.submissions import NodeEntry


def key_is_new(entry: NodeEntry, known: Known) -> None:
    """A key begins once, for one shop: what ended once never speaks again."""
    record = entry.record
    if not isinstance(record, KeyRecord):
        return
    key = known.ring.keys.get(PublicKey.from_text(record.body.public).key_id)
    if key is not None:
        raise WrongState(
            f"The key {key.key_id} was registered for {key.author} before. Make a new one.",
            pointer="/body/public",
        )


def key_is_proven(entry: NodeEntry, _known: Known) -> None:
    """Whoever registers a key holds its private half, and means it for this shop."""
    record = entry.record
    if not isinstance(record, KeyRecord):
        return
    body = record.body
    check = proof_holds(PublicKey.from_text(body.public), body.shop, body.proof)
    if not check.holds:
        raise BadSignature(
            f"The proof is not one of this key for {body.shop}. {REASONS[check.reason]}",
            pointer="/body/proof",
        )


def key_can_end(entry: NodeEntry, known: Known) -> None:
    """A live key of the shop ends."""
    record = entry.record
    if not isinstance(record, KeyEndRecord):
        return
    key = known.ring.keys.get(record.body.key)
    if key is None or key.author != record.body.shop:
        raise UnknownKey(f"{record.body.shop} has no key {record.body.key}.", pointer="/body/key")
    if key.ends_at is not None:
        raise WrongState(
            f"The key {key.key_id} ended at place {key.ends_at} of the log.", pointer="/body/key"
        )

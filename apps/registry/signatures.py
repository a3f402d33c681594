"""Whether a record is signed by a key of its author that is valid at its place in the log."""

from __future__ import annotations

from apps.records.names import NODE_CODE, shop_code
from apps.records.signing import PublicKey, SignatureReason
from apps.registry.errors import BadSignature
from apps.registry.key_ring import KeyRing, first_key
from apps.registry.models import SigningKey
from apps.registry.submissions import Entry

REASONS = {
    SignatureReason.MALFORMED: "The signature is not 86 characters of base64url.",
    SignatureReason.DOES_NOT_MATCH: "The signature doesn't match the bytes and the key.",
}


def signing_key(entry: Entry, ring: KeyRing, log_index: int) -> SigningKey:
    """Give the key that a record is signed with, once the signature is checked.

    A node's first key signs its own record: no other key could. From then on each key record of
    the node is signed with a key that was here before.

    Raises
    ------
    BadSignature
        The sentence says what is wrong with the key or the signature.
    """
    frame = entry.frame
    key = first_key(entry, log_index) if frame.key not in ring.keys else None
    if key is None:
        key = key_speaks_for(
            ring.keys.get(frame.key), key_id=frame.key, author=frame.author, log_index=log_index
        )
    elif ring.has_key_of(frame.author):
        raise BadSignature(
            f"{frame.author} has a key here already, and signs a new one with that.",
            pointer="/key",
        )
    signature_holds(key, entry.submission.data, entry.submission.signature)
    return key


def key_speaks_for(
    key: SigningKey | None, *, key_id: str, author: str, log_index: int
) -> SigningKey:
    """Give the key if it is one of the author's and valid at this place of the log.

    Raises
    ------
    BadSignature
        If it is unknown, another shop's, or not valid there; the sentence says which.
    """
    if key is None:
        raise BadSignature(f"The key {key_id} is not known here.", pointer="/key")
    if key.author != author:
        raise BadSignature(f"The key {key_id} is not one of {author}.", pointer="/key")
    if log_index <= key.valid_from or (key.ends_at is not None and log_index >= key.ends_at):
        raise BadSignature(
            f"The key {key_id} is not valid at place {log_index} of the log. Sign with a live key.",
            pointer="/key",
        )
    return key


def signature_holds(key: SigningKey, data: bytes, signature: str) -> None:
    """Check a signature.

    Raises
    ------
    BadSignature
        If it is malformed or doesn't match.
    """
    check = PublicKey(bytes(key.public)).verify(data, signature)
    if not check.holds:
        raise BadSignature(REASONS[check.reason])


def rank_of(author: str, key: SigningKey | None) -> str:
    """Say who held the key that signed a record: its shop, the node for it, or the node itself."""
    if shop_code(author) == NODE_CODE:
        return "node-signed"
    return "shop-signed" if key is not None and key.held_by == "shop" else "node-attested"

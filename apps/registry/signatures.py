"""Whether a record is signed by a key of its author that is valid at its place in the log."""

from __future__ import annotations

from apps.records.signing import PublicKey, SignatureReason
from apps.registry.errors import BadSignature
from apps.registry.models import SigningKey

REASONS = {
    SignatureReason.MALFORMED: "The signature is not 86 characters of base64url.",
    SignatureReason.DOES_NOT_MATCH: "The signature doesn't match the bytes and the key.",
}


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
    if key.shop_id != author:
        raise BadSignature(f"The key {key_id} is not one of {author}.", pointer="/key")
    if log_index < key.valid_from or (key.ends_at is not None and log_index >= key.ends_at):
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

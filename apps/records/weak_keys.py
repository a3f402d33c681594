"""Public keys for which anybody can sign, so that no key record may name one.

A point of small order makes the check of a signature hold without any secret: a shop that
registered it could deny every record of its own, and anybody could write as that shop.
"""

from __future__ import annotations

from apps.records.signing import PublicKey

# RFC 8032 section 5.1: the prime of edwards25519.
PRIME = 2**255 - 19
ORDER_EIGHT = int.from_bytes(
    bytes.fromhex("26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05"), "little"
)
SMALL_ORDER = frozenset({0, 1, PRIME - 1, ORDER_EIGHT, PRIME - ORDER_EIGHT})


def is_weak(public: PublicKey) -> bool:
    """Say whether a key is one of the eight points whose order divides the cofactor, 8.

    Notes
    -----
    Their y coordinates are enough: the highest bit is the sign of x, and a y that isn't reduced
    means the same point. Source: RFC 8032 section 5.1.3 (decoding); the points follow from the
    curve.
    """
    return int.from_bytes(public.raw, "little") % 2**255 % PRIME in SMALL_ORDER

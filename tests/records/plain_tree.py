"""The tree of RFC 6962 section 2.1 as the text defines it: recursive, slow, nothing shared."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence


def mth(leaves: Sequence[bytes]) -> bytes:
    """MTH, the Merkle tree hash of a list of leaf data."""
    if not leaves:
        return hashlib.sha256().digest()
    if len(leaves) == 1:
        return hashlib.sha256(b"\x00" + leaves[0]).digest()
    k = split(len(leaves))
    return hashlib.sha256(b"\x01" + mth(leaves[:k]) + mth(leaves[k:])).digest()


def path(m: int, leaves: Sequence[bytes]) -> list[bytes]:
    """PATH of section 2.1.1."""
    if len(leaves) == 1:
        return []
    k = split(len(leaves))
    if m < k:
        return [*path(m, leaves[:k]), mth(leaves[k:])]
    return [*path(m - k, leaves[k:]), mth(leaves[:k])]


def proof(m: int, leaves: Sequence[bytes]) -> list[bytes]:
    """PROOF of section 2.1.2."""
    return subproof(m, leaves, whole=True)


def subproof(m: int, leaves: Sequence[bytes], *, whole: bool) -> list[bytes]:
    """SUBPROOF of section 2.1.2."""
    if m == len(leaves):
        return [] if whole else [mth(leaves)]
    k = split(len(leaves))
    if m <= k:
        return [*subproof(m, leaves[:k], whole=whole), mth(leaves[k:])]
    return [*subproof(m - k, leaves[k:], whole=False), mth(leaves[:k])]


def split(n: int) -> int:
    """The largest power of two smaller than n."""
    k = 1
    while 2 * k < n:
        k *= 2
    return k

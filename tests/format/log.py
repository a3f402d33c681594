"""The tree of the log and its proofs, by docs/format/log.md."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence


def leaf(record_id: str) -> bytes:
    """Hash a leaf."""
    return hashlib.sha256(b"\x00" + bytes.fromhex(record_id)).digest()


def node(left: bytes, right: bytes) -> bytes:
    """Hash two subtrees."""
    return hashlib.sha256(b"\x01" + left + right).digest()


def root(ids: Sequence[str]) -> bytes:
    """Give the root over record ids."""
    if not ids:
        return hashlib.sha256(b"").digest()
    if len(ids) == 1:
        return leaf(ids[0])
    split = _split(len(ids))
    return node(root(ids[:split]), root(ids[split:]))


def inclusion(index: int, ids: Sequence[str]) -> list[bytes]:
    """Give the proof that an id stands at its place."""
    if len(ids) < 2:
        return []
    split = _split(len(ids))
    if index < split:
        return [*inclusion(index, ids[:split]), root(ids[split:])]
    return [*inclusion(index - split, ids[split:]), root(ids[:split])]


def consistency(old: int, ids: Sequence[str], *, whole: bool = True) -> list[bytes]:
    """Give the proof that a log only grew."""
    if old == len(ids):
        return [] if whole else [root(ids)]
    split = _split(len(ids))
    if old <= split:
        return [*consistency(old, ids[:split], whole=whole), root(ids[split:])]
    return [*consistency(old - split, ids[split:], whole=False), root(ids[:split])]


def _split(width: int) -> int:
    split = 1
    while split * 2 < width:
        split *= 2
    return split


def included(record_id: str, index: int, size: int, proof: Sequence[bytes], top: bytes) -> bool:
    """Check an inclusion proof, as RFC 9162 section 2.1.3.2 walks it."""
    if not 0 <= index < size:
        return False
    at, last, found = index, size - 1, leaf(record_id)
    for sibling in proof:
        if last == 0:
            return False
        if at & 1 or at == last:
            found = node(sibling, found)
            while at and not at & 1:
                at, last = at >> 1, last >> 1
        else:
            found = node(found, sibling)
        at, last = at >> 1, last >> 1
    return last == 0 and found == top


def grew(old: int, size: int, proof: Sequence[bytes], old_top: bytes, top: bytes) -> bool:
    """Check a consistency proof, as RFC 9162 section 2.1.4.2 walks it."""
    if old in (0, size):
        return not proof and (old_top == top if old else old_top == root([]))
    path = [old_top, *proof] if old & (old - 1) == 0 else list(proof)
    if not 0 < old < size or not path:
        return False
    at, last = old - 1, size - 1
    while at & 1:
        at, last = at >> 1, last >> 1
    before = after = path[0]
    for sibling in path[1:]:
        if last == 0:
            return False
        if at & 1 or at == last:
            before, after = node(sibling, before), node(sibling, after)
            while at and not at & 1:
                at, last = at >> 1, last >> 1
        else:
            after = node(after, sibling)
        at, last = at >> 1, last >> 1
    return last == 0 and before == old_top and after == top

"""The hash tree over the log (RFC 6962): hashes, the nodes a proof needs, and the two checks.

A *node* is the root of a complete subtree: level 0 is a leaf, and node (level, position) stands
over the leaves from position * 2^level on. Nodes never change once they are there, so that they
can be stored; every other hash of a proof is a fold of a few of them.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from apps.records.errors import OutsideTree

LEAF_PREFIX = b"\x00"
NODE_PREFIX = b"\x01"
HASH_BYTES = 32
EMPTY_ROOT = hashlib.sha256(b"").digest()


class Node(NamedTuple):
    """The place of a complete subtree: its level and its position among those of its level."""

    level: int
    position: int


def leaf_hash(data: bytes) -> bytes:
    """Hash the data of a leaf (RFC 6962 section 2.1)."""
    return hashlib.sha256(LEAF_PREFIX + data).digest()


def record_leaf(record_id: str) -> bytes:
    """Hash the leaf of a record: its data are the 32 bytes of the record's id."""
    return leaf_hash(bytes.fromhex(record_id))


def node_hash(left: bytes, right: bytes) -> bytes:
    """Hash two subtrees into the one above them (RFC 6962 section 2.1)."""
    return hashlib.sha256(NODE_PREFIX + left + right).digest()


def peaks(size: int) -> tuple[Node, ...]:
    """Give the largest complete subtrees that a tree is made of, from left to right.

    Raises
    ------
    OutsideTree
        The size is below zero.
    """
    if size < 0:
        raise OutsideTree(f"A tree has no {size} leaves; give a size from 0 up.")
    return _range_nodes(0, size)


def root_of_peaks(hashes: Sequence[bytes]) -> bytes:
    """Fold the hashes of neighbouring peaks, from left to right, into the root over them.

    The fold of no hash at all is the root of the empty tree.
    """
    if not hashes:
        return EMPTY_ROOT
    root = hashes[-1]
    for peak in reversed(hashes[:-1]):
        root = node_hash(peak, root)
    return root


@dataclass(frozen=True, slots=True)
class ProofNodes:
    """Which nodes to read for a proof, and how they combine.

    Parameters
    ----------
    folds : tuple of tuple of Node
        For each hash of the proof, in order, the nodes whose fold it is, from left to right.
    """

    folds: tuple[tuple[Node, ...], ...]

    @property
    def needed(self) -> frozenset[Node]:
        """Every node to read, O(log size) of them."""
        return frozenset(node for fold in self.folds for node in fold)

    def combine(self, read: Mapping[Node, bytes]) -> tuple[bytes, ...]:
        """Make the hashes of the proof from the nodes that were read.

        Parameters
        ----------
        read : mapping of Node to bytes, each of shape (32,)

        Raises
        ------
        KeyError
            A node that is needed was not read.
        """
        return tuple(root_of_peaks([read[node] for node in fold]) for fold in self.folds)


def inclusion_nodes(index: int, size: int) -> ProofNodes:
    """Say what proves that a leaf stands in a tree.

    Parameters
    ----------
    index : int
        The leaf's place, from 0.
    size : int
        Leaves of the tree.

    Raises
    ------
    OutsideTree
        No leaf has this index in a tree of this size.

    Notes
    -----
    Source: RFC 6962 section 2.1.1, PATH.
    """
    if not 0 <= index < size:
        raise OutsideTree(f"No leaf {index} in a tree of {size}; the first is leaf 0.")
    return ProofNodes(tuple(reversed(tuple(_path(index, 0, size)))))


def consistency_nodes(old: int, size: int) -> ProofNodes:
    """Say what proves that the first `old` leaves of a tree are the tree of that older size.

    Parameters
    ----------
    old : int
        Leaves of the older tree; from an empty one nothing has to be proved.
    size : int
        Leaves of the newer tree.

    Raises
    ------
    OutsideTree
        The older tree would be the larger one.

    Notes
    -----
    Source: RFC 6962 section 2.1.2, PROOF and SUBPROOF.
    """
    if not 0 <= old <= size:
        raise OutsideTree(f"A tree of {size} was never one of {old}; give an older, smaller size.")
    if old in (0, size):
        return ProofNodes(())
    return ProofNodes(tuple(reversed(tuple(_subproof(old, 0, size)))))


def _path(index: int, start: int, end: int) -> Iterable[tuple[Node, ...]]:
    """Yield the siblings of a leaf on the way down from the root over [start, end)."""
    while end - start > 1:
        middle = start + _split(end - start)
        if index < middle:
            yield _range_nodes(middle, end)
            end = middle
        else:
            yield _range_nodes(start, middle)
            start = middle


def _subproof(old: int, start: int, end: int) -> Iterable[tuple[Node, ...]]:
    """Yield what the old tree lacks or keeps on the way down to its right edge."""
    while old != end:
        middle = start + _split(end - start)
        if old <= middle:
            yield _range_nodes(middle, end)
            end = middle
        else:
            yield _range_nodes(start, middle)
            start = middle
    # A subtree that begins at leaf 0 is the whole old tree, whose root the checker holds already.
    if start:
        yield _range_nodes(start, end)


def _split(width: int) -> int:
    """Give the largest power of two below a width of two or more."""
    return 1 << (width - 1).bit_length() - 1


def _range_nodes(start: int, end: int) -> tuple[Node, ...]:
    """Cut [start, end) into complete subtrees; `start` is where a subtree of RFC 6962 begins."""
    nodes = []
    while start < end:
        level = (end - start).bit_length() - 1
        nodes.append(Node(level, start >> level))
        start += 1 << level
    return tuple(nodes)


class ProofReason(StrEnum):
    """Why a proof holds or does not."""

    HOLDS = "holds"
    OUTSIDE_TREE = "outside-tree"
    MALFORMED_HASH = "malformed-hash"
    TOO_FEW_HASHES = "too-few-hashes"
    TOO_MANY_HASHES = "too-many-hashes"
    OLD_ROOT_DIFFERS = "old-root-differs"
    ROOT_DIFFERS = "root-differs"


SENTENCES = {
    ProofReason.HOLDS: "The proof holds.",
    ProofReason.OUTSIDE_TREE: "The sizes do not fit: no tree of that size has such a part.",
    ProofReason.MALFORMED_HASH: f"A hash in it has not {HASH_BYTES} bytes.",
    ProofReason.TOO_FEW_HASHES: "The proof has too few hashes for these sizes.",
    ProofReason.TOO_MANY_HASHES: "The proof has too many hashes for these sizes.",
    ProofReason.OLD_ROOT_DIFFERS: "The proof does not lead to the older root.",
    ProofReason.ROOT_DIFFERS: "The proof does not lead to the root.",
}


@dataclass(frozen=True, slots=True)
class ProofCheck:
    """Whether a proof holds, and why not."""

    reason: ProofReason

    @property
    def holds(self) -> bool:
        """True only for a proof of exactly the right length that leads to exactly these roots."""
        return self.reason is ProofReason.HOLDS

    @property
    def sentence(self) -> str:
        """The reason in plain words."""
        return SENTENCES[self.reason]


def verify_inclusion(
    leaf: bytes, index: int, size: int, proof: Sequence[bytes], root: bytes
) -> ProofCheck:
    """Check that a leaf stands at its index in the tree with this root.

    Parameters
    ----------
    leaf : bytes, shape (32,)
        The hash of the leaf, as `leaf_hash` or `record_leaf` gives it.
    index, size : int
        Its place from 0, and the leaves of the tree.
    proof : sequence of bytes, each of shape (32,)
        From the leaf's sibling upwards.
    root : bytes, shape (32,)
        The root of a tree that is trusted, such as a signed checkpoint's.

    Notes
    -----
    Source: RFC 9162 section 2.1.3.2. The length of the path is counted first, so that a surplus
    hash can't hide behind a root that fits.
    """
    if not 0 <= index < size:
        return ProofCheck(ProofReason.OUTSIDE_TREE)
    inner, border = _path_lengths(index, size)
    fault = _fault((leaf, root, *proof), inner + border + 2)
    if fault is not None:
        return ProofCheck(fault)
    subtree = _climb(leaf, proof[:inner], index)
    if _climb_edge(subtree, proof[inner:]) != root:
        return ProofCheck(ProofReason.ROOT_DIFFERS)
    return ProofCheck(ProofReason.HOLDS)


def verify_consistency(
    old: int, size: int, proof: Sequence[bytes], old_root: bytes, root: bytes
) -> ProofCheck:
    """Check that a tree grew from an older one: its first `old` leaves are the older tree's.

    Parameters
    ----------
    old, size : int
        Leaves of the older and of the newer tree.
    proof : sequence of bytes, each of shape (32,)
        As `consistency_nodes` describes it; empty when `old` is 0 or `size`.
    old_root, root : bytes, shape (32,)
        The roots of the two trees.

    Notes
    -----
    Source: RFC 9162 section 2.1.4.2.
    """
    if not 0 <= old <= size:
        return ProofCheck(ProofReason.OUTSIDE_TREE)
    if old in (0, size):
        return ProofCheck(_trivial_consistency(old, size, (*proof, old_root, root)))
    shift = _trailing_zeros(old)
    inner, border = _path_lengths(old - 1, size)
    inner -= shift
    # An old tree that is one complete subtree is its own starting point and is left out.
    chain = [old_root, *proof] if old == 1 << shift else list(proof)
    fault = _fault((*chain, old_root, root), 1 + inner + border + 2)
    if fault is not None:
        return ProofCheck(fault)
    return ProofCheck(_grew(chain, inner, (old - 1) >> shift, old_root, root))


def _grew(
    chain: Sequence[bytes], inner: int, index: int, old_root: bytes, root: bytes
) -> ProofReason:
    seed, inside, edge = chain[0], chain[1 : inner + 1], chain[inner + 1 :]
    if _climb_edge(_climb_old(seed, inside, index), edge) != old_root:
        return ProofReason.OLD_ROOT_DIFFERS
    if _climb_edge(_climb(seed, inside, index), edge) != root:
        return ProofReason.ROOT_DIFFERS
    return ProofReason.HOLDS


def _trivial_consistency(old: int, size: int, hashes: Sequence[bytes]) -> ProofReason:
    *_, old_root, root = hashes
    fault = _fault(hashes, 2)
    if fault is not None:
        return fault
    if old == 0 and old_root != EMPTY_ROOT:
        return ProofReason.OLD_ROOT_DIFFERS
    return ProofReason.ROOT_DIFFERS if old == size and old_root != root else ProofReason.HOLDS


def _fault(hashes: Sequence[bytes], expected: int) -> ProofReason | None:
    if any(len(one) != HASH_BYTES for one in hashes):
        return ProofReason.MALFORMED_HASH
    if len(hashes) < expected:
        return ProofReason.TOO_FEW_HASHES
    return ProofReason.TOO_MANY_HASHES if len(hashes) > expected else None


def _path_lengths(index: int, size: int) -> tuple[int, int]:
    """Count the path's hashes below the right edge of the tree, and those along it."""
    inner = (index ^ (size - 1)).bit_length()
    return inner, (index >> inner).bit_count()


def _climb(node: bytes, siblings: Sequence[bytes], index: int) -> bytes:
    for level, sibling in enumerate(siblings):
        right = index >> level & 1
        node = node_hash(sibling, node) if right else node_hash(node, sibling)
    return node


def _climb_old(node: bytes, siblings: Sequence[bytes], index: int) -> bytes:
    """Climb past the siblings to the right, which the older tree had not yet."""
    for level, sibling in enumerate(siblings):
        if index >> level & 1:
            node = node_hash(sibling, node)
    return node


def _climb_edge(node: bytes, siblings: Sequence[bytes]) -> bytes:
    for sibling in siblings:
        node = node_hash(sibling, node)
    return node


def _trailing_zeros(number: int) -> int:
    return (number & -number).bit_length() - 1


@dataclass(frozen=True, slots=True)
class CompactRange:
    """What a follower keeps of a tree: its size and the hashes of its peaks, nothing more.

    Parameters
    ----------
    size : int
        Leaves so far.
    hashes : tuple of bytes, each of shape (32,)
        The peaks from left to right, in the order of `peaks(size)`.

    Raises
    ------
    OutsideTree
        The hashes are not as many as the size has peaks, or not of 32 bytes.
    """

    size: int = 0
    hashes: tuple[bytes, ...] = ()

    def __post_init__(self) -> None:
        """Refuse hashes that can't belong to the size."""
        if _fault(self.hashes, len(peaks(self.size))) is not None:
            raise OutsideTree(f"These are not the peaks of a tree of {self.size} leaves.")

    @property
    def root(self) -> bytes:
        """The root of the tree."""
        return root_of_peaks(self.hashes)

    def completed(self, leaf: bytes) -> tuple[tuple[Node, bytes], ...]:
        """Give the nodes, with their hashes, that the next leaf completes: itself first."""
        nodes = [(Node(0, self.size), leaf)]
        for level in range(_trailing_zeros(self.size + 1)):
            above = node_hash(self.hashes[-1 - level], nodes[-1][1])
            nodes.append((Node(level + 1, self.size >> level + 1), above))
        return tuple(nodes)

    def append(self, leaf: bytes) -> CompactRange:
        """Give the range with one more leaf, by its hash."""
        nodes = self.completed(leaf)
        kept = self.hashes[: len(self.hashes) + 1 - len(nodes)]
        return CompactRange(self.size + 1, (*kept, nodes[-1][1]))

"""The hash tree over the log as it is stored: grown by the door, read for roots and proofs.

Every proof reads the nodes it needs in one query, O(log size) of them, whatever the log's length.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator
from itertools import islice

from apps.records.tree import (
    CompactRange,
    Node,
    ProofNodes,
    consistency_nodes,
    inclusion_nodes,
    peaks,
    record_leaf,
)
from apps.registry.errors import BrokenTree, RegistryError, UnknownPlace
from apps.registry.models import LogHead, Record, TreeNode
from apps.registry.storage import ROWS_AT_ONCE


def log_size() -> int:
    """Say how long the log is."""
    sizes = LogHead.objects.filter(id=LogHead.ONLY).values_list("size", flat=True)
    return sizes.first() or 0


def grow(size: int, record_ids: Iterable[str]) -> None:
    """Add the nodes that new records complete: within the append, under the lock of the log.

    Parameters
    ----------
    size : int
        Records before the new ones.
    record_ids : iterable of str
        The new ones, in the order of the log.
    """
    nodes = new_nodes(compact_range(size), record_ids)
    while batch := list(islice(nodes, ROWS_AT_ONCE)):
        TreeNode._default_manager.bulk_create(batch)


def new_nodes(tree: CompactRange, record_ids: Iterable[str]) -> Iterator[TreeNode]:
    """Make the nodes that records complete, in the order in which they do."""
    for record_id in record_ids:
        leaf = record_leaf(record_id)
        for (level, position), data in tree.completed(leaf):
            yield TreeNode(level=level, position=position, hash=data)
        tree = tree.append(leaf)


def regrow() -> None:
    """Drop the stored tree and grow it again from the ids of all records."""
    TreeNode._default_manager.all().delete()
    ids = Record.objects.order_by("log_index").values_list("id", flat=True)
    grow(0, ids.iterator())


def compact_range(size: int) -> CompactRange:
    """Give the size and the hashes of the peaks of the tree as it was at some size.

    Raises
    ------
    UnknownPlace
        If the log is shorter.
    """
    nodes = peaks(size)
    read = _read(nodes, size)
    return CompactRange(size, tuple(read[node] for node in nodes))


def root(size: int) -> bytes:
    """Give the root of the tree as it was at some size.

    Raises
    ------
    UnknownPlace
        If the log is shorter.
    """
    return compact_range(size).root


def inclusion(index: int, size: int) -> tuple[bytes, ...]:
    """Give the proof that a record stands at its place in the tree of some size.

    Returns
    -------
    tuple of bytes, each of shape (32,)
        From the leaf's sibling upwards (RFC 6962 section 2.1.1).

    Raises
    ------
    UnknownPlace
        If the log is shorter than `size`, or the place is not in a tree of that size.
    """
    _refuse_outside(index, size)
    return _proof(inclusion_nodes(index, size), size)


def inclusions(indexes: Collection[int], size: int) -> dict[int, tuple[bytes, ...]]:
    """Give the proofs of many records at once, by their places: a few queries for each level.

    Raises
    ------
    UnknownPlace
        As for `inclusion`.
    """
    for index in indexes:
        _refuse_outside(index, size)
    proofs = {index: inclusion_nodes(index, size) for index in indexes}
    read = _read_levels({node for proof in proofs.values() for node in proof.needed}, size)
    return {index: proof.combine(read) for index, proof in proofs.items()}


def _refuse_outside(index: int, size: int) -> None:
    if not 0 <= index < size:
        raise UnknownPlace(f"A log of {size} records has no place {index}; the first is place 0.")


def consistency(old: int, size: int) -> tuple[bytes, ...]:
    """Give the proof that the first `old` records of the tree of some size were its older self.

    Returns
    -------
    tuple of bytes, each of shape (32,)
        As in RFC 6962 section 2.1.2; none where `old` is 0 or `size`.

    Raises
    ------
    UnknownPlace
        If the log is shorter than `size`, or `old` is the larger of the two.
    """
    if not 0 <= old <= size:
        raise UnknownPlace(f"A log of {size} records was never one of {old}; give a smaller size.")
    return _proof(consistency_nodes(old, size), size)


def _proof(nodes: ProofNodes, size: int) -> tuple[bytes, ...]:
    return nodes.combine(_read(nodes.needed, size))


def _read(nodes: Iterable[Node], size: int) -> dict[Node, bytes]:
    wanted = list(nodes)
    rows = TreeNode._default_manager.filter(pk__in=wanted) if wanted else ()
    read = {Node(row.level, row.position): bytes(row.hash) for row in rows}
    if len(read) < len(wanted):
        raise _lacking(size)
    return read


def _read_levels(nodes: Collection[Node], size: int) -> dict[Node, bytes]:
    # A list of pairs becomes so many conditions; positions of one level are one short list.
    wanted: defaultdict[int, list[int]] = defaultdict(list)
    for level, position in nodes:
        wanted[level].append(position)
    read: dict[Node, bytes] = {}
    for level, positions in wanted.items():
        for start in range(0, len(positions), ROWS_AT_ONCE):
            some = positions[start : start + ROWS_AT_ONCE]
            rows = TreeNode._default_manager.filter(level=level, position__in=some)
            read |= {Node(row.level, row.position): bytes(row.hash) for row in rows}
    if len(read) < len(nodes):
        raise _lacking(size)
    return read


def _lacking(size: int) -> RegistryError:
    length = log_size()
    if size > length:
        return UnknownPlace(f"The log has {length} records, and not {size} yet.")
    return BrokenTree("The stored tree lacks nodes. Run `service-registry fsck`, then `rebuild`.")

"""Holds the stored hash tree against the ids of the records, node by node."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum

from django.db.models import Max, Q

from apps.records.tree import Node, node_hash, record_leaf
from apps.registry.models import Record, TreeNode

LEAVES_AT_ONCE = 512


class Fault(StrEnum):
    """What is wrong with a node."""

    MISSING = "missing"
    WRONG = "wrong"
    EXTRA = "extra"


@dataclass(frozen=True, slots=True)
class FaultyNode:
    """A node that is not as the records say.

    Parameters
    ----------
    node : Node
    fault : Fault
    record_id : str
        The record at a leaf; "" above the leaves.
    """

    node: Node
    fault: Fault
    record_id: str = ""


def faulty_nodes(size: int) -> Iterator[FaultyNode]:
    """Find what is wrong with the tree of a log without holes, in the order of the log.

    A leaf is held against its record, and every other node against the two stored below it: so a
    record that was rewritten is named by its own leaf, and not by all that stand over it.
    """
    check = _Check()
    for start in range(0, size, LEAVES_AT_ONCE):
        end = min(start + LEAVES_AT_ONCE, size)
        stored = _completed_within(start, end)
        for index, record_id in _ids(start, end):
            yield from check.leaf(index, record_id, stored)
    yield from _beyond(size)


@dataclass(slots=True)
class _Check:
    """The stored hash of the last left child at each level, which its sibling is joined with."""

    left: dict[int, bytes | None] = field(default_factory=dict)

    def leaf(self, index: int, record_id: str, stored: dict[Node, bytes]) -> Iterator[FaultyNode]:
        """Check the nodes that a record completes: its own leaf, and those above it."""
        expected: bytes | None = record_leaf(record_id)
        for level in range(_trailing_ones(index) + 1):
            node = Node(level, index >> level)
            found = stored.get(node)
            if found is None:
                yield FaultyNode(node, Fault.MISSING)
            elif expected is not None and found != expected:
                yield FaultyNode(node, Fault.WRONG, "" if level else record_id)
            expected = self._above(node, found)

    def _above(self, node: Node, found: bytes | None) -> bytes | None:
        if node.position % 2 == 0:
            self.left[node.level] = found
            return None
        left = self.left.get(node.level)
        return node_hash(left, found) if left is not None and found is not None else None


def _trailing_ones(number: int) -> int:
    return (~number & (number + 1)).bit_length() - 1


def _ids(start: int, end: int) -> Iterator[tuple[int, str]]:
    rows = Record.objects.filter(log_index__gte=start, log_index__lt=end).order_by("log_index")
    yield from rows.values_list("log_index", "id")


def _completed_within(start: int, end: int) -> dict[Node, bytes]:
    """Read the nodes whose last leaf is one of [start, end): one query."""
    within = Q()
    for level in range(end.bit_length()):
        first, after = start >> level, end >> level
        within |= Q(level=level, position__gte=first, position__lt=after)
    rows = TreeNode._default_manager.filter(within).values_list("level", "position", "hash")
    return {Node(level, position): bytes(data) for level, position, data in rows}


def _beyond(size: int) -> Iterator[FaultyNode]:
    """Find nodes that stand over more records than there are."""
    highest: int | None = TreeNode._default_manager.aggregate(top=Max("level"))["top"]
    for level in range(0 if highest is None else highest + 1):
        rows = TreeNode._default_manager.filter(level=level, position__gte=size >> level)
        for position in rows.order_by("position").values_list("position", flat=True):
            yield FaultyNode(Node(level, position), Fault.EXTRA)

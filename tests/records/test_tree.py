"""The tree against RFC 6962, by published roots and proofs and by a plain recursive tree."""

from __future__ import annotations

import hashlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.records.errors import OutsideTree
from apps.records.tree import (
    EMPTY_ROOT,
    CompactRange,
    Node,
    consistency_nodes,
    inclusion_nodes,
    leaf_hash,
    node_hash,
    peaks,
    record_leaf,
    root_of_peaks,
)
from tests.records.plain_tree import mth, path, proof

# The eight leaves, roots and proofs below: test constants of transparency-dev/merkle, which go
# back to the tests of Certificate Transparency (RFC 6962).
LEAVES = [
    bytes.fromhex(text)
    for text in (
        "", "00", "10", "2021", "3031", "40414243", "5051525354555657",
        "606162636465666768696a6b6c6d6e6f",
    )
]  # fmt: skip
ROOTS = [
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
]
INDEX_0_OF_8 = [
    "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
    "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
    "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
]
OF_6_TO_8 = [
    "0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a",
    "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
    ROOTS[4],
]
INCLUSION = [(0, 8, INDEX_0_OF_8), (2, 3, [ROOTS[2]]), (0, 1, [])]
CONSISTENCY = [(6, 8, OF_6_TO_8), (1, 8, INDEX_0_OF_8), (8, 8, []), (0, 8, [])]

MANY = [bytes([n]) * (1 + n % 5) for n in range(66)]
EXHAUSTIVE = 34


class Nodes(dict[Node, bytes]):
    """The complete nodes of a list of leaves, each made plainly when it is asked for."""

    def __init__(self, leaves: list[bytes]) -> None:
        super().__init__()
        self.leaves = leaves

    def __missing__(self, node: Node) -> bytes:
        start, width = node.position << node.level, 1 << node.level
        # A node over leaves that are not there yet would not be complete.
        assert start + width <= len(self.leaves)
        return mth(self.leaves[start : start + width])


@pytest.mark.parametrize("size", range(9))
def test_the_published_roots(size: int) -> None:
    nodes = Nodes(LEAVES[:size])
    assert root_of_peaks([nodes[node] for node in peaks(size)]).hex() == ROOTS[size]
    grown = CompactRange()
    for data in LEAVES[:size]:
        grown = grown.append(leaf_hash(data))
    assert (grown.size, grown.root.hex()) == (size, ROOTS[size])
    assert mth(LEAVES[:size]).hex() == ROOTS[size]


@pytest.mark.parametrize(("index", "size", "hashes"), INCLUSION)
def test_the_published_inclusion_proofs(index: int, size: int, hashes: list[str]) -> None:
    made = inclusion_nodes(index, size).combine(Nodes(LEAVES[:size]))
    assert [one.hex() for one in made] == hashes


@pytest.mark.parametrize(("old", "size", "hashes"), CONSISTENCY)
def test_the_published_consistency_proofs(old: int, size: int, hashes: list[str]) -> None:
    made = consistency_nodes(old, size).combine(Nodes(LEAVES[:size]))
    assert [one.hex() for one in made] == hashes


@pytest.mark.parametrize("size", range(1, EXHAUSTIVE))
def test_every_small_tree_equals_the_plain_one(size: int) -> None:
    leaves = MANY[:size]
    nodes = Nodes(leaves)
    assert root_of_peaks([nodes[node] for node in peaks(size)]) == mth(leaves)
    for index in range(size):
        assert list(inclusion_nodes(index, size).combine(nodes)) == path(index, leaves)
    for old in range(1, size + 1):
        assert list(consistency_nodes(old, size).combine(nodes)) == proof(old, leaves)


def test_a_range_grows_as_the_plain_tree_does() -> None:
    grown, stored = CompactRange(), dict[Node, bytes]()
    for size, data in enumerate(MANY, start=1):
        completed = dict(grown.completed(leaf_hash(data)))
        assert not stored.keys() & completed.keys()
        stored |= completed
        grown = grown.append(leaf_hash(data))
        nodes = Nodes(MANY[:size])
        assert grown == CompactRange(size, tuple(nodes[node] for node in peaks(size)))
        assert all(nodes[node] == value for node, value in completed.items())
    # Every complete node came up exactly once: one a leaf, one a pair, and so on.
    size = len(MANY)
    assert set(stored) == {
        Node(level, position)
        for level in range(size.bit_length())
        for position in range(size >> level)
    }


@given(st.integers(1, 2**40), st.data())
def test_a_proof_reads_few_nodes(size: int, data: st.DataObject) -> None:
    index = data.draw(st.integers(0, size - 1))
    bits = size.bit_length()
    for nodes in (inclusion_nodes(index, size), consistency_nodes(index + 1, size)):
        assert len(nodes.folds) <= bits + 1
        assert len(nodes.needed) <= 2 * bits
        assert all(node.position + 1 << node.level <= size for node in nodes.needed)


def test_an_odd_leaf_is_not_doubled() -> None:
    three = [leaf_hash(data) for data in MANY[:3]]
    doubled = node_hash(node_hash(three[0], three[1]), node_hash(three[2], three[2]))
    assert mth(MANY[:3]) != doubled
    assert root_of_peaks([node_hash(three[0], three[1]), three[2]]) == mth(MANY[:3])


def test_the_leaf_of_a_record_is_made_of_the_bytes_of_its_id() -> None:
    raw = hashlib.sha256(b"{}").digest()
    assert record_leaf(raw.hex()) == hashlib.sha256(b"\x00" + raw).digest()


def test_a_node_that_was_not_read_is_missed() -> None:
    with pytest.raises(KeyError):
        inclusion_nodes(0, 2).combine({})


def test_the_empty_tree() -> None:
    assert peaks(0) == ()
    assert CompactRange().root == EMPTY_ROOT
    assert consistency_nodes(0, 0).folds == ()


@pytest.mark.parametrize(("index", "size"), [(0, 0), (-1, 3), (3, 3), (4, 3)])
def test_no_proof_of_a_leaf_that_is_not_there(index: int, size: int) -> None:
    with pytest.raises(OutsideTree, match="No leaf"):
        inclusion_nodes(index, size)


@pytest.mark.parametrize(("old", "size"), [(4, 3), (-1, 3)])
def test_no_proof_from_a_larger_tree(old: int, size: int) -> None:
    with pytest.raises(OutsideTree, match="was never one"):
        consistency_nodes(old, size)


@pytest.mark.parametrize(
    ("size", "hashes"),
    [(1, ()), (0, (EMPTY_ROOT,)), (3, (EMPTY_ROOT,)), (2, (EMPTY_ROOT[1:],))],
)
def test_a_range_refuses_what_are_not_its_peaks(size: int, hashes: tuple[bytes, ...]) -> None:
    with pytest.raises(OutsideTree, match="not the peaks"):
        CompactRange(size, hashes)


def test_no_tree_has_fewer_than_no_leaves() -> None:
    with pytest.raises(OutsideTree, match="from 0 up"):
        peaks(-1)

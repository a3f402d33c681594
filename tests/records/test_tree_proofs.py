"""The two checks of proofs: every right one holds, everything else fails, and says why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import pytest

from apps.records.tree import (
    EMPTY_ROOT,
    SENTENCES,
    ProofReason,
    leaf_hash,
    verify_consistency,
    verify_inclusion,
)
from tests.records.plain_tree import mth, path, proof
from tests.records.test_tree import (
    CONSISTENCY,
    EXHAUSTIVE,
    INCLUSION,
    LEAVES,
    MANY,
    ROOTS,
)

R = ProofReason
STRANGER = leaf_hash(b"a leaf of another tree")


def raw(hashes: Sequence[str]) -> list[bytes]:
    return [bytes.fromhex(one) for one in hashes]


def spoiled(hashes: Sequence[bytes]) -> Iterator[list[bytes]]:
    """Yield every list of hashes that differs from the right one in one place."""
    for index, one in enumerate(hashes):
        rest_before, rest_after = hashes[:index], hashes[index + 1 :]
        yield [*rest_before, *rest_after]
        yield [*rest_before, STRANGER, *rest_after]
        yield [*rest_before, one[:-1], *rest_after]
        yield [*rest_before, one, one, *rest_after]
        yield [*rest_before, bytes([one[0] ^ 1]) + one[1:], *rest_after]
    yield [*hashes, STRANGER]
    yield [*hashes, b""]


@pytest.mark.parametrize(("index", "size", "hashes"), INCLUSION)
def test_the_published_inclusion_proofs_hold(index: int, size: int, hashes: list[str]) -> None:
    # Test constants of transparency-dev/merkle.
    root = bytes.fromhex(ROOTS[size])
    assert verify_inclusion(leaf_hash(LEAVES[index]), index, size, raw(hashes), root).holds


@pytest.mark.parametrize(("old", "size", "hashes"), CONSISTENCY)
def test_the_published_consistency_proofs_hold(old: int, size: int, hashes: list[str]) -> None:
    # Test constants of transparency-dev/merkle.
    roots = raw([ROOTS[old], ROOTS[size]])
    assert verify_consistency(old, size, raw(hashes), *roots).holds


@pytest.mark.parametrize("size", range(1, EXHAUSTIVE))
def test_every_inclusion_proof_holds_for_its_own_leaf_only(size: int) -> None:
    leaves = MANY[:size]
    root = mth(leaves)
    for index in range(size):
        hashes = path(index, leaves)
        for claimed in range(size):
            for other, data in enumerate(leaves):
                check = verify_inclusion(leaf_hash(data), claimed, size, hashes, root)
                assert check.holds is (claimed == index == other)
        assert not verify_inclusion(leaf_hash(leaves[index]), index, size, hashes, STRANGER).holds


@pytest.mark.parametrize("size", range(1, EXHAUSTIVE))
def test_every_consistency_proof_holds_for_its_own_sizes_only(size: int) -> None:
    roots = [mth(MANY[:n]) for n in range(EXHAUSTIVE + 1)]
    for old in range(1, size + 1):
        hashes = proof(old, MANY[:size])
        for claimed in range(1, size + 1):
            check = verify_consistency(claimed, size, hashes, roots[claimed], roots[size])
            assert check.holds is (claimed == old)
        check = verify_consistency(old, size, hashes, STRANGER, roots[size])
        # The root of one complete subtree is the start of its own proof, which then leads astray.
        one_subtree = old == size or old.bit_count() == 1
        assert check.reason is (R.ROOT_DIFFERS if one_subtree else R.OLD_ROOT_DIFFERS)
        assert verify_consistency(old, size, hashes, roots[old], STRANGER).reason is R.ROOT_DIFFERS


@pytest.mark.parametrize("size", range(1, 18))
def test_a_spoiled_proof_never_holds(size: int) -> None:
    leaves = MANY[:size]
    root = mth(leaves)
    for index in range(size):
        for hashes in spoiled(path(index, leaves)):
            leaf = leaf_hash(leaves[index])
            assert not verify_inclusion(leaf, index, size, hashes, root).holds
    for old in range(size + 1):
        right = proof(old, leaves) if old else []
        for hashes in spoiled(right):
            assert not verify_consistency(old, size, hashes, mth(leaves[:old]), root).holds


@pytest.mark.parametrize(
    ("index", "size", "count", "reason"),
    [
        (0, 0, 0, R.OUTSIDE_TREE),
        (-1, 8, 3, R.OUTSIDE_TREE),
        (8, 8, 3, R.OUTSIDE_TREE),
        (0, 8, 2, R.TOO_FEW_HASHES),
        (0, 8, 4, R.TOO_MANY_HASHES),
        (0, 8, 3, R.ROOT_DIFFERS),
    ],
)
def test_an_inclusion_proof_says_why_it_fails(
    index: int, size: int, count: int, reason: ProofReason
) -> None:
    check = verify_inclusion(leaf_hash(b""), index, size, [STRANGER] * count, STRANGER)
    assert check.reason is reason
    assert check.sentence == SENTENCES[reason]


@pytest.mark.parametrize("part", ["leaf", "proof", "root"])
def test_a_hash_of_another_length_is_malformed(part: str) -> None:
    hashes = {"leaf": STRANGER, "proof": STRANGER, "root": STRANGER, part: STRANGER + b"\0"}
    check = verify_inclusion(hashes["leaf"], 0, 2, [hashes["proof"]], hashes["root"])
    assert check.reason is R.MALFORMED_HASH
    other = verify_consistency(1, 2, [hashes["proof"]], hashes["leaf"], hashes["root"])
    assert other.reason is R.MALFORMED_HASH


@pytest.mark.parametrize(
    ("old", "size", "count", "reason"),
    [
        (9, 8, 0, R.OUTSIDE_TREE),
        (-1, 8, 0, R.OUTSIDE_TREE),
        (8, 8, 1, R.TOO_MANY_HASHES),
        (0, 8, 1, R.TOO_MANY_HASHES),
        (6, 8, 2, R.TOO_FEW_HASHES),
        (6, 8, 0, R.TOO_FEW_HASHES),
        (4, 8, 2, R.TOO_MANY_HASHES),
        (6, 8, 3, R.OLD_ROOT_DIFFERS),
        (4, 8, 1, R.ROOT_DIFFERS),
    ],
)
def test_a_consistency_proof_says_why_it_fails(
    old: int, size: int, count: int, reason: ProofReason
) -> None:
    check = verify_consistency(old, size, [STRANGER] * count, STRANGER, STRANGER)
    assert check.reason is reason


def test_an_empty_tree_has_one_root_only() -> None:
    root = mth(MANY[:5])
    assert verify_consistency(0, 5, [], EMPTY_ROOT, root).holds
    assert verify_consistency(0, 5, [], STRANGER, root).reason is R.OLD_ROOT_DIFFERS
    assert verify_consistency(0, 0, [], EMPTY_ROOT, STRANGER).reason is R.ROOT_DIFFERS
    assert verify_consistency(0, 0, [], EMPTY_ROOT, EMPTY_ROOT).holds

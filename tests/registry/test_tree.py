"""The stored hash tree gives the roots and proofs of the log, and reads little for each."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import pytest
from django.db.models import Model
from django.db.models.signals import post_init
from pytest_django import DjangoAssertNumQueries

from apps.records.tree import record_leaf, verify_consistency, verify_inclusion
from apps.registry import tree
from apps.registry.actors import Actor
from apps.registry.errors import BrokenTree, UnknownPlace
from apps.registry.models import LogHead, Record, TreeNode
from tests.registry.making import a_draft, write

pytestmark = pytest.mark.django_db

LONG = 5_000


def recursive_root(leaves: Sequence[bytes]) -> bytes:
    """The root as RFC 6962 section 2.1 defines it, with nothing stored and nothing clever."""
    if not leaves:
        return hashlib.sha256(b"").digest()
    if len(leaves) == 1:
        return hashlib.sha256(b"\x00" + leaves[0]).digest()
    split = 1
    while split * 2 < len(leaves):
        split *= 2
    halves = recursive_root(leaves[:split]) + recursive_root(leaves[split:])
    return hashlib.sha256(b"\x01" + halves).digest()


def ids_of(count: int) -> list[str]:
    """Ids that no record has, for a tree without a log under it."""
    return [hashlib.sha256(str(number).encode()).hexdigest() for number in range(count)]


def a_tree(count: int) -> list[str]:
    """Grow a tree of so many made-up ids; gives them."""
    ids = ids_of(count)
    tree.grow(0, ids)
    LogHead.objects.update_or_create(id=LogHead.ONLY, defaults={"size": count})
    return ids


@contextmanager
def nodes_read() -> Iterator[list[str]]:
    """Collect every node that is read from the database."""
    read: list[str] = []

    def note(instance: Model, **_: object) -> None:
        read.append(str(instance))

    post_init.connect(note, sender=TreeNode)
    try:
        yield read
    finally:
        post_init.disconnect(note, sender=TreeNode)


def test_the_door_grows_the_tree_by_the_bytes_of_the_ids(ski: str, shop: Actor) -> None:
    write(shop, a_draft("usage"))
    write(shop, *[a_draft("usage") for _ in range(4)])
    ids = Record.objects.order_by("log_index").values_list("id", flat=True)
    leaves = [bytes.fromhex(one) for one in ids]
    assert tree.log_size() == len(leaves)
    for size in range(len(leaves) + 1):
        assert tree.root(size) == recursive_root(leaves[:size])


def test_a_record_that_was_here_already_adds_no_node(ski: str, shop: Actor) -> None:
    before = TreeNode._default_manager.count()
    from apps.registry.actions import append_records
    from tests.registry.making import a_submission

    submission = a_submission(a_draft("usage"))
    append_records(submissions=[submission], by=shop)
    grown = TreeNode._default_manager.count()
    append_records(submissions=[submission, submission], by=shop)
    assert before < grown == TreeNode._default_manager.count()


def test_every_proof_of_a_small_log_holds() -> None:
    ids = a_tree(33)
    roots = [tree.root(size) for size in range(34)]
    for size in range(1, 34):
        for index in range(size):
            proof = tree.inclusion(index, size)
            leaf = record_leaf(ids[index])
            assert verify_inclusion(leaf, index, size, proof, roots[size]).holds
        for old in range(size + 1):
            proof = tree.consistency(old, size)
            assert verify_consistency(old, size, proof, roots[old], roots[size]).holds


def test_it_grows_alike_one_by_one_and_all_at_once() -> None:
    ids = a_tree(100)
    at_once = set(TreeNode._default_manager.values_list("level", "position", "hash"))
    TreeNode._default_manager.all().delete()
    for size, record_id in enumerate(ids):
        tree.grow(size, [record_id])
    one_by_one = TreeNode._default_manager.values_list("level", "position", "hash")
    assert {(level, place, bytes(data)) for level, place, data in one_by_one} == {
        (level, place, bytes(data)) for level, place, data in at_once
    }


@pytest.mark.parametrize("size", [1, 2, 255, 256, 257, 4095, 4096, LONG])
def test_a_proof_costs_one_query_and_few_rows(
    size: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    """A path of a tree of n leaves has ceil(log2 n) hashes (RFC 6962 section 2.1.1).

    One of them may be a fold of the peaks of the tree's ragged edge, again log2 n at most.
    """
    a_tree(LONG)
    most = 2 * max(1, (size - 1).bit_length())
    for index in {0, size // 2, size - 1}:
        with nodes_read() as read, django_assert_num_queries(1 if size > 1 else 0):
            tree.inclusion(index, size)
        assert len(read) <= most
    for old in {1, size // 3, size - 1} - {0, size}:
        with nodes_read() as read, django_assert_num_queries(1):
            tree.consistency(old, size)
        assert len(read) <= most


def test_an_append_writes_two_nodes_on_average_and_reads_the_peaks_alone(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    """A tree of n leaves has fewer than 2 n complete subtrees, and as many peaks as n has ones."""
    written = 0
    for size, record_id in enumerate(ids_of(257)):
        before = TreeNode._default_manager.count()
        with nodes_read() as read, django_assert_num_queries(2 if size else 1):
            tree.grow(size, [record_id])
        new = TreeNode._default_manager.count() - before
        assert len(read) == size.bit_count() + new
        written += new
        assert written < 2 * (size + 1)
    assert written == 2 * 257 - 2


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        (lambda: tree.root(6), "The log has 5 records, and not 6 yet."),
        (lambda: tree.inclusion(0, 8), "The log has 5 records, and not 8 yet."),
        (lambda: tree.inclusion(5, 5), "A log of 5 records has no place 5; the first is place 0."),
        (lambda: tree.inclusion(-1, 5), "A log of 5 records has no place -1"),
        (lambda: tree.consistency(4, 9), "The log has 5 records, and not 9 yet."),
        (lambda: tree.consistency(5, 4), "A log of 4 records was never one of 5; give a smaller"),
    ],
)
def test_what_is_not_in_the_log_has_no_proof(asked: object, sentence: str) -> None:
    a_tree(5)
    assert callable(asked)
    with pytest.raises(UnknownPlace) as refused:
        asked()
    assert refused.value.sentence.startswith(sentence)


def test_nodes_that_are_gone_are_said_to_be(django_assert_num_queries: object) -> None:
    a_tree(5)
    TreeNode._default_manager.filter(level=2).delete()
    with pytest.raises(BrokenTree, match="rebuild"):
        tree.root(5)

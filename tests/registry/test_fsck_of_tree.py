"""A check names the row that was rewritten under the log, and each node that doesn't follow."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from django.db import connection

from apps.records.canonical import canonical_bytes, record_id
from apps.records.reading import read_record
from apps.records.strict_json import loads_strict
from apps.records.tree import Node
from apps.registry import models, tree
from apps.registry.actors import OPERATOR, Actor
from apps.registry.errors import BrokenTree
from apps.registry.fsck import fsck, tree_problems
from apps.registry.models import Record, TreeNode
from apps.registry.rebuild import rebuild
from apps.registry.tree_check import Fault, FaultyNode, faulty_nodes
from tests.conftest import append_only
from tests.registry.making import a_draft, key_of, write

pytestmark = pytest.mark.django_db


@contextmanager
def without_triggers() -> Iterator[None]:
    """Let a test rewrite what the database protects, as whoever owns it can."""
    with connection.cursor() as cursor:
        for statement in append_only.DROP[connection.vendor]:
            cursor.execute(statement)
        yield
        for statement in append_only.MAKE[connection.vendor]:
            cursor.execute(statement)


@pytest.fixture
def log(ski: str, shop: Actor) -> list[str]:
    """A log of some records of use; gives all ids in its order."""
    write(shop, *[a_draft("usage") for _ in range(9)])
    return list(Record.objects.order_by("log_index").values_list("id", flat=True))


def rewrite(index: int) -> tuple[str, str]:
    """Put another use in place of one, signed anew with the shop's own key; gives both ids.

    Whoever has the database and the keys can do that, and every check of the row by itself holds.
    """
    row = Record.objects.get(log_index=index)
    document = loads_strict(bytes(row.document))
    assert isinstance(document, dict)
    document["body"] = {"days": 77}
    data = canonical_bytes(document)
    read_record(data)
    new = record_id(data)
    with without_triggers():
        models.Usage._default_manager.filter(record=row.id).delete()
        Record.objects.filter(id=row.id).update(
            id=new, document=data, signature=key_of("fellbench").sign_text(data)
        )
    return row.id, new


@pytest.mark.parametrize("index", [3, 6, 9])
def test_a_rewritten_old_row_is_named(log: list[str], index: int) -> None:
    old, new = rewrite(index)
    assert old == log[index]
    (problem,) = fsck().problems
    assert (problem.code, problem.table, problem.row) == ("wrong-leaf", "record", new)


def test_to_rebuild_would_hide_it_and_is_refused(log: list[str]) -> None:
    before = list(TreeNode._default_manager.values_list("level", "position", "hash"))
    _, new = rewrite(4)
    with pytest.raises(BrokenTree, match=new):
        rebuild(by=OPERATOR)
    assert list(TreeNode._default_manager.values_list("level", "position", "hash")) == before


def test_a_tree_that_is_lost_is_made_again(log: list[str]) -> None:
    root = tree.root(len(log))
    TreeNode._default_manager.filter(level__gt=0).delete()
    TreeNode._default_manager.filter(level=0, position__gt=5).delete()
    codes = {(p.code, p.table) for p in fsck().problems}
    assert codes == {("missing-row", "treenode")}
    rebuild(by=OPERATOR)
    assert fsck().is_sound
    assert tree.root(len(log)) == root


def test_a_node_that_is_not_the_hash_of_those_below(log: list[str]) -> None:
    TreeNode._default_manager.filter(level=2, position=1).update(hash=b"\x07" * 32)
    named = [(p.code, p.table, p.row) for p in fsck().problems]
    assert named == [("wrong-row", "treenode", "2/1"), ("wrong-row", "treenode", "3/0")]
    rebuild(by=OPERATOR)
    assert fsck().is_sound


def test_nodes_over_more_records_than_there_are(log: list[str]) -> None:
    for level, position in [(0, len(log)), (3, 1), (5, 0)]:
        TreeNode._default_manager.create(level=level, position=position, hash=b"\x07" * 32)
    named = [(p.code, p.row) for p in fsck().problems]
    assert named == [("extra-row", f"0/{len(log)}"), ("extra-row", "3/1"), ("extra-row", "5/0")]


@pytest.mark.parametrize("at_once", [1, 2, 4, 512])
def test_it_finds_the_same_however_much_it_reads_at_once(
    log: list[str], at_once: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("apps.registry.tree_check.LEAVES_AT_ONCE", at_once)
    assert list(faulty_nodes(len(log))) == []
    TreeNode._default_manager.filter(level=0, position__in=[3, 4]).update(hash=b"\x07" * 32)
    TreeNode._default_manager.filter(level=3).update(hash=b"\x08" * 32)
    TreeNode._default_manager.filter(level=1, position=0).delete()
    assert list(faulty_nodes(len(log))) == [
        FaultyNode(Node(1, 0), Fault.MISSING),
        FaultyNode(Node(0, 3), Fault.WRONG, log[3]),
        FaultyNode(Node(1, 1), Fault.WRONG),
        FaultyNode(Node(0, 4), Fault.WRONG, log[4]),
        FaultyNode(Node(1, 2), Fault.WRONG),
        FaultyNode(Node(3, 0), Fault.WRONG),
    ]


def test_an_empty_log_has_no_tree() -> None:
    assert list(tree_problems(0)) == []
    TreeNode._default_manager.create(level=0, position=0, hash=b"\x07" * 32)
    assert [p.code for p in tree_problems(0)] == ["extra-row"]

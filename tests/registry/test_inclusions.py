"""Many proofs read at once are the proofs that are read one by one."""

from __future__ import annotations

import pytest
from pytest_django import DjangoAssertNumQueries

from apps.registry import tree
from apps.registry.errors import BrokenTree, UnknownPlace
from apps.registry.models import TreeNode
from tests.registry.test_tree import a_tree

pytestmark = pytest.mark.django_db

SIZE = 75


def test_they_are_the_same() -> None:
    a_tree(SIZE)
    for size in (1, 2, 64, SIZE):
        proofs = tree.inclusions(range(size), size)
        assert proofs == {index: tree.inclusion(index, size) for index in range(size)}
    assert tree.inclusions([], SIZE) == {}


def test_each_level_is_one_query(django_assert_max_num_queries: DjangoAssertNumQueries) -> None:
    a_tree(SIZE)
    with django_assert_max_num_queries(SIZE.bit_length()):
        tree.inclusions(range(SIZE), SIZE)


def test_long_levels_are_read_in_pieces(monkeypatch: pytest.MonkeyPatch) -> None:
    a_tree(SIZE)
    whole = tree.inclusions(range(SIZE), SIZE)
    monkeypatch.setattr(tree, "ROWS_AT_ONCE", 7)
    assert tree.inclusions(range(SIZE), SIZE) == whole


@pytest.mark.parametrize("index", [-1, SIZE])
def test_a_place_outside_is_refused(index: int) -> None:
    a_tree(SIZE)
    with pytest.raises(UnknownPlace, match="has no place"):
        tree.inclusions([0, index], SIZE)


def test_a_lost_node_is_missed() -> None:
    a_tree(SIZE)
    TreeNode._default_manager.filter(level=0, position=8).delete()
    with pytest.raises(BrokenTree):
        tree.inclusions([9], SIZE)


def test_a_longer_log_than_there_is_is_refused() -> None:
    a_tree(SIZE)
    with pytest.raises(UnknownPlace, match="and not 80 yet"):
        tree.inclusions([0], SIZE + 5)

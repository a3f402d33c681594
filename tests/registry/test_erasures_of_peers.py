"""Whose word erases a record here: the node's where its author is at home, and this node's own."""

from __future__ import annotations

from typing import Any

import pytest

from apps.records.canonical import record_id
from apps.registry.actors import OPERATOR
from apps.registry.erasing import erase_record
from apps.registry.errors import Erased
from apps.registry.fsck import fsck
from apps.registry.identity import ensure_identity
from apps.registry.models import Record, Usage
from apps.registry.submissions import Submission
from tests.registry.foreign import EAST, Author, introduction, node_of, shop_of
from tests.registry.making import NOW, pulled
from tests.registry.test_fsck_of_tree import without_triggers

pytestmark = pytest.mark.django_db

WEST = "west.example"


@pytest.fixture
def east(db: None) -> Author:
    """A shop of another node, whose keys are in the log here."""
    ensure_identity()
    author = shop_of(EAST)
    pulled(*introduction(EAST, author), peer=EAST)
    pulled(*introduction(WEST, shop_of(WEST)), peer=WEST)
    pulled(author.signed("description"), peer=EAST)
    return author


def erasure(host: str, target: str, shop: Author, **members: Any) -> Submission:
    """A node's erasure record about a record on a tag of a shop."""
    return node_of(host).signed("erasure", shop=shop.handle, refers_to=[target], **members)


def is_here(id_: str) -> bool:
    return bool(bytes(Record.objects.get(id=id_).document))


def test_the_authors_own_node_erases_here_too(east: Author) -> None:
    (use,) = pulled(east.signed("usage"), peer=EAST)
    (erased,) = pulled(erasure(EAST, use.record_id, east), peer=EAST)
    assert not is_here(use.record_id)
    assert Record.objects.get(id=use.record_id).erased_by == erased.record_id
    assert not Usage._default_manager.exists()
    assert fsck().is_sound


def test_by_whichever_node_its_word_comes(east: Author) -> None:
    (use,) = pulled(east.signed("usage"), peer=EAST)
    pulled(erasure(EAST, use.record_id, east), peer=WEST)
    assert not is_here(use.record_id)


def test_another_nodes_word_is_noted_and_erases_nothing(east: Author) -> None:
    (use,) = pulled(east.signed("usage"), peer=EAST)
    (noted,) = pulled(erasure(WEST, use.record_id, east), peer=WEST)
    assert noted.is_new
    assert is_here(use.record_id)
    assert Usage._default_manager.count() == 1
    assert fsck().is_sound


def test_this_nodes_own_word_erases_what_others_wrote(east: Author) -> None:
    (use,) = pulled(east.signed("usage"), peer=EAST)
    erase_record(record_id=use.record_id, reason="legal_duty", by=OPERATOR, now=NOW)
    assert not is_here(use.record_id)
    assert fsck().is_sound


def test_what_was_erased_before_it_came_is_refused(east: Author) -> None:
    use = east.signed("usage", salt="0" * 32)
    id_ = east_id(use)
    (erased,) = pulled(erasure(EAST, id_, east), peer=EAST)
    with pytest.raises(Erased, match=erased.record_id):
        pulled(use, peer=EAST)
    assert not Record.objects.filter(id=id_).exists()
    assert fsck().is_sound


def test_also_within_one_page_in_either_order(east: Author) -> None:
    first, second = (east.signed("usage", salt=salt * 32) for salt in "01")
    with pytest.raises(Erased):
        pulled(erasure(EAST, east_id(first), east), first, peer=EAST)
    pulled(second, erasure(EAST, east_id(second), east), peer=EAST)
    assert not is_here(east_id(second))
    assert fsck().is_sound


def test_an_erased_record_does_not_come_back_from_a_peer(east: Author) -> None:
    use = east.signed("usage")
    (kept,) = pulled(use, peer=EAST)
    pulled(erasure(EAST, kept.record_id, east), peer=EAST)
    with pytest.raises(Erased):
        pulled(use, peer=WEST)
    assert not is_here(kept.record_id)


def test_an_erasure_that_names_another_ski_erases_nothing(east: Author) -> None:
    pulled(east.signed("description", tag="E-2"), peer=EAST)
    (use,) = pulled(east.signed("usage"), peer=EAST)
    pulled(erasure(EAST, use.record_id, east, tag="E-2"), peer=EAST)
    assert is_here(use.record_id)
    assert fsck().is_sound


def test_an_erasure_of_a_key_erases_nothing(east: Author) -> None:
    key = Record.objects.filter(kind="key", author__endswith=EAST).order_by("log_index")[0]
    pulled(erasure(EAST, key.id, east), peer=EAST)
    assert is_here(key.id)
    assert fsck().is_sound


def test_a_second_erasure_changes_nothing(east: Author) -> None:
    (use,) = pulled(east.signed("usage"), peer=EAST)
    (first,) = pulled(erasure(EAST, use.record_id, east), peer=EAST)
    pulled(erasure(EAST, use.record_id, east), peer=EAST)
    assert Record.objects.get(id=use.record_id).erased_by == first.record_id
    assert fsck().is_sound


def east_id(submission: Submission) -> str:
    """The id of a record that isn't here yet."""
    return record_id(submission.data)


class TestFsck:
    def test_bytes_that_are_gone_without_a_reason(self, east: Author) -> None:
        (use,) = pulled(east.signed("usage"), peer=EAST)
        (noted,) = pulled(erasure(WEST, use.record_id, east), peer=WEST)
        with without_triggers():
            gone = {"document": b"", "erased_by": noted.record_id}
            Record.objects.filter(id=use.record_id).update(**gone)
        (problem,) = fsck().problems
        assert (problem.code, problem.row) == ("wrong-erasure", use.record_id)
        assert "no erasure record that counts" in problem.sentence

    def test_bytes_that_are_back(self, east: Author) -> None:
        (use,) = pulled(east.signed("usage"), peer=EAST)
        (erased,) = pulled(erasure(EAST, use.record_id, east), peer=EAST)
        with without_triggers():
            back = {"document": use.data, "erased_by": ""}
            Record.objects.filter(id=use.record_id).update(**back)
        (problem,) = fsck().problems
        assert (problem.code, problem.row) == ("wrong-erasure", use.record_id)
        assert erased.record_id in problem.sentence

    def test_another_record_in_the_place_of_an_erased_one(self, east: Author) -> None:
        """The bytes can't be held against the id any more; the leaf still can."""
        (use,) = pulled(east.signed("usage"), peer=EAST)
        pulled(erasure(EAST, use.record_id, east), peer=EAST)
        other = "ab" * 32
        with without_triggers():
            Record.objects.filter(id=use.record_id).update(id=other)
        assert ("wrong-leaf", other) in [(p.code, p.row) for p in fsck().problems]


def test_a_retraction_that_names_another_ski_drops_no_row(east: Author) -> None:
    pulled(east.signed("description", tag="E-2"), peer=EAST)
    (use,) = pulled(east.signed("usage"), peer=EAST)
    pulled(east.signed("retraction", tag="E-2", refers_to=[use.record_id]), peer=EAST)
    assert Usage._default_manager.count() == 1
    assert fsck().is_sound

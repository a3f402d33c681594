"""Erasing a record: its bytes and all that followed from them go, its id and its place stay."""

from __future__ import annotations

from typing import Any

import pytest
from django.conf import settings

from apps.records.errors import InvalidRecord
from apps.records.folding import State
from apps.records.tree import record_leaf, verify_inclusion
from apps.registry import models, tree
from apps.registry.actions import append_records
from apps.registry.actors import OPERATOR, Actor
from apps.registry.erasing import erase_record
from apps.registry.errors import Erased, NotAllowed, Refused, TagExists, UnknownRecord, WrongState
from apps.registry.fsck import fsck
from apps.registry.histories import read_fold
from apps.registry.identity import node_handle
from apps.registry.models import Record
from apps.registry.rebuild import rebuild
from apps.registry.submissions import Appended, Submission
from tests.registry.dumps import index_dump
from tests.registry.foreign import node_of
from tests.registry.making import NOW, a_draft, a_ski, a_submission, write
from tests.registry.season import played

pytestmark = pytest.mark.django_db


def erase(record_id: str, **how: Any) -> Appended:
    """Erase a record at the tests' time."""
    given = {"reason": "personal_data", "by": OPERATOR, "now": NOW, **how}
    return erase_record(record_id=record_id, **given)


def bytes_of(record_id: str) -> bytes:
    return bytes(Record.objects.get(id=record_id).document)


def state_of(ski: str, record_id: str) -> State:
    (found,) = [one for one in read_fold([ski]).records if one.record_id == record_id]
    return found.state


def test_the_bytes_go_and_id_place_and_reason_stay(ski: str, shop: Actor) -> None:
    (job,) = write(shop, a_draft("job"))
    before = Record.objects.filter(id=job.record_id).values().get()
    erased = erase(job.record_id)
    after = Record.objects.filter(id=job.record_id).values().get()
    assert bytes(after["document"]) == b"" != bytes(before["document"])
    left = {"document": after["document"], "erased_by": erased.record_id}
    assert after == {**before, **left}
    reason = Record.objects.get(id=erased.record_id)
    assert (reason.author, reason.rank) == (node_handle(), "node-signed")
    assert (reason.target, reason.subject_id) == (job.record_id, ski)
    assert reason.log_index == job.log_index + 1


def test_every_proof_still_holds(ski: str, shop: Actor) -> None:
    (job,) = write(shop, a_draft("job"))
    before = tree.root(tree.log_size())
    erase(job.record_id)
    size = tree.log_size()
    assert tree.root(size - 1) == before
    proof = tree.inclusion(job.log_index, size)
    leaf = record_leaf(job.record_id)
    assert verify_inclusion(leaf, job.log_index, size, proof, tree.root(size)).holds


def test_nothing_that_followed_from_the_bytes_is_left(ski: str, shop: Actor) -> None:
    """The index is what it would be without the record, whose words occur nowhere any more."""
    before = index_dump()
    told = {**a_draft("job").body.model_dump(exclude_none=True, mode="json"), "technician": "t99"}
    (job,) = write(shop, a_draft("job", body=told))
    assert "t99" in repr(index_dump())
    erase(job.record_id)
    after = index_dump()
    assert job.record_id not in repr(after)
    assert "t99" not in repr(after)
    assert {name: rows for name, rows in after.items() if name != "Condition"} == {
        name: rows for name, rows in before.items() if name != "Condition"
    }
    (was,), (now,) = before["Condition"], after["Condition"]
    assert {**now, "folded_on": None, "state": ""} == {**was, "folded_on": None, "state": ""}


def test_what_is_left_is_sound_and_what_a_rebuild_makes(shop: Actor, other_shop: Actor) -> None:
    played(shop, other_shop)
    kinds = ("description", "job", "correction", "retraction", "measurement")
    for kind in kinds:
        erase(Record.objects.filter(kind=kind, erased_by="").order_by("log_index")[0].id)
        assert fsck().problems == ()
    kept = index_dump()
    rebuild(by=OPERATOR)
    assert index_dump() == kept


def test_without_its_correction_a_record_counts_as_it_was(ski: str, shop: Actor) -> None:
    (use,) = write(shop, a_draft("usage", body={"days": 3}))
    body = {"reason": "wrong_value", "replacement": replacement(7)}
    (fixed,) = write(shop, a_draft("correction", refers_to=[use.record_id], body=body))
    assert days() == [7]
    erase(fixed.record_id)
    assert (days(), state_of(ski, use.record_id)) == ([3], State.STANDS)
    assert fsck().is_sound


def replacement(days: int) -> dict[str, Any]:
    return {"kind": "usage", "performed_at": "2025-01-31", "body": {"days": days}}


def days() -> list[int]:
    return list(models.Usage._default_manager.values_list("days", flat=True))


def test_without_its_retraction_a_record_counts_again(ski: str, shop: Actor) -> None:
    (use,) = write(shop, a_draft("usage", body={"days": 3}))
    (back,) = write(shop, a_draft("retraction", refers_to=[use.record_id]))
    assert days() == []
    erase(back.record_id)
    assert (days(), state_of(ski, use.record_id)) == ([3], State.STANDS)
    assert fsck().is_sound


def test_without_its_retraction_a_correction_counts_again(ski: str, shop: Actor) -> None:
    (use,) = write(shop, a_draft("usage", body={"days": 3}))
    body = {"reason": "wrong_value", "replacement": replacement(7)}
    (fixed,) = write(shop, a_draft("correction", refers_to=[use.record_id], body=body))
    (back,) = write(shop, a_draft("retraction", refers_to=[fixed.record_id]))
    assert days() == [3]
    erase(back.record_id)
    assert days() == [7]
    assert fsck().is_sound


def test_what_amends_an_erased_record_waits_for_nothing(ski: str, shop: Actor) -> None:
    (use,) = write(shop, a_draft("usage", body={"days": 3}))
    body = {"reason": "wrong_value", "replacement": replacement(7)}
    (fixed,) = write(shop, a_draft("correction", refers_to=[use.record_id], body=body))
    erase(use.record_id)
    assert days() == []
    assert [one.record_id for one in read_fold([ski]).pending] == [fixed.record_id]
    assert fsck().is_sound


def test_a_tag_stays_on_its_ski_without_the_description_that_registered_it(
    ski: str, shop: Actor
) -> None:
    described = Record.objects.get(kind="description")
    erase(described.id)
    assert models.Tag.objects.get(key=ski).registered_by == described.id
    with pytest.raises(TagExists):
        a_ski(shop)
    write(shop, a_draft("job"))
    rebuild(by=OPERATOR)
    assert fsck().is_sound


class TestRefused:
    def test_keys_ends_and_erasures_stay(self, ski: str, shop: Actor) -> None:
        (job,) = write(shop, a_draft("job"))
        erased = erase(job.record_id)
        key = Record.objects.filter(kind="key")[0]
        for record_id in (key.id, erased.record_id):
            with pytest.raises(WrongState, match="can't be checked without"):
                erase(record_id)
        assert fsck().is_sound

    def test_only_once(self, ski: str, shop: Actor) -> None:
        (job,) = write(shop, a_draft("job"))
        erased = erase(job.record_id)
        with pytest.raises(Erased, match=erased.record_id):
            erase(job.record_id)

    def test_only_what_is_here(self, shop: Actor) -> None:
        with pytest.raises(UnknownRecord):
            erase("ab" * 32)

    def test_only_by_the_operator(self, ski: str, shop: Actor) -> None:
        (job,) = write(shop, a_draft("job"))
        with pytest.raises(NotAllowed):
            erase(job.record_id, by=shop)
        assert bytes_of(job.record_id) == job.data

    @pytest.mark.parametrize("how", [{"reason": "because"}, {"reason": "other"}])
    def test_not_without_a_reason(self, ski: str, shop: Actor, how: dict[str, str]) -> None:
        (job,) = write(shop, a_draft("job"))
        with pytest.raises(InvalidRecord):
            erase(job.record_id, **how)
        assert bytes_of(job.record_id) == job.data

    def test_what_was_erased_is_not_taken_again(self, ski: str, shop: Actor) -> None:
        submission = a_submission(a_draft("job"))
        (job,) = append_records(submissions=[submission], by=shop, now=NOW)
        erased = erase(job.record_id)
        with pytest.raises(Erased, match=erased.record_id):
            append_records(submissions=[submission], by=shop, now=NOW)
        assert bytes_of(job.record_id) == b""

    def test_a_shop_writes_no_erasure(self, ski: str, shop: Actor) -> None:
        (job,) = write(shop, a_draft("job"))
        submission = erasure_of(job.record_id)
        with pytest.raises(Refused, match="may not write as"):
            append_records(submissions=[submission], by=shop, now=NOW)
        assert bytes_of(job.record_id) == job.data


def erasure_of(record_id: str) -> Submission:
    """An erasure record as this node would sign it, without its key."""
    shop = Record.objects.get(id=record_id).author
    node = node_of(str(settings.NODE_HOST))
    return node.signed("erasure", shop=shop, tag="FB-0042", refers_to=[record_id])


def test_with_a_reason_in_words(ski: str, shop: Actor) -> None:
    (job,) = write(shop, a_draft("job"))
    erased = erase(job.record_id, reason="other", reason_text="A customer's number stood in it.")
    assert b"A customer's number stood in it." in bytes_of(erased.record_id)

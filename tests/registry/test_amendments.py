"""Corrections and retractions: who may write them, of what, and what they leave in the index."""

from __future__ import annotations

from typing import Any

import pytest

from apps.records.envelope import Draft
from apps.registry.actors import Actor
from apps.registry.errors import NotAllowed, RegistryError, WrongState
from apps.registry.models import Pairing, Record, Usage
from tests.registry.foreign import Author
from tests.registry.making import DAY, a_draft, a_ski, a_submission, pulled, write
from tests.registry.test_door import refusal

pytestmark = pytest.mark.django_db

FEWER_DAYS = {
    "reason": "typing_error",
    "replacement": {"kind": "usage", "performed_at": DAY, "body": {"days": 1}},
}


def correction(target: str, body: dict[str, Any], kind: str = "usage", **more: Any) -> Draft:
    replacement = {"kind": kind, "performed_at": DAY, "body": body}
    members = {"reason": "typing_error", "replacement": replacement}
    return a_draft("correction", refers_to=[target], body=members, **more)


def retraction(target: str, **more: Any) -> Draft:
    return a_draft("retraction", refers_to=[target], **more)


@pytest.fixture
def usage(ski: str, shop: Actor) -> str:
    """A usage record of 12 days."""
    (appended,) = write(shop, a_draft("usage"))
    return appended.record_id


def days() -> list[tuple[str, str, int]]:
    return list(Usage._default_manager.values_list("record", "stated_by", "days"))


def test_a_correction_takes_the_place_of_the_record(shop: Actor, usage: str) -> None:
    (corrected,) = write(shop, correction(usage, {"days": 21}))
    assert days() == [(usage, corrected.record_id, 21)]
    assert Record.objects.get(id=corrected.record_id).target == usage


def test_of_several_corrections_the_last_entered_is_in_effect(shop: Actor, usage: str) -> None:
    for count, day in (
        (21, "2025-02-02"),
        (5, "2025-02-01"),
        (7, "2025-02-01T23:00:00Z"),
        (9, DAY),
    ):
        (last,) = write(shop, correction(usage, {"days": count}, performed_at=day))
        assert days() == [(usage, last.record_id, count)]


def test_a_retracted_correction_lets_the_record_stand_again(shop: Actor, usage: str) -> None:
    (corrected,) = write(shop, correction(usage, {"days": 21}))
    write(shop, retraction(corrected.record_id))
    assert days() == [(usage, usage, 12)]


def test_a_retracted_record_leaves_the_index_and_stays_in_the_log(shop: Actor, usage: str) -> None:
    write(shop, retraction(usage))
    assert days() == []
    assert Record.objects.filter(id=usage).exists()


def test_a_correction_may_change_the_day(shop: Actor, usage: str) -> None:
    replacement = {"kind": "usage", "performed_at": "2025-02-10", "body": {"days": 12}}
    body = {"reason": "wrong_date", "replacement": replacement}
    write(shop, a_draft("correction", refers_to=[usage], body=body))
    assert Usage._default_manager.get().performed_day.isoformat() == "2025-02-10"


class TestRefused:
    def refused(self, by: Actor, draft: Draft, code: str = "fellbench") -> RegistryError:
        return refusal(by, a_submission(draft, code=code))

    def test_another_shops_record(self, usage: str, other_shop: Actor) -> None:
        error = self.refused(other_shop, retraction(usage), code="tarnedge")
        assert isinstance(error, NotAllowed)
        assert "fellbench" in error.sentence

    def test_a_record_of_another_ski(self, usage: str, shop: Actor) -> None:
        a_ski(shop, tag="OTHER-1")
        error = self.refused(shop, retraction(usage, tag="OTHER-1"))
        assert isinstance(error, WrongState)
        assert error.pointer == "/ski"

    def test_the_retraction_of_a_retraction(self, usage: str, shop: Actor) -> None:
        (taken_back,) = write(shop, retraction(usage))
        error = self.refused(shop, retraction(taken_back.record_id))
        assert "final" in error.sentence

    @pytest.mark.parametrize("kind", ["correction", "retraction"])
    def test_the_correction_of_an_amendment(self, usage: str, shop: Actor, kind: str) -> None:
        first = retraction(usage) if kind == "retraction" else correction(usage, {"days": 1})
        (amendment,) = write(shop, first)
        error = self.refused(shop, correction(amendment.record_id, {"days": 2}))
        assert isinstance(error, WrongState)
        assert "not corrected" in error.sentence or "final" in error.sentence
        assert kind in error.sentence

    def test_another_kind_in_its_place(self, usage: str, shop: Actor) -> None:
        error = self.refused(shop, correction(usage, {"status": "sold"}, kind="status"))
        assert error.pointer == "/body/replacement/kind"

    def test_what_was_taken_back_already(self, usage: str, shop: Actor) -> None:
        write(shop, retraction(usage))
        error = self.refused(shop, retraction(usage, performed_at="2025-02-01"))
        assert "taken back already" in error.sentence

    def test_but_not_when_it_comes_from_another_node(self, east: Author) -> None:
        """Both may have been on their way at once: the order of arrival must not matter."""
        pulled(east.signed("description"))
        (usage,) = pulled(east.signed("usage"))
        pulled(east.signed("retraction", refers_to=[usage.record_id]))
        (late,) = pulled(east.signed("correction", refers_to=[usage.record_id], body=FEWER_DAYS))
        assert late.is_new
        assert days() == []

    def test_what_the_same_call_takes_back(self, usage: str, shop: Actor) -> None:
        error = refusal(
            shop,
            a_submission(retraction(usage)),
            a_submission(correction(usage, {"days": 1})),
        )
        assert (error.submission, error.code) == (1, "wrong-state")

    @pytest.mark.usefixtures("ski")
    def test_a_ski_paired_with_itself(self, shop: Actor) -> None:
        (pair,) = write(shop, a_draft("pair"))
        body = {"other_ski": {"shop": "fellbench", "tag": "FB-0042"}}
        error = self.refused(shop, correction(pair.record_id, body, kind="pair"))
        assert error.pointer == "/body/replacement/body/other_ski"
        assert Pairing._default_manager.count() == 1

    @pytest.mark.usefixtures("ski")
    def test_but_not_with_another(self, shop: Actor) -> None:
        (pair,) = write(shop, a_draft("pair"))
        a_ski(shop, tag="FB-0044")
        body = {"other_ski": {"shop": "fellbench", "tag": "FB-0044"}}
        write(shop, correction(pair.record_id, body, kind="pair"))
        assert Pairing._default_manager.get().other_tag_key.endswith("FB-0044")

    @pytest.mark.usefixtures("ski")
    def test_nor_with_a_tag_that_is_on_no_ski(self, shop: Actor) -> None:
        (pair,) = write(shop, a_draft("pair"))
        body = {"other_ski": {"shop": "fellbench", "tag": "NOPE"}}
        error = self.refused(shop, correction(pair.record_id, body, kind="pair"))
        assert error.pointer == "/body/replacement/body/other_ski"
        assert error.code == "unknown-tag"

    def test_a_correction_dated_ahead(self, usage: str, shop: Actor) -> None:
        ahead = correction(usage, {"days": 1}, performed_at="2099-01-01")
        error = self.refused(shop, ahead)
        assert isinstance(error, WrongState)
        assert error.pointer == "/performed_at"
        assert days() == [(usage, usage, 12)]

    def test_a_replacement_from_the_future(self, usage: str, shop: Actor) -> None:
        replacement = {"kind": "usage", "performed_at": "2025-04-01", "body": {"days": 1}}
        body = {"reason": "wrong_date", "replacement": replacement}
        error = self.refused(shop, a_draft("correction", refers_to=[usage], body=body))
        assert error.pointer == "/body/replacement/performed_at"

"""The index can be made again from the records, and then it is the same."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from apps.records.envelope import Draft
from apps.records.examples import BODIES
from apps.registry import models
from apps.registry.actions import set_practice
from apps.registry.actors import OPERATOR, Actor
from apps.registry.errors import NotAllowed
from apps.registry.fsck import fsck
from apps.registry.rebuild import rebuild
from tests.registry.dumps import INDEX, index_dump
from tests.registry.links import say
from tests.registry.making import a_draft, a_shop, a_ski, write
from tests.registry.season import played


@pytest.mark.django_db
def test_the_index_is_the_same_when_made_again(shop: Actor, other_shop: Actor) -> None:
    played(shop, other_shop)
    for by in (shop, other_shop):
        say(by, "same-ski", "fellbench/FB-0043", "tarnedge/T-1")
    set_practice(shop=shop.handle, settings={"least_edge_height_mm": "1.2"}, by=shop)
    before = index_dump()
    assert all(before.values()), "Every table of the index takes part in the comparison."
    rebuilt = rebuild(by=OPERATOR)
    assert index_dump() == before
    assert (rebuilt.records, rebuilt.skis) == (models.Record.objects.count(), 2)


@pytest.mark.django_db
def test_another_shop_s_description_registers_nothing(shop: Actor, other_shop: Actor) -> None:
    first = a_ski(shop)
    write(other_shop, a_draft("description", body={}))
    rebuild(by=OPERATOR)
    assert models.Tag.objects.get().registered_by == first.record_id


@pytest.mark.django_db
def test_a_lost_index_comes_back(shop: Actor, other_shop: Actor) -> None:
    played(shop, other_shop)
    before = index_dump()
    for table in reversed(INDEX):
        table._default_manager.all().delete()
    rebuild(by=OPERATOR)
    assert index_dump() == before


@pytest.mark.django_db
def test_what_no_record_says_is_gone_afterwards(shop: Actor) -> None:
    a_ski(shop)
    before = index_dump()
    row = models.Condition.objects.get()
    stray = models.Ski._default_manager.create(
        key=f"{shop.handle}/STRAY-1", cluster=f"{shop.handle}/STRAY-1"
    )
    row.ski_id = stray.key
    row.save(force_insert=True)
    rebuild(by=OPERATOR)
    assert index_dump() == before


@pytest.mark.django_db
def test_many_skis_are_taken_some_at_a_time(shop: Actor, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("apps.registry.rebuild.SKIS_AT_ONCE", 2)
    for number in range(5):
        a_ski(shop, tag=f"N-{number}")
    before = index_dump()
    assert rebuild(by=OPERATOR).skis == 5
    assert index_dump() == before


@pytest.mark.django_db
def test_nothing_is_rebuilt_from_nothing() -> None:
    assert rebuild(by=OPERATOR).skis == 0


@pytest.mark.django_db
def test_only_the_operator_rebuilds(shop: Actor) -> None:
    with pytest.raises(NotAllowed):
        rebuild(by=shop)


KINDS = ("job", "measurement", "bevel-setting", "usage", "status", "pair")
ACTS = st.lists(
    st.tuples(st.sampled_from([*KINDS, "correction", "retraction"]), st.integers(0, 99)),
    max_size=12,
)


class AnyHistory(TestCase):
    """Whatever was written, corrected and taken back: append and rebuild agree."""

    @settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
    @given(acts=ACTS)
    def test_append_and_rebuild_agree(self, acts: list[tuple[str, int]]) -> None:
        """Each act writes a record, or amends one of those before it."""
        shop = a_shop()
        a_ski(shop)
        written: list[tuple[str, str]] = []
        for kind, number in acts:
            act(shop, kind, number, written)
        before = index_dump()
        rebuild(by=OPERATOR)
        assert index_dump() == before
        assert fsck().problems == ()


def act(shop: Actor, kind: str, number: int, written: list[tuple[str, str]]) -> None:
    """Write one record; amendments go to one that stands."""
    if kind in KINDS:
        day = f"2025-01-{1 + number % 28:02}"
        (appended,) = write(shop, a_draft(kind, performed_at=day))
        written.append((appended.record_id, kind))
    elif written:
        target, target_kind = written[number % len(written)]
        if kind == "retraction":
            written.remove((target, target_kind))
            write(shop, a_draft("retraction", refers_to=[target]))
        else:
            write(shop, corrected(target, target_kind, number))


def corrected(target: str, kind: str, number: int) -> Draft:
    replacement = {
        "kind": kind,
        "performed_at": f"2025-02-{1 + number % 28:02}",
        "body": BODIES[kind],
    }
    body = {"reason": "wrong_date", "replacement": replacement}
    return a_draft("correction", refers_to=[target], body=body)

"""What stands after corrections and retractions, whatever the order of arrival."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from apps.records.canonical import record_id
from apps.records.envelope import Record
from apps.records.examples import OTHER_SKI, example_record
from apps.records.folding import Fold, IgnoredReason, State, fold
from apps.records.keeping import UsageBody
from apps.records.reading import read_document, record_bytes

Stored = tuple[str, Record]


def stored(kind: str, **changes: Any) -> Stored:
    record = read_document({**example_record(kind), **changes})
    return record_id(record_bytes(record)), record


def usage(days: int, **changes: Any) -> Stored:
    return stored("usage", body={"days": days}, **changes)


def correction(target: Stored, days: int, on: str = "2025-02-01", **changes: Any) -> Stored:
    replacement = {"kind": "usage", "performed_at": "2025-01-15", "body": {"days": days}}
    body = {"reason": "typing_error", "replacement": replacement}
    return stored("correction", refers_to=[target[0]], body=body, performed_at=on, **changes)


def retraction(target: Stored, **changes: Any) -> Stored:
    return stored("retraction", refers_to=[target[0]], **changes)


ORIGINAL = usage(12)
FIRST = correction(ORIGINAL, 21)
SECOND = correction(ORIGINAL, 22, on="2025-02-02")
TWIN = correction(ORIGINAL, 23, on="2025-02-02T00:00:00Z")


def days_in_effect(result: Fold) -> int:
    (one,) = result.records
    assert isinstance(one.content.body, UsageBody)
    return one.content.body.days


def test_a_record_alone_stands() -> None:
    (one,) = fold([ORIGINAL]).records
    assert (one.state, one.record_id, one.content.source) == (State.STANDS, *[ORIGINAL[0]] * 2)
    assert (one.content.kind, one.content.performed_at) == ("usage", "2025-01-31")
    assert not one.several_corrections


def test_a_correction_takes_effect_with_its_own_time() -> None:
    result = fold([ORIGINAL, FIRST])
    (one,) = result.records
    assert one.state is State.CORRECTED
    assert days_in_effect(result) == 21
    assert one.content.performed_at == "2025-01-15"
    assert one.content.source == FIRST[0]
    assert one.record == ORIGINAL[1]


def test_of_several_corrections_the_last_performed_is_in_effect_and_flagged() -> None:
    result = fold([ORIGINAL, SECOND, FIRST])
    assert days_in_effect(result) == 22
    assert result.records[0].corrections == (FIRST[0], SECOND[0])
    assert result.records[0].several_corrections


def test_at_the_same_time_the_greatest_id_decides() -> None:
    result = fold([ORIGINAL, SECOND, TWIN])
    assert result.records[0].content.source == max(SECOND[0], TWIN[0])


def test_a_retracted_correction_no_longer_counts() -> None:
    result = fold([ORIGINAL, FIRST, SECOND, retraction(SECOND)])
    assert days_in_effect(result) == 21
    assert result.records[0].withdrawn_corrections == (SECOND[0],)
    assert result.records[0].retractions == (retraction(SECOND)[0],)
    bare = fold([ORIGINAL, FIRST, retraction(FIRST)])
    assert bare.records[0].state is State.STANDS
    assert days_in_effect(bare) == 12


def test_a_retracted_record_is_shown_but_not_in_effect() -> None:
    taken_back = retraction(ORIGINAL)
    result = fold([ORIGINAL, FIRST, taken_back])
    (one,) = result.records
    assert one.state is State.RETRACTED
    assert one.retractions == (taken_back[0],)
    assert one.corrections == (FIRST[0],)
    assert result.effective == ()
    assert fold([ORIGINAL, FIRST]).effective == fold([ORIGINAL, FIRST]).records


def test_an_amendment_whose_target_is_not_here_waits() -> None:
    result = fold([FIRST])
    assert result.records == ()
    assert [(p.record_id, p.target) for p in result.pending] == [(FIRST[0], ORIGINAL[0])]


@pytest.mark.parametrize(
    ("amendment", "reason"),
    [
        (correction(ORIGINAL, 1, author="other@node.example"), IgnoredReason.FOREIGN),
        (retraction(ORIGINAL, author="other@node.example"), IgnoredReason.FOREIGN),
        (correction(ORIGINAL, 1, ski=OTHER_SKI), IgnoredReason.OTHER_SKI),
        (retraction(ORIGINAL, ski=OTHER_SKI), IgnoredReason.OTHER_SKI),
        (correction(FIRST, 1), IgnoredReason.NOT_CORRECTABLE),
    ],
)
def test_an_amendment_that_may_not_be_is_ignored_and_listed(
    amendment: Stored, reason: IgnoredReason
) -> None:
    result = fold([ORIGINAL, FIRST, amendment])
    assert days_in_effect(result) == 21
    assert [(one.record_id, one.reason) for one in result.ignored] == [(amendment[0], reason)]
    assert result.foreign == (result.ignored if reason is IgnoredReason.FOREIGN else ())


@pytest.mark.parametrize("amend", [retraction, lambda target: correction(target, 1)])
def test_a_retraction_is_final(amend: Any) -> None:
    taken_back = retraction(ORIGINAL)
    against = amend(taken_back)
    result = fold([ORIGINAL, taken_back, against])
    assert result.records[0].state is State.RETRACTED
    assert [one.reason for one in result.ignored] == [IgnoredReason.NOT_RETRACTABLE]


def test_records_come_in_the_order_of_what_is_in_effect() -> None:
    earlier = usage(5, performed_at="2025-01-20")
    moved = correction(ORIGINAL, 12)
    assert [one.record_id for one in fold([ORIGINAL, earlier]).records] == [
        earlier[0],
        ORIGINAL[0],
    ]
    assert [one.record_id for one in fold([earlier, ORIGINAL, moved]).records] == [
        ORIGINAL[0],
        earlier[0],
    ]


EVERYTHING = [
    ORIGINAL,
    usage(5, performed_at="2025-01-20"),
    FIRST,
    SECOND,
    TWIN,
    retraction(TWIN),
    correction(FIRST, 1),
    correction(ORIGINAL, 9, author="other@node.example"),
    retraction(usage(77)),
    retraction(ORIGINAL, ski=OTHER_SKI),
]


@given(st.permutations(EVERYTHING), st.lists(st.sampled_from(EVERYTHING), max_size=4))
@settings(max_examples=50)
def test_order_and_repeats_of_arrival_do_not_matter(
    arrived: list[Stored], repeated: list[Stored]
) -> None:
    assert fold([*arrived, *repeated]) == fold(EVERYTHING)


@given(st.lists(st.sampled_from(EVERYTHING), unique_by=lambda one: one[0]))
@settings(max_examples=50)
def test_every_record_is_somewhere(arrived: list[Stored]) -> None:
    result = fold(arrived)
    without_effect = {one.record_id for one in result.pending}
    without_effect |= {one.record_id for one in result.ignored}
    shown = without_effect | {one.record_id for one in result.records}
    for one in result.records:
        shown |= {*one.corrections, *one.withdrawn_corrections, *one.retractions}
    moot = {i for i, record in arrived if without_effect & set(record.refers_to)}
    assert shown | moot == {i for i, _ in arrived}

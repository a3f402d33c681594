"""What stands after corrections and retractions, whatever the order of arrival."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from apps.records.canonical import record_id
from apps.records.envelope import NodeRecord, Record
from apps.records.examples import OTHER_SKI, example_record
from apps.records.folding import Fold, IgnoredReason, State, standing
from apps.records.folding import fold as fold_entered
from apps.records.keeping import UsageBody
from apps.records.reading import read_document, record_bytes

Stored = tuple[str, Record]
Entered = tuple[str, Record, int]


def stored(kind: str, **changes: Any) -> Stored:
    record = read_document({**example_record(kind), **changes})
    assert not isinstance(record, NodeRecord)
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


def entered(records: Iterable[Stored]) -> list[Entered]:
    """Records as a log holds them that came in this order."""
    return [(record_id, record, number) for number, (record_id, record) in enumerate(records)]


def fold(records: Iterable[Stored]) -> Fold:
    """What stands of a log that holds the records in this order."""
    return fold_entered(entered(records))


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


def test_of_several_corrections_the_last_entered_is_in_effect_and_flagged() -> None:
    for first, last in ((FIRST, SECOND), (SECOND, FIRST), (SECOND, TWIN), (TWIN, SECOND)):
        (one,) = fold([ORIGINAL, first, last]).records
        assert one.content.source == last[0]
        assert one.corrections == (first[0], last[0])
        assert one.several_corrections


def test_a_later_correction_with_the_date_alone_counts_after_one_with_a_time() -> None:
    timed = correction(ORIGINAL, 7, on="2025-02-02T09:30:00Z")
    dated = correction(ORIGINAL, 9, on="2025-02-02")
    assert days_in_effect(fold([ORIGINAL, timed, dated])) == 9


def test_a_correction_leaves_a_record_its_place_in_the_log() -> None:
    assert [one.entered for one in fold([usage(1), ORIGINAL, FIRST]).records] == [1, 0]
    assert standing(*ORIGINAL, entered=4) == fold_entered([(*ORIGINAL, 4)]).records[0]


def test_of_one_day_the_later_entered_comes_last_and_a_date_alone_counts_as_noon() -> None:
    one, two = usage(3), usage(4)
    morning = usage(5, performed_at="2025-01-31T11:59:59Z")
    evening = usage(6, performed_at="2025-01-31T12:00:01Z")
    for first, last in ((one, two), (two, one)):
        result = fold([evening, first, last, morning])
        expected = [morning, first, last, evening]
        assert [record.record_id for record in result.records] == [i for i, _ in expected]


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
    corrected = fold([ORIGINAL, FIRST])
    assert corrected.effective == corrected.records


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


LOG = entered(EVERYTHING)


@given(st.permutations(LOG), st.lists(st.sampled_from(LOG), max_size=4))
@settings(max_examples=50)
def test_the_order_in_which_the_triples_are_given_and_repeats_do_not_matter(
    given_in: list[Entered], repeated: list[Entered]
) -> None:
    assert fold_entered([*given_in, *repeated]) == fold_entered(LOG)


@given(st.sampled_from(LOG), st.integers(0, 20))
def test_of_a_record_that_comes_twice_the_first_place_counts(one: Entered, later: int) -> None:
    again = (*one[:2], one[2] + later)
    assert fold_entered([*LOG, again]) == fold_entered([again, *LOG]) == fold_entered(LOG)


OTHERS = [
    usage(8, author="other@node.example"),
    correction(usage(8, author="other@node.example"), 3, author="other@node.example"),
    usage(9, author="other@node.example"),
    correction(ORIGINAL, 9, author="other@node.example"),
]
OWN = [one for one in EVERYTHING if one not in OTHERS]


@given(st.permutations([True] * len(OTHERS) + [False] * len(OWN)))
@settings(max_examples=50)
def test_another_authors_records_may_arrive_in_between(turns: list[bool]) -> None:
    """Each node has its own places in the log, and each author's records in one order."""
    others, own = iter(OTHERS), iter(OWN)
    result = fold(next(others if is_other else own) for is_other in turns)
    expected = fold([*OWN, *OTHERS])
    assert result.pending == expected.pending
    assert result.ignored == expected.ignored
    assert [replace(one, entered=0) for one in result.records] == [
        replace(one, entered=0) for one in expected.records
    ]


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

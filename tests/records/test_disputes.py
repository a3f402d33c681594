"""What disputes, links and erasures do to a fold: they are shown, and change no state."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from apps.records.examples import OTHER_SKI, example_record
from apps.records.folding import IgnoredReason, State
from apps.records.folding import fold as fold_entered
from tests.records.test_folding import (
    FIRST,
    ORIGINAL,
    SECOND,
    Entered,
    Stored,
    days_in_effect,
    entered,
    fold,
    retraction,
    stored,
    usage,
)

FOREIGN = "other@lake.example"


def dispute(target: Stored, reason: str = "wrong_value", **changes: Any) -> Stored:
    whole = {"author": FOREIGN, "body": {"reason": reason}, **changes}
    return stored("dispute", refers_to=[target[0]], **whole)


def erasure(target: Stored, **changes: Any) -> Stored:
    return stored("erasure", refers_to=[target[0]], **changes)


DOUBT = dispute(ORIGINAL)
OWN_DOUBT = dispute(ORIGINAL, author=ORIGINAL[1].author)
NO_DOUBT = retraction(DOUBT, author=FOREIGN)
LINK = stored("same-ski")
NO_LINK = stored("distinct-ski")


def test_a_dispute_is_shown_and_changes_nothing() -> None:
    alone, disputed = fold([ORIGINAL, FIRST]), fold([ORIGINAL, FIRST, DOUBT, OWN_DOUBT])
    assert days_in_effect(disputed) == days_in_effect(alone) == 21
    (one,) = disputed.records
    assert one.state is State.CORRECTED
    assert one.content == alone.records[0].content
    assert (one.disputes, one.withdrawn_disputes) == ((DOUBT[0], OWN_DOUBT[0]), ())
    assert (disputed.pending, disputed.ignored) == ((), ())
    assert disputed.effective == disputed.records


def test_disputes_come_as_they_were_entered() -> None:
    for first, last in ((DOUBT, OWN_DOUBT), (OWN_DOUBT, DOUBT)):
        (one,) = fold([ORIGINAL, first, last]).records
        assert one.disputes == (first[0], last[0])


def test_a_dispute_of_a_correction_is_one_of_the_record() -> None:
    doubt = dispute(FIRST)
    (one,) = fold([ORIGINAL, FIRST, doubt]).records
    assert one.disputes == (doubt[0],)
    (one,) = fold([ORIGINAL, FIRST, doubt, retraction(FIRST), SECOND]).records
    assert one.disputes == (doubt[0],)
    assert one.content.source == SECOND[0]


def test_a_dispute_is_taken_back_by_its_author_only() -> None:
    (one,) = fold([ORIGINAL, DOUBT, NO_DOUBT]).records
    assert (one.disputes, one.withdrawn_disputes) == ((), (DOUBT[0],))
    assert one.retractions == (NO_DOUBT[0],)
    assert one.state is State.STANDS
    foreign = retraction(DOUBT)
    result = fold([ORIGINAL, DOUBT, foreign])
    assert result.records[0].disputes == (DOUBT[0],)
    assert [(i.record_id, i.reason) for i in result.foreign] == [
        (foreign[0], IgnoredReason.FOREIGN)
    ]


def test_a_retracted_record_may_be_disputed() -> None:
    (one,) = fold([ORIGINAL, retraction(ORIGINAL), DOUBT]).records
    assert (one.state, one.disputes) == (State.RETRACTED, (DOUBT[0],))


@pytest.mark.parametrize(
    ("records", "reason"),
    [
        ([DOUBT, dispute(DOUBT)], IgnoredReason.NOT_DISPUTABLE),
        ([retraction(ORIGINAL), dispute(retraction(ORIGINAL))], IgnoredReason.NOT_DISPUTABLE),
        ([erasure(usage(7)), dispute(erasure(usage(7)))], IgnoredReason.NOT_DISPUTABLE),
        ([dispute(ORIGINAL, ski=OTHER_SKI)], IgnoredReason.OTHER_SKI),
        ([erasure(usage(7)), retraction(erasure(usage(7)))], IgnoredReason.FOREIGN),
    ],
)  # fmt: skip
def test_what_can_not_be_disputed_or_retracted_is_ignored_and_listed(
    records: list[Stored], reason: IgnoredReason
) -> None:
    result = fold([ORIGINAL, *records])
    assert [(one.record_id, one.reason) for one in result.ignored] == [(records[-1][0], reason)]


def amended(target: Stored, kind: str) -> Stored:
    example = example_record(kind)
    whole = {"kind": kind, "performed_at": "2025-01-15", "body": example["body"]}
    body = {"reason": "typing_error", "replacement": whole}
    author = target[1].author
    return stored("correction", refers_to=[target[0]], body=body, author=author)


@pytest.mark.parametrize("target", [LINK, NO_LINK, DOUBT])
def test_a_link_and_a_dispute_are_not_corrected(target: Stored) -> None:
    against = amended(target, "usage")
    result = fold([ORIGINAL, target, against])
    assert [(one.record_id, one.reason) for one in result.ignored] == [
        (against[0], IgnoredReason.NOT_CORRECTABLE)
    ]


def test_a_correction_that_came_before_its_target_may_not_change_its_kind() -> None:
    """The door can't see it while the target is not here."""
    against = amended(ORIGINAL, "job")
    assert [one.record_id for one in fold([against]).pending] == [against[0]]
    result = fold([against, ORIGINAL])
    assert result.records[0].state is State.STANDS
    assert [one.reason for one in result.ignored] == [IgnoredReason.OTHER_KIND]


@pytest.mark.parametrize("link", [LINK, NO_LINK])
def test_a_link_is_a_record_that_its_author_takes_back(link: Stored) -> None:
    (one,) = fold([link]).records
    assert (one.state, one.content.kind) == (State.STANDS, link[1].kind)
    (one,) = fold([link, retraction(link)]).records
    assert one.state is State.RETRACTED
    doubt = dispute(link)
    assert fold([link, doubt]).records[0].disputes == (doubt[0],)


def test_an_erasure_is_a_record_and_what_referred_to_the_erased_one_waits() -> None:
    """The erased bytes are not here, so nothing refers to a record that is."""
    gone = erasure(ORIGINAL)
    result = fold([FIRST, DOUBT, retraction(ORIGINAL), gone])
    assert [(one.record_id, one.state) for one in result.records] == [(gone[0], State.STANDS)]
    assert {one.record_id for one in result.pending} == {
        FIRST[0],
        DOUBT[0],
        retraction(ORIGINAL)[0],
    }


LOG = entered(
    [
        ORIGINAL,
        FIRST,
        SECOND,
        DOUBT,
        OWN_DOUBT,
        NO_DOUBT,
        dispute(FIRST),
        dispute(DOUBT),
        dispute(usage(99)),
        LINK,
        dispute(LINK),
        retraction(NO_LINK),
        erasure(usage(98)),
        amended(LINK, "usage"),
    ]
)


@given(st.permutations(LOG), st.lists(st.sampled_from(LOG), max_size=4))
@settings(max_examples=50)
def test_the_order_in_which_the_triples_are_given_and_repeats_do_not_matter(
    given_in: list[Entered], repeated: list[Entered]
) -> None:
    assert fold_entered([*given_in, *repeated]) == fold_entered(LOG)


@given(st.lists(st.sampled_from(LOG), unique_by=lambda one: one[0]))
@settings(max_examples=50)
def test_every_record_is_somewhere(arrived: list[Entered]) -> None:
    result = fold_entered(arrived)
    without_effect = {one.record_id for one in result.pending}
    without_effect |= {one.record_id for one in result.ignored}
    found = without_effect | {one.record_id for one in result.records}
    for one in result.records:
        found |= {*one.corrections, *one.withdrawn_corrections, *one.retractions}
        found |= {*one.disputes, *one.withdrawn_disputes}
    moot = {i for i, record, _ in arrived if without_effect & set(record.refers_to)}
    assert found | moot == {i for i, _, _ in arrived}


@given(st.lists(st.sampled_from(LOG), unique_by=lambda one: one[0]))
@settings(max_examples=50)
def test_without_its_disputes_a_set_of_records_says_the_same(arrived: list[Entered]) -> None:
    disputes = {i for i, record, _ in arrived if record.kind == "dispute"}
    plain = [
        one for one in arrived if one[0] not in disputes and not disputes & {*one[1].refers_to}
    ]
    assert [(one.record_id, one.state, one.content) for one in fold_entered(arrived).records] == [
        (one.record_id, one.state, one.content) for one in fold_entered(plain).records
    ]

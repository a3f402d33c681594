"""Many writers at once: one effect, a log without holes, no error of the database shows."""

from __future__ import annotations

import pytest

from apps.registry.actions import issue_api_key
from apps.registry.actors import BENCH_SCOPES, Actor
from apps.registry.door import append_records
from apps.registry.errors import KeyLimit, TagExists
from apps.registry.fsck import fsck
from apps.registry.idempotency import Answer, run_once
from apps.registry.models import ApiKey, IdempotencyKey, LogHead, Record, Tag
from apps.registry.submissions import Appended
from tests.registry.making import FIRST, NOW, a_draft, a_shop, a_ski, a_submission, write
from tests.registry.threads import THREADS, at_once

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def writer() -> Actor:
    """A shop that threads can see."""
    return a_shop()


def test_one_of_many_registers_the_tag(writer: Actor) -> None:
    outcomes = at_once(lambda _: a_ski(writer))
    registered = [one for one in outcomes if isinstance(one, Appended)]
    refused = [one for one in outcomes if isinstance(one, TagExists)]
    assert (len(registered), len(refused)) == (1, THREADS - 1), outcomes
    assert Record.objects.of_kind("description").count() == Tag.objects.count() == 1


def test_the_same_record_from_many_is_one(writer: Actor) -> None:
    submission = a_submission(a_draft("description"), registers=True)
    outcomes = at_once(lambda _: append_records(submissions=[submission], by=writer, now=NOW))
    appended = [one for found in outcomes if isinstance(found, list) for one in found]
    assert len(appended) == THREADS, outcomes
    assert sum(one.is_new for one in appended) == 1
    assert {one.log_index for one in appended} == {FIRST}
    assert Record.objects.count() == FIRST + 1


def test_many_records_leave_no_hole(writer: Actor) -> None:
    a_ski(writer)
    outcomes = at_once(lambda _: write(writer, a_draft("usage"), a_draft("job")))
    assert not [one for one in outcomes if isinstance(one, Exception)]
    places = Record.objects.order_by("log_index").values_list("log_index", flat=True)
    assert list(places) == list(range(FIRST + 1 + 2 * THREADS))
    assert LogHead._default_manager.get().size == FIRST + 1 + 2 * THREADS
    assert fsck().problems == ()


def test_a_check_among_writers_sees_one_state(writer: Actor) -> None:
    a_ski(writer)

    def check_or_write(number: int) -> bool:
        if number % 4 == 0:
            return fsck().is_sound
        return bool(write(writer, a_draft("job"), a_draft("usage")))

    assert at_once(check_or_write) == [True] * THREADS


def test_a_key_has_one_effect_and_one_answer(writer: Actor) -> None:
    def post(_: int) -> Answer:
        return run_once(shop=writer.handle, key="k-1", digest="ab" * 32, effect=register)

    def register() -> Answer:
        appended = a_ski(writer)
        return Answer(201, (("Location", "/skis"),), appended.record_id.encode())

    outcomes = at_once(post)
    answers = [one for one in outcomes if isinstance(one, Answer)]
    assert len(answers) == THREADS, outcomes
    assert len({(one.status, one.headers, one.body) for one in answers}) == 1
    assert sum(not one.replayed for one in answers) == 1
    assert Record.objects.of_kind("description").count() == IdempotencyKey.objects.count() == 1


def test_no_more_than_two_keys_are_live(writer: Actor) -> None:
    outcomes = at_once(lambda _: issue_api_key(shop=writer.handle, scopes=BENCH_SCOPES, by=writer))
    limited = [one for one in outcomes if isinstance(one, KeyLimit)]
    assert len(limited) == THREADS - 2, outcomes
    assert ApiKey.objects.count() == 2

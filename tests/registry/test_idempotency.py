"""A request that is sent twice: one effect, one answer, and no confusion with another request."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.db import OperationalError

from apps.registry.errors import (
    IdempotencyInProgress,
    IdempotencyMismatch,
    StorageBusy,
    TagExists,
)
from apps.registry.idempotency import KEPT_FOR, Answer, claim, purge, run_once
from apps.registry.models import IdempotencyKey, Record
from tests.registry.making import NOW, a_shop, a_ski

pytestmark = pytest.mark.django_db

SHOP = "fellbench@localhost.invalid"
DIGEST = "ab" * 32
ANSWER = Answer(201, (("Location", "/skis/1"),), b'{"id":"1"}')


def post(effect: Callable[[], Answer], *, key: str = "k", digest: str = DIGEST) -> Answer:
    return run_once(shop=SHOP, key=key, digest=digest, effect=effect, now=NOW)


def never() -> Answer:
    raise AssertionError("This request was answered before.")


def test_a_repeat_gets_the_first_answer() -> None:
    assert post(lambda: ANSWER) == ANSWER
    again = post(never)
    assert again == Answer(201, (("Location", "/skis/1"),), b'{"id":"1"}', replayed=True)
    assert str(IdempotencyKey.objects.get()) == f"{SHOP} k"


def test_another_key_is_another_request() -> None:
    post(lambda: ANSWER)
    assert not post(lambda: ANSWER, key="l").replayed


def test_another_shop_may_use_the_same_key() -> None:
    post(lambda: ANSWER)
    answer = run_once(shop="crag@fjall.example", key="k", digest=DIGEST, effect=lambda: ANSWER)
    assert not answer.replayed


def test_the_same_key_with_another_request_is_refused() -> None:
    post(lambda: ANSWER)
    with pytest.raises(IdempotencyMismatch):
        post(never, digest="cd" * 32)


def test_a_refused_request_leaves_no_claim_and_no_effect() -> None:
    shop = a_shop()
    a_ski(shop)

    def register() -> Answer:
        a_ski(shop, tag="NEW-1")
        a_ski(shop)
        return ANSWER

    with pytest.raises(TagExists):
        post(register)
    assert not IdempotencyKey.objects.exists()
    assert Record.objects.of_kind("description").count() == 1
    assert post(lambda: ANSWER) == ANSWER


def test_a_key_is_kept_for_a_day() -> None:
    post(lambda: ANSWER)
    day_later = NOW + KEPT_FOR
    assert purge(now=day_later) == 0
    assert purge(now=day_later + timedelta(seconds=1)) == 1


def test_an_old_key_may_be_used_anew_before_it_is_purged() -> None:
    post(lambda: ANSWER)
    later = NOW + KEPT_FOR + timedelta(seconds=1)
    other = Answer(200, (), b"")
    again = run_once(shop=SHOP, key="k", digest="cd" * 32, effect=lambda: other, now=later)
    assert again == other


def test_a_claim_without_an_answer_is_still_running() -> None:
    claim(shop=SHOP, key="k", digest=DIGEST, now=NOW)
    with pytest.raises(IdempotencyInProgress):
        post(never)


def test_a_wait_for_the_first_that_the_database_cuts_short(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def locked(**_: object) -> None:
        raise OperationalError("database is locked")

    monkeypatch.setattr(IdempotencyKey.objects, "get_or_create", locked)
    with pytest.raises(IdempotencyInProgress) as caught:
        post(never)
    assert isinstance(caught.value.__cause__, StorageBusy)

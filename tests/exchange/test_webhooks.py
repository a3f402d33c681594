"""What a shop may do with its webhooks, and what the database never lets in."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from apps.exchange.models import Delivery, Webhook
from apps.exchange.webhooks import (
    MOST_A_SHOP,
    UnknownWebhook,
    add_webhook,
    find_webhook,
    last_deliveries,
    own_webhooks,
    remove_webhook,
    replay_webhook,
    resume_webhook,
)
from apps.records.errors import InvalidRecord
from apps.registry.actors import Actor, Scope, shop_actor
from apps.registry.errors import NotAllowed, WrongState
from apps.registry.tree import log_size
from tests.exchange.growing import URL, grow, paused
from tests.registry.making import a_shop
from tests.registry.threads import at_once


@pytest.fixture
def shop(db: None) -> Actor:
    """A shop of this node."""
    return a_shop()


@pytest.fixture
def webhook(shop: Actor) -> Webhook:
    """A webhook of the shop."""
    return add_webhook(url=URL, by=shop).webhook


def test_a_new_one_begins_at_the_end_of_the_log(shop: Actor) -> None:
    grow(shop)
    added = add_webhook(url=URL, by=shop)
    assert added.webhook.told == log_size() > 0
    assert added.webhook.secret == added.secret
    assert own_webhooks(shop) == [added.webhook]


def test_an_address_that_is_refused_names_the_field(shop: Actor) -> None:
    with pytest.raises(InvalidRecord) as caught:
        add_webhook(url="https://127.0.0.1/", by=shop)
    (error,) = caught.value.errors
    assert (error.pointer, error.code) == ("/url", "address")
    assert own_webhooks(shop) == []


def test_own_networks_are_the_operators_to_allow(
    shop: Actor, settings: pytest.FixtureRequest
) -> None:
    settings.WEBHOOK_NETWORKS = ["127.0.0.0/8"]  # type: ignore[attr-defined]
    assert add_webhook(url="http://127.0.0.1:8001/", by=shop).webhook.url.startswith("http:")


def test_a_shop_has_only_so_many(shop: Actor) -> None:
    for _ in range(MOST_A_SHOP):
        last = add_webhook(url=URL, by=shop).webhook
    with pytest.raises(WrongState, match="Remove one"):
        add_webhook(url=URL, by=shop)
    remove_webhook(last.id, by=shop)
    add_webhook(url=URL, by=shop)


@pytest.mark.django_db(transaction=True)
def test_the_last_place_goes_to_one_of_many_at_once() -> None:
    shop = a_shop()
    came = at_once(lambda _: add_webhook(url=URL, by=shop), threads=MOST_A_SHOP + 4)
    refused = [one for one in came if isinstance(one, WrongState)]
    assert len(refused) == 4
    assert Webhook.objects.count() == MOST_A_SHOP


def test_another_shops_is_as_good_as_not_there(shop: Actor, webhook: Webhook) -> None:
    other = a_shop("tarnedge")
    attempts: list[Callable[[], object]] = [
        lambda: find_webhook(webhook.id, by=other),
        lambda: remove_webhook(webhook.id, by=other),
        lambda: resume_webhook(webhook.id, by=other),
        lambda: replay_webhook(webhook.id, begin=0, by=other),
    ]
    for attempt in attempts:
        with pytest.raises(UnknownWebhook):
            attempt()
    assert own_webhooks(other) == []
    assert own_webhooks(shop) == [webhook]


def test_a_key_that_only_reads_may_not(shop: Actor) -> None:
    with pytest.raises(NotAllowed):
        add_webhook(url=URL, by=shop_actor(shop.handle, Scope.READ))


def test_removing_takes_the_messages_along(shop: Actor, webhook: Webhook) -> None:
    a_message(webhook)
    remove_webhook(webhook.id, by=shop)
    assert not Delivery.objects.exists()
    with pytest.raises(UnknownWebhook):
        remove_webhook(webhook.id, by=shop)


def a_message(webhook: Webhook, **columns: object) -> Delivery:
    """A message that waits, unless told otherwise."""
    now = timezone.now()
    usual: dict[str, object] = {
        "id": f"msg_{Delivery.objects.count()}",
        "webhook": webhook,
        "from_index": 0,
        "until_index": 2,
        "made_at": now,
        "next_at": now,
    }
    return Delivery.objects.create(**{**usual, **columns})


@pytest.mark.parametrize("skip", [False, True])
def test_resuming_begins_where_telling_ended_or_at_the_end(
    shop: Actor, webhook: Webhook, skip: bool
) -> None:
    before = webhook.told
    paused(webhook)
    grow(shop)
    resumed = resume_webhook(webhook.id, by=shop, skip=skip)
    assert (resumed.state, resumed.reason) == ("active", "")
    assert resumed.told == (log_size() if skip else before)
    resumed.refresh_from_db()
    assert resumed.state == "active"


def test_resuming_one_that_is_active_changes_nothing(shop: Actor, webhook: Webhook) -> None:
    grow(shop)
    assert resume_webhook(webhook.id, by=shop, skip=True).told == webhook.told


def test_a_replay_drops_what_waits_and_goes_back(shop: Actor, webhook: Webhook) -> None:
    waiting = a_message(webhook)
    replay_webhook(webhook.id, begin=0, by=shop)
    webhook.refresh_from_db()
    waiting.refresh_from_db()
    assert webhook.told == 0
    assert (waiting.outcome, waiting.next_at) == ("dropped", None)
    assert "replay from 0" in waiting.last_answer


def test_a_replay_of_what_was_not_told_is_refused(shop: Actor, webhook: Webhook) -> None:
    with pytest.raises(WrongState) as caught:
        replay_webhook(webhook.id, begin=webhook.told + 1, by=shop)
    assert caught.value.pointer == "/from"


def test_the_last_messages_come_in_one_query(
    shop: Actor, webhook: Webhook, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for number in range(30):
        a_message(webhook, outcome="delivered", next_at=None, id=f"msg_{number:02}")
    with django_assert_num_queries(1):
        shown = last_deliveries(webhook)
    assert len(shown) == 20
    assert shown[0].id == "msg_29"


def never(webhook: Webhook, constraint: str, **columns: object) -> None:
    """The database refuses such a message, under this name."""
    with pytest.raises(IntegrityError, match=constraint), transaction.atomic():
        a_message(webhook, **columns)


def test_what_no_message_can_be(webhook: Webhook) -> None:
    now = timezone.now()
    never(webhook, "delivery_outcome", outcome="lost", next_at=None)
    never(webhook, "delivery_of_a_stretch", until_index=0)
    never(webhook, "delivery_of_a_stretch", from_index=-1)
    never(webhook, "delivery_waits_for_a_moment", next_at=None)
    never(webhook, "delivery_waits_for_a_moment", outcome="delivered", next_at=now)
    never(webhook, "delivery_tries_from_zero", tries=-1)


def test_one_message_waits_at_a_time(webhook: Webhook) -> None:
    a_message(webhook)
    a_message(webhook, outcome="dropped", next_at=None)
    with pytest.raises(IntegrityError), transaction.atomic():
        a_message(webhook)


@pytest.mark.parametrize(
    ("constraint", "columns"),
    [
        ("webhook_state", {"state": "asleep", "reason": "late"}),
        ("webhook_paused_for_a_reason", {"state": "paused"}),
        ("webhook_paused_for_a_reason", {"reason": "late"}),
        ("webhook_told_from_zero", {"told": -1}),
    ],
)
def test_what_no_webhook_can_be(
    webhook: Webhook, constraint: str, columns: dict[str, object]
) -> None:
    with pytest.raises(IntegrityError) as caught, transaction.atomic():
        Webhook.objects.filter(id=webhook.id).update(**columns)
    # SQLite names one of several that are broken, whichever it looks at first.
    assert "webhook_" in str(caught.value)
    Webhook.objects.filter(id=webhook.id).update(state="paused", reason="late", told=0)

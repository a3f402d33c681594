"""Messages are made, claimed, tried a bounded number of times, and kept track of."""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime, timedelta

import pytest

from apps.exchange import delivering
from apps.exchange.delivering import MOST_KEPT, Told, claim_due, deliver_due, message_body
from apps.exchange.models import Delivery, Webhook
from apps.exchange.webhook_schedule import MOST_TRIES, WAITS
from apps.exchange.webhook_sending import Sent
from apps.exchange.webhooks import (
    add_webhook,
    remove_webhook,
    replay_webhook,
    resume_webhook,
)
from apps.registry.actors import Actor
from apps.registry.tree import log_size
from tests.exchange.growing import URL, grow, paused
from tests.exchange.receiver import receiving
from tests.registry.making import a_shop
from tests.registry.threads import at_once

FINE = Sent("delivered", "The receiver answered with status 204.")
DOWN = Sent("failed", "The receiver answered with status 500.")
GONE = Sent("gone", "The receiver answered with status 410: it wants no more messages.")
NOON = datetime(2025, 1, 31, 12, tzinfo=UTC)


class Sending:
    """Answers each message as told, and keeps what was sent, with a clock that is set by hand."""

    def __init__(self, *answers: Sent) -> None:
        self.answers = list(answers)
        self.sent: list[tuple[int, int]] = []
        self.now = NOON

    def __call__(self, delivery: Delivery, now: datetime) -> Sent:
        self.sent.append((delivery.from_index, delivery.until_index))
        return self.answers[min(len(self.sent), len(self.answers)) - 1]

    def round(self, later: timedelta = timedelta(0)) -> list[Told]:
        """Deliver what is due once the clock has gone on."""
        self.now += later
        return list(deliver_due(clock=lambda: self.now, sender=self))


@pytest.fixture
def shop(db: None) -> Actor:
    """A shop of this node."""
    return a_shop()


@pytest.fixture
def webhook(shop: Actor) -> Webhook:
    """A webhook of the shop."""
    return add_webhook(url=URL, by=shop).webhook


def now_of(webhook: Webhook) -> Webhook:
    """The webhook as it stands."""
    return Webhook.objects.get(id=webhook.id)


def test_a_message_tells_the_stretch_and_no_more(shop: Actor, webhook: Webhook) -> None:
    begin = webhook.told
    grow(shop, 3)
    sending = Sending(FINE)
    (told,) = sending.round()
    assert told.outcome == "delivered"
    assert f"Told of {begin} to {begin + 2}." in told.sentence
    assert sending.sent == [(begin, begin + 3)]
    document = json.loads(message_body(Delivery.objects.get()))
    assert document == {
        "type": "log.grown",
        "timestamp": "2025-01-31T12:00:00Z",
        "data": {"from": begin, "until": begin + 3},
    }


# Source: Standard Webhooks 1.0.0, "Signature scheme": the id holds no full stop.
def test_ids_of_messages_hold_no_full_stop(shop: Actor, webhook: Webhook) -> None:
    grow(shop)
    Sending(FINE).round()
    assert re.fullmatch(r"msg_[0-9a-f]{24}", Delivery.objects.get().id)


def test_every_record_is_told_exactly_once(shop: Actor, webhook: Webhook) -> None:
    sending = Sending(FINE, DOWN, FINE)
    begin = webhook.told
    for _ in range(6):
        grow(shop)
        sending.round(timedelta(minutes=2))
    delivered = Delivery.objects.filter(outcome="delivered").order_by("from_index")
    stretches = list(delivered.values_list("from_index", "until_index"))
    assert [first for first, _ in stretches] == [begin, *(last for _, last in stretches[:-1])]
    assert stretches[-1][1] == log_size() == now_of(webhook).told


def test_nothing_new_is_no_message(webhook: Webhook) -> None:
    assert Sending(FINE).round() == []


def test_a_try_that_failed_waits_and_keeps_its_id(shop: Actor, webhook: Webhook) -> None:
    grow(shop)
    sending = Sending(DOWN, FINE)
    (told,) = sending.round()
    assert told.outcome == "waiting"
    assert "Try 2 follows" in told.sentence
    first = Delivery.objects.get()
    assert sending.round() == []
    grow(shop)
    (again,) = sending.round(timedelta(seconds=6))
    assert again.outcome == "delivered"
    assert sending.sent[0] == sending.sent[1]
    assert Delivery.objects.get().id == first.id
    assert now_of(webhook).told == first.until_index < log_size()


def test_it_is_paused_after_the_last_try_and_waits_grow(shop: Actor, webhook: Webhook) -> None:
    grow(shop)
    sending = Sending(DOWN)
    outcomes = [told.outcome for told in sending.round()]
    for wait in WAITS:
        early = sending.round(wait - timedelta(seconds=1))
        assert early == []
        outcomes += [told.outcome for told in sending.round(wait * 0.1 + timedelta(seconds=2))]
    assert outcomes == ["waiting"] * (MOST_TRIES - 1) + ["paused"]
    stands = now_of(webhook)
    assert stands.reason == f"Paused after {MOST_TRIES} tries: {DOWN.sentence}"
    assert sending.round(timedelta(days=30)) == []


def test_one_that_wants_no_more_is_paused_at_once(shop: Actor, webhook: Webhook) -> None:
    grow(shop)
    (told,) = Sending(GONE).round()
    assert told.outcome == "paused"
    assert now_of(webhook).reason.startswith("Paused after 1 try: The receiver answered with")


def test_what_the_receiver_asks_for_is_waited(shop: Actor, webhook: Webhook) -> None:
    grow(shop)
    sending = Sending(Sent("failed", "Busy.", timedelta(minutes=5)), FINE)
    sending.round()
    assert sending.round(timedelta(minutes=4)) == []
    assert [told.outcome for told in sending.round(timedelta(minutes=2))] == ["delivered"]


def test_after_a_resume_nothing_is_missing(shop: Actor, webhook: Webhook) -> None:
    begin = webhook.told
    grow(shop)
    sending = Sending(GONE, FINE)
    sending.round()
    grow(shop, 2)
    resume_webhook(webhook.id, by=shop)
    sending.round()
    assert sending.sent[-1] == (begin, begin + 3)


def test_a_replay_is_a_new_message(shop: Actor, webhook: Webhook) -> None:
    grow(shop)
    sending = Sending(FINE)
    sending.round()
    replay_webhook(webhook.id, begin=0, by=shop)
    sending.round()
    assert sending.sent[-1] == (0, log_size())
    assert Delivery.objects.count() == 2


def test_a_paused_one_gets_nothing(shop: Actor, webhook: Webhook) -> None:
    paused(webhook)
    grow(shop)
    assert Sending(FINE).round() == []


@pytest.mark.parametrize("change", ["removed", "replayed"])
def test_what_changed_while_it_was_sent_is_not_overwritten(
    shop: Actor, webhook: Webhook, change: str
) -> None:
    grow(shop)
    (claimed,) = _made_and_claimed()
    if change == "removed":
        remove_webhook(webhook.id, by=shop)
    else:
        replay_webhook(webhook.id, begin=0, by=shop)
    told = delivering.keep_outcome(claimed, FINE, now=NOON)
    assert told.outcome == "dropped"
    assert not Delivery.objects.filter(outcome="delivered").exists()
    assert not Webhook.objects.exclude(told=0).exists()


def _made_and_claimed() -> list[Delivery]:
    delivering.make_missing(NOON)
    return list(claim_due(NOON, now=NOON))


def test_a_claim_that_its_process_did_not_end_runs_out(shop: Actor, webhook: Webhook) -> None:
    grow(shop)
    (claimed,) = _made_and_claimed()
    sending = Sending(FINE)
    assert sending.round(timedelta(seconds=30)) == []
    assert [told.outcome for told in sending.round(timedelta(minutes=1))] == ["delivered"]
    assert Delivery.objects.get().tries == 2
    # The process that was only slow comes back too late.
    assert delivering.keep_outcome(claimed, DOWN, now=NOON).outcome == "dropped"


@pytest.mark.django_db(transaction=True)
def test_of_many_processes_one_sends() -> None:
    shop = a_shop()
    add_webhook(url=URL, by=shop)
    grow(shop)
    at_once(lambda _: delivering.make_missing(NOON), threads=4)
    assert Delivery.objects.count() == 1
    claims = at_once(lambda _: list(claim_due(NOON, now=NOON)), threads=4)
    assert sum(len(one) for one in claims if isinstance(one, list)) == 1
    assert all(isinstance(one, list) for one in claims)


def test_old_messages_are_forgotten(
    shop: Actor, webhook: Webhook, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(delivering, "MOST_KEPT", 2)
    sending = Sending(FINE)
    for _ in range(4):
        grow(shop)
        sending.round(timedelta(minutes=1))
    assert MOST_KEPT > 2
    kept = Delivery.objects.order_by("made_at").values_list("from_index", "until_index")
    assert list(kept) == sending.sent[-2:]


def test_many_are_sent_to_though_one_is_down(shop: Actor) -> None:
    others = [a_shop(f"shop-{number}") for number in range(3)]
    hooks = [add_webhook(url=URL, by=one).webhook for one in others for _ in range(4)]
    grow(shop)
    sending = Sending(*[DOWN, *[FINE] * (len(hooks) - 1)])
    outcomes = sorted(told.outcome for told in sending.round())
    assert outcomes == ["delivered"] * (len(hooks) - 1) + ["waiting"]


def test_the_sender_signs_what_it_sends(shop: Actor, settings: pytest.FixtureRequest) -> None:
    settings.WEBHOOK_NETWORKS = ["127.0.0.0/8"]  # type: ignore[attr-defined]
    with receiving() as receiver:
        url = f"http://127.0.0.1:{receiver.port}/"
        added = add_webhook(url=url, by=shop)
        grow(shop)
        (told,) = deliver_due()
    assert told.outcome == "delivered"
    (came,) = receiver.received
    assert came.body == message_body(Delivery.objects.get())
    assert came.headers["webhook-id"] == Delivery.objects.get().id
    assert added.secret not in str(came)

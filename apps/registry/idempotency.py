"""A request that is sent twice has one effect and one answer."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils import timezone

from apps.registry.errors import Erased, IdempotencyInProgress, IdempotencyMismatch, StorageBusy
from apps.registry.models import IdempotencyKey
from apps.registry.storage import storage_errors, writing

KEPT_FOR = timedelta(hours=24)
# The status of an answer that is there no more (RFC 9110 section 15.5.11).
GONE = 410


@dataclass(frozen=True, slots=True)
class Answer:
    """What a request was answered; `replayed` when it was answered before."""

    status: int
    headers: tuple[tuple[str, str], ...]
    body: bytes
    replayed: bool = False


def run_once(
    *,
    shop: str,
    key: str,
    digest: str,
    effect: Callable[[], Answer],
    now: datetime | None = None,
) -> Answer:
    """Run an effect once for a key, and give its answer to every repeat.

    The claim on the key and the effect are one transaction: a repeat that comes while the first
    is under way waits for it, and when the effect raises, the claim is gone with it and the
    request may be sent again.

    Parameters
    ----------
    shop, key : str
        Who sent which key.
    digest : str
        SHA-256 of what was asked, 64 hexadecimal digits.
    effect : callable
        Does what was asked and gives the answer; all its writes are in this transaction.

    Raises
    ------
    IdempotencyMismatch
        If the key came with another request before.
    IdempotencyInProgress
        If the first request took longer than the database lets others wait.
    """
    now = now or timezone.now()
    with writing():
        claimed = claim(shop=shop, key=key, digest=digest, now=now)
        if isinstance(claimed, Answer):
            return claimed
        answer = effect()
        finish(claimed, answer)
    return answer


def claim(*, shop: str, key: str, digest: str, now: datetime) -> IdempotencyKey | Answer:
    """Claim a key inside of a transaction; gives the earlier answer when there is one.

    Raises
    ------
    IdempotencyMismatch, IdempotencyInProgress
    """
    IdempotencyKey.objects.older_than(now - KEPT_FOR).filter(shop=shop, key=key).delete()
    row, is_new = _row(shop, key, digest, now)
    if is_new:
        return row
    if row.request_digest != digest:
        raise IdempotencyMismatch(
            "This Idempotency-Key came with another request before. Take a new key."
        )
    return _answer_of(row)


def _row(shop: str, key: str, digest: str, now: datetime) -> tuple[IdempotencyKey, bool]:
    # PostgreSQL makes the second insert of a key wait until the first one's transaction ends;
    # SQLite makes the second transaction wait before it begins.
    try:
        with storage_errors():
            return IdempotencyKey.objects.get_or_create(
                shop=shop, key=key, defaults={"request_digest": digest, "created_at": now}
            )
    except StorageBusy as error:
        raise _still_running() from error


def _answer_of(row: IdempotencyKey) -> Answer:
    if row.status is None:
        raise _still_running()
    if row.status == GONE:
        raise Erased("What this request wrote was erased since. Don't send it again.")
    headers = tuple((name, value) for name, value in json.loads(row.headers))
    return Answer(row.status, headers, bytes(row.body), replayed=True)


def _still_running() -> IdempotencyInProgress:
    return IdempotencyInProgress(
        "The first request with this Idempotency-Key is still under way. Send it again shortly."
    )


def finish(row: IdempotencyKey, answer: Answer) -> None:
    """Keep the answer of a claimed key, inside of the same transaction."""
    row.status = answer.status
    row.headers = json.dumps(answer.headers)
    row.body = answer.body
    row.save(update_fields=["status", "headers", "body"])


def forget_answers(*, shop: str, containing: str) -> None:
    """Forget what answers to a shop hold of a record that was erased.

    Their keys stay, so that a repeat of the request doesn't write the same once more.
    """
    rows = IdempotencyKey.objects.filter(shop=shop).only("id", "body").iterator()
    held = [row.id for row in rows if containing.encode() in bytes(row.body)]
    IdempotencyKey.objects.filter(id__in=held).update(status=GONE, headers="[]", body=b"")


def purge(*, now: datetime) -> int:
    """Forget the answers that are older than 24 hours; gives how many."""
    with writing():
        deleted, _ = IdempotencyKey.objects.older_than(now - KEPT_FOR).delete()
    return deleted

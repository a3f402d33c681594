"""Writing the records of a form: all of them or none, and once however often it is sent."""

from __future__ import annotations

import hashlib
import json
import re
import uuid
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext_lazy

from apps.records.canonical import canonical_bytes
from apps.records.envelope import Draft
from apps.records.reading import document_of
from apps.registry.actions import write_drafts
from apps.registry.actors import Actor
from apps.registry.idempotency import Answer, run_once
from apps.registry.models import IdempotencyKey

TOKEN = re.compile(r"[0-9a-f]{32}", re.ASCII)
CREATED = 201
SPENT = gettext_lazy(
    "This form was written already, and says something else now. Nothing was added."
)


@dataclass(frozen=True, slots=True)
class WrittenForm:
    """What a form became.

    Parameters
    ----------
    token : str
        The form's own.
    records : tuple of str
        Ids of the records.
    """

    token: str
    records: tuple[str, ...]


def new_token() -> str:
    """Give a token for a fresh form, by which a form that is sent twice is known."""
    return uuid.uuid4().hex


def key_of(token: str) -> str:
    """Give the key under which a form is written once."""
    return f"page-job-{token}"


def digest_of(drafts: Sequence[Draft]) -> str:
    """Give SHA-256 of what would be written, to tell whether it is still what was looked at."""
    documents = [document_of(draft) for draft in drafts]
    return hashlib.sha256(canonical_bytes({"jobs": documents})).hexdigest()


def write_once(drafts: Sequence[Draft], *, token: str, by: Actor) -> WrittenForm:
    """Write the records, or give what the same form became before.

    Raises
    ------
    IdempotencyMismatch
        If the form was written before and says something else now.
    RegistryError
        What `write_drafts` raises; nothing was written then.
    """
    answer = run_once(
        shop=by.handle,
        key=key_of(token),
        digest=digest_of(drafts),
        effect=lambda: _written(drafts, by),
    )
    return WrittenForm(token, _records(answer.body))


def _written(drafts: Sequence[Draft], by: Actor) -> Answer:
    written = write_drafts(drafts=drafts, by=by)
    # An erasure looks for the ids in here, so that a repeat doesn't write the same once more.
    body = json.dumps({"records": [one.record_id for one in written]}).encode()
    return Answer(status=CREATED, headers=(), body=body)


def _records(body: bytes) -> tuple[str, ...]:
    return tuple(json.loads(body)["records"])


def written_by(shop: str, token: str) -> WrittenForm | None:
    """Say what a form of the shop became; None for none that is known."""
    if not TOKEN.fullmatch(token):
        return None
    kept = IdempotencyKey.objects.filter(shop=shop, key=key_of(token), status=CREATED).first()
    return WrittenForm(token, _records(bytes(kept.body))) if kept else None

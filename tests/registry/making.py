"""Makes the shops, drafts and signed records that tests of the registry start from."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from django.conf import settings

from apps.records.canonical import canonical_bytes
from apps.records.envelope import Draft
from apps.records.examples import BODIES
from apps.records.reading import compose, read_draft
from apps.records.signing import PrivateKey
from apps.registry import actions
from apps.registry.actors import OPERATOR, Actor, peer_actor, shop_actor
from apps.registry.door import append_records
from apps.registry.identity import ensure_identity
from apps.registry.models import Shop
from apps.registry.submissions import Appended, Submission, Written

NOW = datetime(2025, 3, 1, 12, 0, tzinfo=UTC)
# The log begins with the key of the node and the key of the first shop.
FIRST = 2
TAG = "FB-0042"
DAY = "2025-01-31"


def key_of(code: str) -> PrivateKey:
    """A fixed key for a shop, so that a test that fails does so again."""
    return PrivateKey.from_seed(code.encode().ljust(32, b"."))


def a_shop(code: str = "fellbench") -> Actor:
    """Add a shop with a fixed key, to a node with one; gives its actor."""
    ensure_identity(key=key_of("node"))
    shop = actions.add_shop(code=code, label=f"{code} workshop", by=OPERATOR, key=key_of(code))
    return shop_actor(shop.handle)


def handle(code: str) -> str:
    """The handle of a shop of this node."""
    return f"{code}@{settings.NODE_HOST}"


def a_draft(kind: str, *, shop: str = "fellbench", tag: str = TAG, **members: Any) -> Draft:
    """A draft about a tag, with the schema's example for a body unless one is given."""
    draft: dict[str, Any] = {
        "ski": {"shop": shop, "tag": tag},
        "performed_at": DAY,
        "body": BODIES[kind],
        **members,
    }
    return read_draft(kind, draft, node_host=settings.NODE_HOST)


def a_submission(
    draft: Draft, *, code: str = "fellbench", salt: str | None = None, **more: Any
) -> Submission:
    """A draft as a record that the shop signed itself."""
    key = key_of(code)
    document = compose(draft, author=handle(code), key=key.key_id, salt=salt)
    return signed(document, key=key, **more)


def signed(document: Mapping[str, Any], *, key: PrivateKey, **more: Any) -> Submission:
    """A document as a record signed by a key."""
    data = canonical_bytes(document)
    return Submission(data=data, signature=key.sign_text(data), **more)


def write(by: Actor, *drafts: Draft, registers: bool = False) -> list[Written]:
    """Write drafts at the tests' time."""
    return actions.write_drafts(drafts=drafts, by=by, registers=registers, now=NOW)


def pulled(*submissions: Submission, peer: str = "fjall.example") -> list[Appended]:
    """Append what a peer brings, at the tests' time."""
    return append_records(submissions=submissions, by=peer_actor(peer), now=NOW)


def a_ski(by: Actor, *, tag: str = TAG) -> Written:
    """Register a ski under a tag of the shop."""
    code = by.handle.partition("@")[0]
    (appended,) = write(by, a_draft("description", shop=code, tag=tag), registers=True)
    return appended


def shop_row(by: Actor) -> Shop:
    """The row of an actor's shop."""
    return Shop._default_manager.get(handle=by.handle)

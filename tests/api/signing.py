"""What a shop that keeps its own key does: makes it, proves it, signs with it, hands records in."""

from __future__ import annotations

import json
from typing import Any

from django.conf import settings

from apps.records.canonical import canonical_bytes, record_id
from apps.records.key_proof import prove
from apps.records.reading import compose, read_draft
from apps.records.signing import PrivateKey
from apps.registry.actors import Scope
from tests.api.client import Answered, ApiClient
from tests.api.making import a_client, draft, handle_of
from tests.registry.making import key_of


def keeper(code: str = "fellbench") -> ApiClient:
    """A client of a shop that is there, which keeps its signing keys."""
    return a_client(code, Scope.KEYS, new=False)


def register_key(client: ApiClient, name: str = "own") -> Answered:
    """Register a fixed key of that name."""
    key = key_of(name)
    return client.post("keys", {"public": key.public.text, "proof": prove(key, client.handle)})


def signed_by(
    code: str, kind: str, key: PrivateKey, *, salt: str | None = None, **members: Any
) -> dict[str, Any]:
    """A record of a shop as it goes into a request: signed, with its id beside it."""
    read = read_draft(kind, draft(kind, **members), node_host=settings.NODE_HOST)
    document = compose(read, author=handle_of(code), key=key.key_id, salt=salt)
    return signed(document, key)


def signed(document: dict[str, Any], key: PrivateKey) -> dict[str, Any]:
    """A document signed by a key."""
    return {"record": document, "signature": key.sign_text(canonical_bytes(document))}


def put(client: ApiClient, request: dict[str, Any], name: str | None = None) -> Answered:
    """Put a signed record under its id, or under another name."""
    own = record_id(canonical_bytes(request["record"]))
    return client.put(f"records/{name or own}", request)


def bytes_of(answer: Answered) -> bytes:
    """The canonical bytes of the record in an answer."""
    return canonical_bytes(json.loads(answer.content)["record"])

"""Reads what a client sends for a record, and refuses another shop's name as the author."""

from __future__ import annotations

from datetime import UTC
from typing import Any, cast

from django.conf import settings
from django.utils import timezone

from apps.records.envelope import Draft, DraftEnvelope
from apps.records.errors import FieldError, InvalidRecord
from apps.records.reading import read_draft
from apps.registry.actors import Actor
from apps.registry.errors import NotAllowed


def read_own_draft(kind: str, document: object, *, by: Actor) -> Draft:
    """Read a draft that a shop may write.

    Raises
    ------
    InvalidRecord
        With all that is wrong at once.
    NotAllowed
        If it names another author.
    """
    draft = read_draft(kind, object_of(document), node_host=settings.NODE_HOST)
    only_own_name(draft, by)
    return draft


def object_of(document: object) -> dict[str, Any]:
    """Give a document that is an object.

    Raises
    ------
    InvalidRecord
        If it is a list, a string or a number.
    """
    if not isinstance(document, dict):
        raise InvalidRecord(FieldError("", "not-an-object", "Write an object in braces here."))
    return cast("dict[str, Any]", document)


def only_own_name(draft: DraftEnvelope, by: Actor) -> None:
    """A shop writes under its own name only.

    Raises
    ------
    NotAllowed
        If the draft names another author.
    """
    if draft.author not in (None, by.handle):
        raise NotAllowed(
            f"This key writes as {by.handle}, not as {draft.author}. Leave the author out.",
            pointer="/author",
        )


def now_text() -> str:
    """Write this moment as a record may carry it: in UTC, in whole seconds."""
    return timezone.now().astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")

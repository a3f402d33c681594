"""A stored record as JSON: its bytes in the middle, untouched, with what is kept beside them."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Protocol

from apps.api.rendering import Verbatim
from apps.registry.submissions import Appended


class Stored(Protocol):
    """What a row of the records table gives, whichever columns were asked for."""

    @property
    def id(self) -> str:
        """The record's id."""
        ...

    @property
    def document(self) -> bytes | memoryview:
        """Its canonical bytes."""
        ...

    @property
    def signature(self) -> str:
        """Its signature."""
        ...

    @property
    def rank(self) -> str:
        """Who held the key that signed it."""
        ...

    @property
    def received_at(self) -> datetime:
        """When it came."""
        ...

    @property
    def log_index(self) -> int:
        """Its place in the log."""
        ...

    @property
    def erased_by(self) -> str:
        """The erasure record by which its bytes were emptied, "" while they are here."""
        ...


def instant(moment: datetime) -> str:
    """Write a moment in UTC, in milliseconds (RFC 3339)."""
    return f"{moment.astimezone(UTC).replace(tzinfo=None).isoformat(timespec='milliseconds')}Z"


def members(record: Stored) -> dict[str, object]:
    """Give the members of an answer with a stored record, or with what is left of it."""
    if record.erased_by:
        return erased_members(record)
    return {
        "id": record.id,
        "log_index": record.log_index,
        "received_at": instant(record.received_at),
        "signature": record.signature,
        "rank": record.rank,
        # PostgreSQL hands binary columns out as a memoryview.
        "record": Verbatim(bytes(record.document)),
    }


def erased_members(record: Stored) -> dict[str, object]:
    """Give the members of an answer with a record that was erased: its id and its place."""
    return {
        "id": record.id,
        "log_index": record.log_index,
        "received_at": instant(record.received_at),
        "state": "erased",
        "erased_by": record.erased_by,
    }


def row_members(record: Stored) -> dict[str, object]:
    """Give the members of a row of the log, as a peer or an export takes it."""
    place: dict[str, object] = {"index": record.log_index, "id": record.id}
    if record.erased_by:
        return {**place, "erased_by": record.erased_by}
    document = Verbatim(bytes(record.document))
    return {**place, "signature": record.signature, "record": document}


def appended_members(appended: Appended) -> dict[str, object]:
    """Give the members of an answer with a record that was just written."""
    return {
        "id": appended.record_id,
        "log_index": appended.log_index,
        "received_at": instant(appended.received_at),
        "signature": appended.signature,
        "rank": appended.rank,
        "record": Verbatim(appended.data),
    }

"""One record as it was signed: its bytes, its signature, and its place in the log."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from apps.pages.ski.moments import moment_text
from apps.pages.words import word
from apps.pages.words.records import RECORD_KINDS
from apps.registry.errors import UnknownRecord
from apps.registry.joining import JoinedSki
from apps.registry.models import Record
from apps.registry.naming import short_shop


@dataclass(frozen=True, slots=True)
class RecordShown:
    """A record as it is kept.

    Parameters
    ----------
    kind : str
        In words; of a later format as it names itself.
    day : date
        When it was done, as it was first written.
    document : str
        Its canonical JSON, as it was signed; "" where it was erased.
    erased_by : str
        Id of the erasure record; "" while the bytes are here.
    rank : str
        Who held the key, in words.
    """

    record_id: str
    kind: str
    day: date
    shop: str
    document: str
    signature: str
    key_id: str
    rank: str
    log_index: int
    received_at: str
    origin: str
    erased_by: str


def find_record(ski: JoinedSki, record_id: str) -> Record:
    """Find one record of a ski.

    Raises
    ------
    UnknownRecord
        If it is none of this ski's.
    """
    found = Record.objects.of_tags(ski.tags).filter(id=record_id).first()
    if found is None:
        raise UnknownRecord("This ski has no such record.")
    return found


def record_shown(found: Record) -> RecordShown:
    """Write out one record with what stands beside its bytes."""
    return RecordShown(
        found.id,
        str(RECORD_KINDS.get(found.kind, found.kind)),
        found.performed_day,
        short_shop(found.author),
        bytes(found.document).decode(),
        found.signature,
        found.key_id,
        word("rank", found.rank),
        found.log_index,
        moment_text(found.received_at),
        found.origin,
        found.erased_by,
    )

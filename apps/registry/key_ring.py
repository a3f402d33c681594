"""Which keys sign for whom, and over which stretch of the log: read from the records of keys."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field

from apps.records.envelope import KeyEndRecord, KeyRecord
from apps.records.reading import read_document
from apps.records.signing import PublicKey
from apps.registry.models import Record, SigningKey
from apps.registry.models.record import NODE_KINDS
from apps.registry.submissions import Entry, Submission, entry_of


@dataclass(slots=True)
class KeyRing:
    """The keys that are known at some place of the log, by id.

    Parameters
    ----------
    keys : dict of str to SigningKey
        Rows of the index.
    changed : list of SigningKey
        Those that records began or ended since the keys were read.
    """

    keys: dict[str, SigningKey] = field(default_factory=dict)
    changed: list[SigningKey] = field(default_factory=list)

    def take(self, entry: Entry, log_index: int) -> None:
        """Take a record into account, at its place in the log."""
        record = entry.record
        if isinstance(record, KeyRecord):
            self._begin(key_of(entry.record_id, record, log_index))
        elif isinstance(record, KeyEndRecord):
            self._end(entry.record_id, record.body.key, log_index)

    def _begin(self, key: SigningKey) -> None:
        if key.key_id not in self.keys:
            self.keys[key.key_id] = key
            self.changed.append(key)

    def _end(self, record_id: str, key_id: str, log_index: int) -> None:
        key = self.keys.get(key_id)
        if key is not None and key.ends_at is None:
            key.ended_by, key.ends_at = record_id, log_index
            self.changed.append(key)

    def store(self) -> None:
        """Bring the index up to what records began and ended."""
        for key in self.changed:
            key.save()
        self.changed.clear()

    def has_key_of(self, author: str) -> bool:
        """Say whether any key of an author is known, ended or not."""
        return any(key.author == author for key in self.keys.values())


def key_of(record_id: str, record: KeyRecord, log_index: int) -> SigningKey:
    """Make the row of a key that a record brings in."""
    public = PublicKey.from_text(record.body.public)
    return SigningKey(
        key_id=public.key_id,
        author=record.body.shop,
        public=public.raw,
        held_by=str(record.body.held_by),
        record_id=record_id,
        valid_from=log_index,
    )


def read_ring() -> KeyRing:
    """Read the keys from their records, in the order of the log; `changed` holds them all."""
    ring = KeyRing()
    for entry, log_index in key_entries():
        ring.take(entry, log_index)
    return ring


def key_entries() -> Iterator[tuple[Entry, int]]:
    """Give each record of a key or its end, with its place, in the order of the log."""
    rows = Record.objects.readable().filter(kind__in=NODE_KINDS).order_by("log_index")
    for row in rows.stored():
        submission = Submission(row.document, row.signature)
        yield entry_of(0, read_document(json.loads(row.document)), submission), row.log_index


def first_key(entry: Entry, log_index: int) -> SigningKey | None:
    """Give the key of a node's first word: the key record that is signed with its own key."""
    record = entry.record
    if not isinstance(record, KeyRecord) or record.body.shop != record.author:
        return None
    key = key_of(entry.record_id, record, log_index)
    return key if key.key_id == record.key else None

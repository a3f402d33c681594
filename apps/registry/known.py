"""What the log already says of the things that a call names, read in a fixed number of queries."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

from apps.records.envelope import Record as SignedRecord
from apps.records.reading import read_document
from apps.registry.models import Record, SigningKey, Tag
from apps.registry.querysets import StoredRecord
from apps.registry.submissions import Entry


@dataclass(slots=True)
class Known:
    """What is known at this point of the call; each entry that passes is added for the next.

    Parameters
    ----------
    size : int
        Length of the log, so the position of the next record.
    now : datetime
        When the call came in.
    skis : dict
        Key of the ski by tag key.
    stored : dict
        Records that are here, by id.
    records : dict
        Those and the entries that passed, read, by id.
    retracted : set
        Ids of records that were taken back.
    keys : dict
        Signing keys by id.
    """

    size: int
    now: datetime
    skis: dict[str, str] = field(default_factory=dict)
    stored: dict[str, StoredRecord] = field(default_factory=dict)
    records: dict[str, SignedRecord] = field(default_factory=dict)
    retracted: set[str] = field(default_factory=set)
    keys: dict[str, SigningKey] = field(default_factory=dict)

    def add(self, entry: Entry) -> None:
        """Take an entry that passed into account for those after it."""
        self.size += 1
        self.records[entry.record_id] = entry.record
        self.skis.setdefault(entry.tag_key, entry.tag_key)
        if entry.record.kind == "retraction":
            self.retracted.add(entry.target)


def read_known(entries: Sequence[Entry], *, size: int, now: datetime) -> Known:
    """Read what is known of the tags, records and keys that entries name: four queries."""
    named = {e.record_id for e in entries} | {e.target for e in entries if e.target}
    named |= {record for e in entries for _, record, _ in e.closings}
    stored = {s.id: s for s in Record.objects.filter(id__in=named).stored()}
    tags = Tag.objects.filter(key__in={e.tag_key for e in entries})
    keys = SigningKey.objects.filter(key_id__in={e.record.key for e in entries})
    retractions = Record.objects.of_kind("retraction").filter(target__in=named)
    return Known(
        size=size,
        now=now,
        skis=dict(tags.values_list("key", "ski_id")),
        stored=stored,
        records={i: read_trusted(s.document) for i, s in stored.items()},
        retracted=set(retractions.values_list("target", flat=True)),
        keys=keys.in_bulk(),
    )


def read_trusted(document: bytes) -> SignedRecord:
    """Read stored bytes; they passed the door, so their canonical form is not checked again."""
    return read_document(json.loads(document))

"""What the log already says of the things that a call names, read in a fixed number of queries."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import cast

from django.db.models import Q, QuerySet

from apps.records.envelope import KeyEndRecord, KeyRecord
from apps.records.envelope import Record as SignedRecord
from apps.records.folding import Folded, fold
from apps.records.reading import read_document
from apps.records.signing import PublicKey
from apps.registry.erased import Erasures, erasure_of, read_erasures
from apps.registry.key_ring import KeyRing
from apps.registry.models import Finding, Record, SigningKey, Tag
from apps.registry.models.record import FORMAT, NODE_KINDS
from apps.registry.querysets import StoredRecord
from apps.registry.submissions import Entry, SkiEntry, closings_of


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
        Those about skis and the entries about skis that passed, read, by id.
    not_of_skis : set
        Ids of those that are keys or ends of keys.
    entered : dict
        The place in the log of each that is here or passed, by id.
    closed : dict
        Which findings, as record and number, a job closes, by the job's id.
    retracted : set
        Ids of records that were taken back.
    erasures : dict
        Erasure records about what entries hand in, by the id of the record that they are about.
    ring : KeyRing
        The signing keys.
    """

    size: int
    now: datetime
    skis: dict[str, str] = field(default_factory=dict)
    stored: dict[str, StoredRecord] = field(default_factory=dict)
    records: dict[str, SignedRecord] = field(default_factory=dict)
    not_of_skis: set[str] = field(default_factory=set)
    entered: dict[str, int] = field(default_factory=dict)
    closed: dict[str, set[tuple[str, int]]] = field(default_factory=dict)
    retracted: set[str] = field(default_factory=set)
    erasures: Erasures = field(default_factory=dict)
    ring: KeyRing = field(default_factory=KeyRing)

    def add(self, entry: Entry) -> None:
        """Take an entry that passed into account for those after it."""
        self.entered[entry.record_id] = self.size
        self.ring.take(entry, self.size)
        self.size += 1
        if isinstance(entry, SkiEntry):
            self._add_of_ski(entry)

    def _add_of_ski(self, entry: SkiEntry) -> None:
        self.records[entry.record_id] = entry.record
        job = entry.target or entry.record_id
        self.closed[job] = {closed for _, closed in closings_of(entry.stated[2])}
        if registers_tag(entry):
            self.skis.setdefault(entry.tag_key, entry.tag_key)
        if entry.record.kind == "retraction":
            self.retracted.add(entry.target)
        if entry.record.kind == "erasure":
            self.erasures.setdefault(entry.target, []).append(erasure_of(entry))

    def folded(self, record_id: str, *more: SkiEntry) -> Folded | None:
        """Say what became of a record, and what would become of it with more entries.

        Give the original, also for the id of one of its corrections; None where it isn't here.
        """
        records = self.records | {one.record_id: one.record for one in more}
        original = _original_of(record_id, records)
        own = [i for i in records if _original_of(i, records) == original]
        result = fold((i, records[i], self.entered.get(i, self.size)) for i in own)
        return result.records[0] if result.records else None

    def closers_of(self, record_id: str) -> dict[int, str]:
        """Give the job that closes a finding of a record, by the number of the finding."""
        return {
            number: closer
            for closer, closed in self.closed.items()
            for found_in, number in closed
            if found_in == record_id
        }


def _original_of(record_id: str, records: Mapping[str, SignedRecord]) -> str:
    """Give the record that an amendment is about in the end; its own id for an original."""
    while (record := records.get(record_id)) and record.refers_to:
        (record_id,) = record.refers_to
    return record_id


def read_known(entries: Sequence[Entry], *, size: int, now: datetime) -> Known:
    """Read what is known of what entries name: five queries, two more for amendments."""
    stored = _stored(entries)
    records = {i: read_trusted(s.document) for i, s in stored.items() if is_of_ski(s)}
    tags = Tag.objects.filter(key__in={key for e in entries for key in e.tag_keys})
    return Known(
        size=size,
        now=now,
        skis=dict(tags.values_list("key", "ski__cluster")),
        stored=stored,
        records=records,
        not_of_skis={i for i, s in stored.items() if s.kind in NODE_KINDS},
        entered={i: s.log_index for i, s in stored.items() if not s.erased_by},
        closed=_closed({_original_of(e.target, records) for e in entries if e.target}, entries),
        retracted={s.target for i, s in stored.items() if i in records and s.kind == "retraction"},
        erasures=read_erasures(e.record_id for e in entries),
        ring=KeyRing(_keys(entries).in_bulk()),
    )


def is_of_ski(stored: StoredRecord) -> bool:
    """Say whether a stored record is about a ski and can be read here."""
    is_readable = stored.format == FORMAT and not stored.erased_by
    return is_readable and stored.kind not in NODE_KINDS


def registers_tag(entry: SkiEntry) -> bool:
    """Say whether a record may put its tag on a ski: a description by the tag's own shop."""
    return entry.record.kind == "description" and entry.record.author == entry.record.ski.shop


def _keys(entries: Iterable[Entry]) -> QuerySet[SigningKey]:
    """Find the keys that sign, begin or end, and all of a node that writes of its own."""
    named = {e.frame.key for e in entries}
    nodes = set()
    for entry in entries:
        record = entry.record
        if isinstance(record, KeyEndRecord):
            named.add(record.body.key)
        elif isinstance(record, KeyRecord):
            named.add(PublicKey.from_text(record.body.public).key_id)
            nodes.add(record.author)
    return SigningKey.objects.filter(Q(key_id__in=named) | Q(author__in=nodes))


def _stored(entries: Iterable[Entry]) -> dict[str, StoredRecord]:
    """Read the records that entries name, what those amend, and all that amends any of them."""
    named = {e.record_id for e in entries} | {e.target for e in entries if e.target}
    named |= {record for e in entries for _, record, _ in e.closings}
    about = Record.objects.filter(id__in=named, target__gt="").values("target")
    found = {s.id: s for s in Record.objects.filter(Q(id__in=named) | Q(id__in=about)).stored()}
    found |= _amendments_of(found)
    return found | _amendments_of(i for i, s in found.items() if s.kind == "correction")


def _amendments_of(targets: Iterable[str]) -> dict[str, StoredRecord]:
    # The index of targets leaves "" out, and SQLite takes it only where the query does so too.
    amendments = Record.objects.exclude(target="").filter(target__in=list(targets))
    return {s.id: s for s in amendments.stored()}


def _closed(jobs: set[str], entries: Iterable[Entry]) -> dict[str, set[tuple[str, int]]]:
    """Read which findings of the jobs that entries amend are closed, and by which records."""
    closed: defaultdict[str, set[tuple[str, int]]] = defaultdict(set)
    if jobs:
        skis = Tag.objects.filter(key__in={e.tag_key for e in entries}).values("ski__cluster")
        rows = Finding._default_manager.filter(tag__ski__cluster__in=skis, closes_record__in=jobs)
        for closer, job, number in rows.values_list("record", "closes_record", "closes_number"):
            if job is not None and number is not None:
                closed[closer].add((job, number))
    return closed


def read_trusted(document: bytes) -> SignedRecord:
    """Read stored bytes of a record about a ski.

    They passed the door, so their canonical form is not checked again.
    """
    return cast("SignedRecord", read_document(json.loads(document)))

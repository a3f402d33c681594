"""Checking a bundle without a network: every byte, every proof, every key, every signature."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from apps.records.bundle_file import Bundle, BundleBody, body_bytes, host_of, read_bundle, tag_text
from apps.records.bundle_joins import join_faults, subject_faults
from apps.records.bundle_keys import KeyBook
from apps.records.bundle_report import BundleFacts, BundleReport, Fault
from apps.records.bundle_rows import ReadRows, read_rows
from apps.records.checkpoint import CheckpointReading, read_checkpoint
from apps.records.envelope import ErasureRecord
from apps.records.errors import InvalidRecord, MalformedNote
from apps.records.names import node_handle
from apps.records.notes import VerifierKey
from apps.records.reading import FutureRecord

NODE_KEY = "/bundle/node_key"
CHECKPOINT = "/bundle/checkpoint"
RECORDS = "/bundle/records"
KEYS = "/bundle/keys"


def verify_bundle(data: bytes, pinned: str | None = None) -> BundleReport:
    """Check a bundle: whether it is whole, unchanged, and vouched for at every point.

    Parameters
    ----------
    data : bytes
        The file, byte for byte.
    pinned : str, optional
        The verifier key that the node's must be; the one in the file is taken when absent.

    Returns
    -------
    BundleReport
        Everything that fails at once, unless the file can't even be read.
    """
    try:
        bundle = read_bundle(data)
    except InvalidRecord as error:
        return BundleReport(tuple(Fault(e.pointer, e.code, e.message) for e in error.errors), None)
    try:
        key = VerifierKey.from_text(bundle.bundle.node_key)
    except MalformedNote as error:
        return BundleReport((Fault(NODE_KEY, "malformed-key", str(error)),), None)
    try:
        reading = read_checkpoint(bundle.bundle.checkpoint.encode(), key)
    except MalformedNote as error:
        return BundleReport((Fault(CHECKPOINT, "malformed-checkpoint", str(error)),), None)
    signed = body_bytes(data, bundle)
    seal = tuple(_seal_faults(bundle, signed, key, reading, pinned))
    return _Pass.over(bundle.bundle, key, reading).report(seal, pinned=pinned is not None)


def _seal_faults(
    bundle: Bundle, signed: bytes, key: VerifierKey, reading: CheckpointReading, pinned: str | None
) -> Iterator[Fault]:
    """Yield what is wrong with the node's key and with what it signed."""
    if pinned is not None and bundle.bundle.node_key != pinned:
        yield Fault(NODE_KEY, "another-node-key", "It is signed with another key than you gave.")
    if not key.public.verify(signed, bundle.signature).holds:
        sentence = "The node's signature doesn't match: the file was changed after it was signed."
        yield Fault("/signature", "bad-signature", sentence)
    if not reading.holds:
        yield Fault(CHECKPOINT, "bad-checkpoint", reading.sentence)


@dataclass(slots=True)
class _Pass:
    """A bundle whose rows were read, with the keys that they state."""

    body: BundleBody
    key: VerifierKey
    size: int
    keys: ReadRows
    records: ReadRows
    book: KeyBook

    @classmethod
    def over(cls, body: BundleBody, key: VerifierKey, reading: CheckpointReading) -> _Pass:
        keys = read_rows(KEYS, body.keys, reading.checkpoint)
        records = read_rows(RECORDS, body.records, reading.checkpoint)
        return cls(body, key, reading.checkpoint.size, keys, records, KeyBook())

    def report(self, seal: Iterable[Fault], *, pinned: bool) -> BundleReport:
        faults = (
            *seal,
            *self.records.faults,
            *self.keys.faults,
            *self._key_faults(),
            *(fault for row in self.records.signed for fault in self.book.faults_of(row)),
            *self._erasure_faults(),
            *subject_faults(self.body, self.records.signed),
            *join_faults(self.body, self.records.signed),
        )
        return BundleReport(faults, self._facts(pinned=pinned))

    def _key_faults(self) -> Iterator[Fault]:
        for place, _ in self.keys.erased:
            yield Fault(place, "erased-key", "The record of a key is never erased.")
        for row in self.keys.signed:
            yield from self.book.take(row)
        if not self.book.live_key(node_handle(host_of(self.key)), self.key.public):
            sentence = "The node's key is not one that its own log states and has not ended."
            yield Fault(NODE_KEY, "unstated-node-key", sentence)

    def _erasure_faults(self) -> Iterator[Fault]:
        erasures = {
            row.record_id: row.record.refers_to
            for row in self.records.signed
            if isinstance(row.record, ErasureRecord)
        }
        for place, row in self.records.erased:
            if erasures.get(row.erased_by or "") != (row.id,):
                sentence = "No erasure record in the file says that this record was erased."
                yield Fault(place, "no-erasure", sentence)

    def _facts(self, *, pinned: bool) -> BundleFacts:
        signed = self.records.signed
        own_host = host_of(self.key)
        return BundleFacts(
            ski=tag_text(self.body.ski),
            tags=tuple(map(tag_text, self.body.tags)),
            links=self.body.links,
            origin=self.key.name,
            size=self.size,
            node_key=self.key.text,
            pinned=pinned,
            records=len(self.body.records),
            erased=len(self.records.erased),
            later=sum(isinstance(row.record, FutureRecord) for row in signed),
            ranks=Counter(self.book.ranks_of(signed)),
            first_seen=tuple(host for host in self.book.first_seen if host != own_host),
        )

"""What is handed to the door, what the door reads of it, and what it gives back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from apps.records.canonical import record_id
from apps.records.envelope import AnyRecord, CorrectionRecord, NodeRecord, Record
from apps.records.errors import InvalidRecord
from apps.records.job import JobBody
from apps.records.keeping import PairBody
from apps.records.link import LinkBody
from apps.records.model import RecordModel
from apps.records.moments import PerformedAt
from apps.records.reading import FutureEnvelope, FutureRecord, read_record
from apps.registry.errors import InvalidSubmission
from apps.registry.models.ski import tag_key

REPLACEMENT = "/body/replacement"


@dataclass(frozen=True, slots=True)
class Submission:
    """A signed record, handed in.

    Parameters
    ----------
    data : bytes
        The canonical bytes.
    signature : str
        Ed25519 over the bytes, base64url without padding.
    registers : bool
        Whether it is meant to put the tag on a new ski, so that a tag in use is refused.
    origin : str
        Host of the node it came from; "" when it was handed in here. The door fills it in.
    """

    data: bytes
    signature: str
    registers: bool = False
    origin: str = ""


@dataclass(frozen=True, slots=True)
class Appended:
    """A record and its place in the log; `is_new` is False when it was here before."""

    record_id: str
    record: AnyRecord | FutureRecord
    data: bytes
    signature: str
    rank: str
    log_index: int
    received_at: datetime
    is_new: bool


@dataclass(frozen=True, slots=True)
class Written(Appended):
    """A record about a ski and its place in the log."""

    record: Record


@dataclass(frozen=True, slots=True)
class Entry:
    """A submission as read, with its number in the call."""

    number: int
    record_id: str
    record: AnyRecord | FutureRecord
    submission: Submission

    @property
    def frame(self) -> AnyRecord | FutureEnvelope:
        """What every format says around a body."""
        record = self.record
        return record.envelope if isinstance(record, FutureRecord) else record

    @property
    def tag_key(self) -> str:
        """The tag it is about, as one string; "" where it is about no ski."""
        ski = None if isinstance(self.frame, NodeRecord) else self.frame.ski
        return tag_key(ski.shop, ski.tag) if ski else ""

    @property
    def tag_keys(self) -> Iterator[str]:
        """All tags that it names."""
        if self.tag_key:
            yield self.tag_key

    @property
    def target(self) -> str:
        """The record that it corrects, takes back, disputes or erases; "" for other kinds."""
        return ""

    @property
    def moments(self) -> Iterator[tuple[str, PerformedAt]]:
        """Pointer and time of all that it dates."""
        yield "/performed_at", self.frame.performed_at

    @property
    def closings(self) -> Iterator[tuple[str, str, int]]:
        """Pointer, record and number of each earlier finding that it closes."""
        yield from ()


@dataclass(frozen=True, slots=True)
class NodeEntry(Entry):
    """A record about no ski: a key or the end of one."""

    record: NodeRecord


@dataclass(frozen=True, slots=True)
class FutureEntry(Entry):
    """A record of a later format, which is kept and relayed, and read no further."""

    record: FutureRecord


@dataclass(frozen=True, slots=True)
class SkiEntry(Entry):
    """A record about a ski, of the format that this version reads."""

    record: Record

    @property
    def tag_keys(self) -> Iterator[str]:
        """The tag it is about, and the other one where it pairs or links two."""
        yield self.tag_key
        _, _, body = self.stated
        if isinstance(body, PairBody | LinkBody):
            yield tag_key(body.other_ski.shop, body.other_ski.tag)

    @property
    def target(self) -> str:
        """The record that it corrects, takes back, disputes or erases; "" for other kinds."""
        return self.record.refers_to[0] if self.record.refers_to else ""

    @property
    def stated(self) -> tuple[str, PerformedAt, RecordModel]:
        """Pointer, time and body of what it states: its own, or the replacement's."""
        record = self.record
        if isinstance(record, CorrectionRecord):
            replacement = record.body.replacement
            return REPLACEMENT, replacement.performed_at, replacement.body
        return "", record.performed_at, record.body

    @property
    def moments(self) -> Iterator[tuple[str, PerformedAt]]:
        """Pointer and time of all that it dates: a correction dates itself and what it states."""
        pointer, performed_at, _ = self.stated
        yield f"{pointer}/performed_at", performed_at
        if pointer:
            yield "/performed_at", self.record.performed_at

    @property
    def closings(self) -> Iterator[tuple[str, str, int]]:
        """Pointer, record and number of each earlier finding that it closes."""
        pointer, _, body = self.stated
        for number, closed in closings_of(body):
            yield f"{pointer}/body/findings/{number}/closes", *closed


def closings_of(body: RecordModel) -> Iterator[tuple[int, tuple[str, int]]]:
    """Give the number of each finding that closes an earlier one, and which it closes."""
    for number, finding in enumerate(body.findings if isinstance(body, JobBody) else ()):
        if finding.closes:
            yield number, (finding.closes.record, finding.closes.index)


def read_entries(
    submissions: Sequence[Submission],
) -> tuple[list[Entry], list[InvalidSubmission]]:
    """Read submissions strictly; gives what is a record, and what is wrong with the rest."""
    entries: list[Entry] = []
    errors: list[InvalidSubmission] = []
    for number, submission in enumerate(submissions):
        try:
            record = read_record(submission.data)
        except InvalidRecord as error:
            errors.append(InvalidSubmission(error.errors, submission=number))
        else:
            entries.append(entry_of(number, record, submission))
    return entries, errors


def entry_of(number: int, record: AnyRecord | FutureRecord, submission: Submission) -> Entry:
    """Make the entry of a record that was read, by what it is about."""
    id_ = record_id(submission.data)
    if isinstance(record, FutureRecord):
        return FutureEntry(number, id_, record, submission)
    if isinstance(record, NodeRecord):
        return NodeEntry(number, id_, record, submission)
    return SkiEntry(number, id_, record, submission)

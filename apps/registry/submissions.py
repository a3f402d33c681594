"""What is handed to the door, what the door reads of it, and what it gives back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from apps.records.canonical import record_id
from apps.records.envelope import CorrectionRecord, Record
from apps.records.errors import FieldError, InvalidRecord
from apps.records.job import JobBody
from apps.records.keeping import PairBody
from apps.records.model import RecordModel
from apps.records.moments import PerformedAt
from apps.records.reading import FutureRecord, read_record
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
        Host of the node it came from; "" when it was handed in here.
    """

    data: bytes
    signature: str
    registers: bool = False
    origin: str = ""


@dataclass(frozen=True, slots=True)
class Appended:
    """A record and its place in the log; `is_new` is False when it was here before."""

    record_id: str
    record: Record
    data: bytes
    signature: str
    log_index: int
    received_at: datetime
    is_new: bool


@dataclass(frozen=True, slots=True)
class Entry:
    """A submission as read, with its number in the call."""

    number: int
    record_id: str
    record: Record
    submission: Submission

    @property
    def tag_key(self) -> str:
        """The tag it is about, as one string."""
        return tag_key(self.record.ski.shop, self.record.ski.tag)

    @property
    def tag_keys(self) -> Iterator[str]:
        """The tag it is about, and the other ski's where it pairs two."""
        yield self.tag_key
        _, _, body = self.stated
        if isinstance(body, PairBody):
            yield tag_key(body.other_ski.shop, body.other_ski.tag)

    @property
    def target(self) -> str:
        """The record it corrects or takes back; "" for other kinds."""
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
            record = read_strictly(submission.data)
        except InvalidRecord as error:
            errors.append(InvalidSubmission(error.errors, submission=number))
        else:
            entries.append(Entry(number, record_id(submission.data), record, submission))
    return entries, errors


def read_strictly(data: bytes) -> Record:
    """Read a record of this format from its canonical bytes.

    Raises
    ------
    InvalidRecord
        With all that is wrong; a later format is refused until this node can read it.
    """
    record = read_record(data)
    if isinstance(record, FutureRecord):
        sentence = f"This node reads format 1 only, not {record.envelope.format}."
        raise InvalidRecord(FieldError("/format", "later-format", sentence))
    return record

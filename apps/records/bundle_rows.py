"""The rows of a bundle, read and checked one by one: order, place in the log, id, shape."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from apps.records.bundle_file import BundleRow
from apps.records.bundle_report import Fault
from apps.records.canonical import canonical_bytes, record_id
from apps.records.checkpoint import Checkpoint
from apps.records.envelope import AnyRecord
from apps.records.errors import InvalidRecord
from apps.records.reading import FutureEnvelope, FutureRecord, read_record
from apps.records.tree import record_leaf, verify_inclusion


@dataclass(frozen=True, slots=True)
class SignedRow:
    """A record of a bundle as it was read.

    Parameters
    ----------
    place : str
        JSON Pointer to its row.
    index : int
        Place in the log.
    record_id : str
        The id that its bytes have, whatever the row says.
    record : one of the record models, or FutureRecord
    data : bytes
        The canonical bytes.
    signature : str
    """

    place: str
    index: int
    record_id: str
    record: AnyRecord | FutureRecord
    data: bytes
    signature: str

    @property
    def frame(self) -> AnyRecord | FutureEnvelope:
        """What every record has, in whichever format."""
        return self.record.envelope if isinstance(self.record, FutureRecord) else self.record


@dataclass(slots=True)
class ReadRows:
    """One list of rows.

    Parameters
    ----------
    signed : list of SignedRow
        Those that hold a record that can be read.
    erased : list of (place, row)
        Those whose bytes were erased.
    faults : list of Fault
    """

    signed: list[SignedRow] = field(default_factory=list)
    erased: list[tuple[str, BundleRow]] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)


def read_rows(place: str, rows: Sequence[BundleRow], checkpoint: Checkpoint) -> ReadRows:
    """Read the rows of one list and check each by itself.

    Parameters
    ----------
    place : str
        JSON Pointer to the list.
    rows : sequence of BundleRow
    checkpoint : Checkpoint
        Of the tree in which they stand.
    """
    read = ReadRows()
    before = -1
    for number, row in enumerate(rows):
        here = f"{place}/{number}"
        read.faults.extend(_misplaced(here, row, before, checkpoint))
        before = row.index
        _take(here, row, read)
    return read


def _misplaced(place: str, row: BundleRow, before: int, checkpoint: Checkpoint) -> Iterator[Fault]:
    if row.index <= before:
        yield Fault(place, "out-of-order", "The rows don't follow the order of the log.")
    proof = [bytes.fromhex(one) for one in row.proof]
    leaf = record_leaf(row.id)
    check = verify_inclusion(leaf, row.index, checkpoint.size, proof, checkpoint.root)
    if not check.holds:
        sentence = f"It is not shown to stand at place {row.index}. {check.sentence}"
        yield Fault(f"{place}/proof", str(check.reason), sentence)


def _take(place: str, row: BundleRow, read: ReadRows) -> None:
    if row.record is None or row.signature is None:
        read.erased.append((place, row))
        return
    try:
        data = canonical_bytes(row.record)
        record = read_record(data)
    except InvalidRecord as error:
        for one in error.errors:
            read.faults.append(Fault(f"{place}/record{one.pointer}", one.code, one.message))
        return
    own_id = record_id(data)
    if own_id != row.id:
        sentence = "The id is not the one of this record."
        read.faults.append(Fault(f"{place}/id", "another-id", sentence))
    read.signed.append(SignedRow(place, row.index, own_id, record, data, row.signature))

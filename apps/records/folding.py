"""What stands after corrections, retractions and disputes; the same for every order of arrival."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from apps.records.envelope import (
    CorrectionRecord,
    DisputeRecord,
    DistinctSkiRecord,
    ErasureRecord,
    Record,
    RetractionRecord,
    SameSkiRecord,
)
from apps.records.model import RecordModel
from apps.records.moments import PerformedAt

Amendment = CorrectionRecord | RetractionRecord
LaterWord = Amendment | DisputeRecord
Undisputable = DisputeRecord | RetractionRecord | ErasureRecord
Uncorrectable = CorrectionRecord | DisputeRecord | SameSkiRecord | DistinctSkiRecord
NOON = "T12:00:00Z"


class State(StrEnum):
    """What became of a record."""

    STANDS = "stands"
    CORRECTED = "corrected"
    RETRACTED = "retracted"


class IgnoredReason(StrEnum):
    """Why a correction, a retraction or a dispute has no effect."""

    FOREIGN = "foreign"
    OTHER_SKI = "other-ski"
    OTHER_KIND = "other-kind"
    NOT_CORRECTABLE = "not-correctable"
    NOT_RETRACTABLE = "not-retractable"
    NOT_DISPUTABLE = "not-disputable"


@dataclass(frozen=True, slots=True)
class Content:
    """What a record says, or what stands in its place.

    Parameters
    ----------
    source : str
        Id of the record that says it: the original or the correction in effect.
    """

    kind: str
    performed_at: PerformedAt
    body: RecordModel
    source: str


@dataclass(frozen=True, slots=True)
class Folded:
    """One original record and what became of it.

    Parameters
    ----------
    record_id : str
    record : Record
        The original, as it was signed.
    state : State
    content : Content
        What is in effect; the last word that stood, when the record is retracted.
    corrections : tuple of str
        Ids of all corrections that count, the one in effect last.
    withdrawn_corrections : tuple of str
        Ids of corrections that were retracted themselves.
    retractions : tuple of str
        Ids of all retractions of the original, of its corrections and of their disputes.
    disputes : tuple of str
        Ids of the disputes of the original and of its corrections that stand, as they were
        entered. They change no state.
    withdrawn_disputes : tuple of str
        Ids of disputes that their authors took back.
    entered : int
        Place of the original in the log; a correction doesn't move it.
    """

    record_id: str
    record: Record
    state: State
    content: Content
    corrections: tuple[str, ...]
    withdrawn_corrections: tuple[str, ...]
    retractions: tuple[str, ...]
    disputes: tuple[str, ...]
    withdrawn_disputes: tuple[str, ...]
    entered: int

    @property
    def several_corrections(self) -> bool:
        """Whether more than one correction stands, which a person should look at."""
        return len(self.corrections) > 1


@dataclass(frozen=True, slots=True)
class Pending:
    """A correction, a retraction or a dispute whose target is not here."""

    record_id: str
    target: str


@dataclass(frozen=True, slots=True)
class Ignored:
    """A correction, a retraction or a dispute that has no effect, and why."""

    record_id: str
    target: str
    reason: IgnoredReason


@dataclass(frozen=True, slots=True)
class Fold:
    """A set of records seen together.

    Parameters
    ----------
    records : tuple of Folded
        The original records by the time of what is in effect, a date alone as noon UTC, then
        by author, then as that author entered them.
    pending : tuple of Pending
    ignored : tuple of Ignored
    """

    records: tuple[Folded, ...]
    pending: tuple[Pending, ...]
    ignored: tuple[Ignored, ...]

    @property
    def foreign(self) -> tuple[Ignored, ...]:
        """Corrections and retractions by another author than the target's."""
        return tuple(i for i in self.ignored if i.reason is IgnoredReason.FOREIGN)

    @property
    def effective(self) -> tuple[Folded, ...]:
        """The records that are not retracted."""
        return tuple(f for f in self.records if f.state is not State.RETRACTED)


def standing(record_id: str, record: Record, entered: int) -> Folded:
    """Fold a record that nothing refers to."""
    content = Content(record.kind, record.performed_at, record.body, record_id)
    return Folded(record_id, record, State.STANDS, content, (), (), (), (), (), entered)


def fold(records: Iterable[tuple[str, Record, int]]) -> Fold:
    """Fold records into what stands now.

    Parameters
    ----------
    records : iterable of (id, record, entered)
        In any order; `entered` is the place in the log. A record that comes twice counts once,
        where it was entered first.

    Notes
    -----
    A correction or retraction counts only when it has its target's author and ski. A correction
    corrects an original only; a retraction takes back an original or a correction. Of several
    corrections the one entered last is in effect. They are all of one author, whose records have
    one order on every node, so what is in effect doesn't depend on the node.

    A dispute counts by whichever author, when it has its target's ski. Links and erasures are
    records of their own here: a link is joined by `clusters`, and an erased record is not here at
    all, so that what refers to it is pending.
    """
    log = _Log(records)
    sorting = _Sorting(log)
    originals = [i for i, record in log.known.items() if not isinstance(record, LaterWord)]
    folded = sorted((_folded(i, sorting) for i in originals), key=_by_time)
    return Fold(
        tuple(folded),
        tuple(sorted(sorting.pending, key=lambda one: one.record_id)),
        tuple(sorted(sorting.ignored, key=lambda one: one.record_id)),
    )


def _by_time(one: Folded) -> tuple[str, str, int, str]:
    performed_at = one.content.performed_at
    moment = performed_at.sort_key if performed_at.has_time else f"{performed_at}{NOON}"
    return moment, one.record.author, one.entered, one.record_id


class _Log:
    """Records by id, with the place in the log of each."""

    def __init__(self, records: Iterable[tuple[str, Record, int]]) -> None:
        self.known: dict[str, Record] = {}
        self.entered: dict[str, int] = {}
        for record_id, record, entered in records:
            self.known[record_id] = record
            self.entered[record_id] = min(entered, self.entered.get(record_id, entered))

    def in_order(self, ids: Iterable[str]) -> list[str]:
        """Ids as they were entered."""
        return sorted(ids, key=lambda one: (self.entered[one], one))


class _Sorting:
    """The amendments and disputes of a set of records, sorted by their targets."""

    def __init__(self, log: _Log) -> None:
        self.log = log
        self.corrections: dict[str, list[str]] = defaultdict(list)
        self.retractions: dict[str, list[str]] = defaultdict(list)
        self.disputes: dict[str, list[str]] = defaultdict(list)
        self.pending: list[Pending] = []
        self.ignored: list[Ignored] = []
        for record_id, record in log.known.items():
            if isinstance(record, LaterWord):
                self._place(record_id, record)

    def _place(self, record_id: str, record: LaterWord) -> None:
        (target_id,) = record.refers_to
        target = self.log.known.get(target_id)
        if target is None:
            self.pending.append(Pending(record_id, target_id))
            return
        reason = why_ignored(record, target)
        if reason is not None:
            self.ignored.append(Ignored(record_id, target_id, reason))
        else:
            self._about(record)[target_id].append(record_id)

    def _about(self, record: LaterWord) -> dict[str, list[str]]:
        if isinstance(record, CorrectionRecord):
            return self.corrections
        return self.retractions if isinstance(record, RetractionRecord) else self.disputes


def why_ignored(record: LaterWord, target: Record) -> IgnoredReason | None:
    """Say why a record about another one has no effect on it, or None when it has."""
    if isinstance(record, DisputeRecord):
        return _why_no_dispute(record, target)
    if record.author != target.author:
        return IgnoredReason.FOREIGN
    if record.ski != target.ski:
        return IgnoredReason.OTHER_SKI
    if isinstance(target, RetractionRecord):
        return IgnoredReason.NOT_RETRACTABLE
    return _why_no_correction(record, target) if isinstance(record, CorrectionRecord) else None


def _why_no_dispute(record: DisputeRecord, target: Record) -> IgnoredReason | None:
    if record.ski != target.ski:
        return IgnoredReason.OTHER_SKI
    if isinstance(target, Undisputable):
        return IgnoredReason.NOT_DISPUTABLE
    return None


def _why_no_correction(record: CorrectionRecord, target: Record) -> IgnoredReason | None:
    if isinstance(target, Uncorrectable):
        return IgnoredReason.NOT_CORRECTABLE
    # A correction may come before its target, so the door can't hold its kind against it.
    if record.body.replacement.kind != target.kind:
        return IgnoredReason.OTHER_KIND
    return None


def _folded(record_id: str, sorting: _Sorting) -> Folded:
    log, retractions = sorting.log, sorting.retractions
    corrections = log.in_order(sorting.corrections[record_id])
    counting = [i for i in corrections if not retractions[i]]
    said = [record_id, *corrections]
    disputes = log.in_order(i for one in said for i in sorting.disputes[one])
    taken_back = [i for one in (*said, *disputes) for i in retractions[one]]
    return Folded(
        record_id,
        log.known[record_id],
        _state(counting, retractions[record_id]),
        _content(record_id, counting, log.known),
        tuple(counting),
        tuple(i for i in corrections if retractions[i]),
        tuple(log.in_order(taken_back)),
        tuple(i for i in disputes if not retractions[i]),
        tuple(i for i in disputes if retractions[i]),
        log.entered[record_id],
    )


def _state(corrections: list[str], retractions: list[str]) -> State:
    if retractions:
        return State.RETRACTED
    return State.CORRECTED if corrections else State.STANDS


def _content(record_id: str, corrections: list[str], known: Mapping[str, Record]) -> Content:
    record = known[record_id]
    last = known[corrections[-1]] if corrections else record
    if isinstance(last, CorrectionRecord):
        return replacement(corrections[-1], last)
    return Content(record.kind, record.performed_at, record.body, record_id)


def replacement(record_id: str, correction: CorrectionRecord) -> Content:
    """Give what a correction says in place of its target."""
    new = correction.body.replacement
    return Content(new.kind, new.performed_at, new.body, record_id)

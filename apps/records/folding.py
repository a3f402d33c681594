"""What stands after corrections and retractions; the same for every order of arrival."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from apps.records.envelope import CorrectionRecord, Record, RetractionRecord
from apps.records.model import RecordModel
from apps.records.moments import PerformedAt

Amendment = CorrectionRecord | RetractionRecord


class State(StrEnum):
    """What became of a record."""

    STANDS = "stands"
    CORRECTED = "corrected"
    RETRACTED = "retracted"


class IgnoredReason(StrEnum):
    """Why a correction or retraction has no effect."""

    FOREIGN = "foreign"
    OTHER_SKI = "other-ski"
    NOT_CORRECTABLE = "not-correctable"
    NOT_RETRACTABLE = "not-retractable"


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
        Ids of all retractions of the original and of its corrections.
    """

    record_id: str
    record: Record
    state: State
    content: Content
    corrections: tuple[str, ...]
    withdrawn_corrections: tuple[str, ...]
    retractions: tuple[str, ...]

    @property
    def several_corrections(self) -> bool:
        """Whether more than one correction stands, which a person should look at."""
        return len(self.corrections) > 1


@dataclass(frozen=True, slots=True)
class Pending:
    """A correction or retraction whose target is not here yet."""

    record_id: str
    target: str


@dataclass(frozen=True, slots=True)
class Ignored:
    """A correction or retraction that has no effect, and why."""

    record_id: str
    target: str
    reason: IgnoredReason


@dataclass(frozen=True, slots=True)
class Fold:
    """A set of records seen together.

    Parameters
    ----------
    records : tuple of Folded
        The original records, by the time of what is in effect, then id.
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


def fold(records: Iterable[tuple[str, Record]]) -> Fold:
    """Fold records into what stands now.

    Parameters
    ----------
    records : iterable of (id, record)
        In any order; a record that comes twice counts once.

    Notes
    -----
    A correction or retraction counts only when it has its target's author and ski. A correction
    corrects an original only; a retraction takes back an original or a correction. Of several
    corrections the one performed last is in effect, then the one with the greatest id.
    """
    known = dict(records)
    sorting = _Sorting(known)
    originals = [(i, r) for i, r in known.items() if not isinstance(r, Amendment)]
    folded = [_folded(i, r, sorting) for i, r in originals]
    folded.sort(key=lambda one: (one.content.performed_at.sort_key, one.record_id))
    return Fold(
        tuple(folded),
        tuple(sorted(sorting.pending, key=lambda one: one.record_id)),
        tuple(sorted(sorting.ignored, key=lambda one: one.record_id)),
    )


class _Sorting:
    """The amendments of a set of records, sorted by their targets."""

    def __init__(self, known: Mapping[str, Record]) -> None:
        self.known = known
        self.corrections: dict[str, list[str]] = defaultdict(list)
        self.retractions: dict[str, list[str]] = defaultdict(list)
        self.pending: list[Pending] = []
        self.ignored: list[Ignored] = []
        for record_id, record in known.items():
            if isinstance(record, Amendment):
                self._place(record_id, record)

    def _place(self, record_id: str, record: Amendment) -> None:
        (target_id,) = record.refers_to
        target = self.known.get(target_id)
        if target is None:
            self.pending.append(Pending(record_id, target_id))
            return
        reason = why_ignored(record, target)
        if reason is not None:
            self.ignored.append(Ignored(record_id, target_id, reason))
        elif isinstance(record, CorrectionRecord):
            self.corrections[target_id].append(record_id)
        else:
            self.retractions[target_id].append(record_id)


def why_ignored(record: Amendment, target: Record) -> IgnoredReason | None:
    """Say why a correction or retraction has no effect on its target, or None when it has."""
    if record.author != target.author:
        return IgnoredReason.FOREIGN
    if record.ski != target.ski:
        return IgnoredReason.OTHER_SKI
    if isinstance(target, RetractionRecord):
        return IgnoredReason.NOT_RETRACTABLE
    if isinstance(record, CorrectionRecord) and isinstance(target, CorrectionRecord):
        return IgnoredReason.NOT_CORRECTABLE
    return None


def _folded(record_id: str, record: Record, sorting: _Sorting) -> Folded:
    corrections = _in_order(sorting.corrections[record_id], sorting.known)
    standing = [i for i in corrections if not sorting.retractions[i]]
    taken_back = [i for one in (record_id, *corrections) for i in sorting.retractions[one]]
    return Folded(
        record_id,
        record,
        _state(standing, sorting.retractions[record_id]),
        _content(record_id, record, standing, sorting.known),
        tuple(standing),
        tuple(i for i in corrections if sorting.retractions[i]),
        tuple(_in_order(taken_back, sorting.known)),
    )


def _in_order(ids: Iterable[str], known: Mapping[str, Record]) -> list[str]:
    return sorted(ids, key=lambda one: (known[one].performed_at.sort_key, one))


def _state(standing: list[str], retractions: list[str]) -> State:
    if retractions:
        return State.RETRACTED
    return State.CORRECTED if standing else State.STANDS


def _content(
    record_id: str, record: Record, standing: list[str], known: Mapping[str, Record]
) -> Content:
    last = known[standing[-1]] if standing else record
    if isinstance(last, CorrectionRecord):
        new = last.body.replacement
        return Content(new.kind, new.performed_at, new.body, standing[-1])
    return Content(record.kind, record.performed_at, record.body, record_id)

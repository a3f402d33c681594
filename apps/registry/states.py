"""In which state a record may be written; each rule is a sentence that raises with its reason."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils import timezone

from apps.records.envelope import CorrectionRecord, RetractionRecord, own_pair
from apps.records.job import JobBody
from apps.records.keeping import PairBody
from apps.records.moments import PerformedAt
from apps.registry import policies
from apps.registry.errors import TagExists, UnknownRecord, UnknownTag, WrongState
from apps.registry.known import Known
from apps.registry.submissions import Entry

# The day has begun somewhere on earth up to 14 hours before it begins in UTC.
EARLIEST_OFFSET = timedelta(hours=14)
CLOCKS_DIFFER = timedelta(minutes=5)
REFERS_TO = "/refers_to/0"


def kind_may_be_written(entry: Entry, _known: Known) -> None:
    """Some kinds are for the tag's own shop to write."""
    policies.may_write_kind(entry.record)


def tag_is_registered(entry: Entry, known: Known) -> None:
    """A record is about a registered tag; its own shop's first description registers it."""
    if entry.tag_key in known.skis:
        return
    if entry.record.kind != "description":
        raise UnknownTag(
            f"No ski is registered under the tag {entry.record.ski.tag} of "
            f"{entry.record.ski.shop}. Register it with a description first.",
            pointer="/ski",
        )
    policies.may_register(entry.record)


def tag_is_free(entry: Entry, known: Known) -> None:
    """A tag is registered once."""
    if entry.submission.registers and entry.tag_key in known.skis:
        raise TagExists(
            f"The tag {entry.record.ski.tag} of {entry.record.ski.shop} is already on a ski. "
            "Use another tag, or write a description record on this one.",
            pointer="/ski/tag",
        )


def day_has_come(entry: Entry, known: Known) -> None:
    """Nothing is recorded before it was done.

    A date without a time is held against the node's own calendar (`TIME_ZONE`), since tomorrow's
    date is a slip at the bench; a shop further east gives the time with its offset. A record
    from another node was held against that node's calendar, so here it has until the day has
    begun anywhere.
    """
    pointer, performed_at, _ = entry.stated
    if _is_ahead(performed_at, known.now, from_elsewhere=bool(entry.submission.origin)):
        raise WrongState(
            f"{performed_at} lies in the future. Correct the date, or give the time with its "
            "offset where the day has begun.",
            pointer=f"{pointer}/performed_at",
        )


def _is_ahead(performed_at: PerformedAt, now: datetime, *, from_elsewhere: bool) -> bool:
    if performed_at.has_time:
        return datetime.fromisoformat(performed_at) > now + CLOCKS_DIFFER
    today = (now + EARLIEST_OFFSET).date() if from_elsewhere else timezone.localdate(now)
    return performed_at.day > today


def target_can_be_amended(entry: Entry, known: Known) -> None:
    """A correction or retraction is about a record that is here, on the same tag, by its author."""
    if not entry.target:
        return
    target = known.records.get(entry.target)
    if target is None:
        raise UnknownRecord(f"There is no record {entry.target}.", pointer=REFERS_TO)
    policies.may_amend(entry.record, target)
    if target.ski != entry.record.ski:
        raise WrongState(
            f"That record is about {target.ski.tag} of {target.ski.shop}. Name the same ski.",
            pointer="/ski",
        )
    _target_fits(entry, target.kind)


def _target_fits(entry: Entry, kind: str) -> None:
    record = entry.record
    if isinstance(record, RetractionRecord) and kind == "retraction":
        raise WrongState("A retraction is final and can't be taken back.", pointer=REFERS_TO)
    if not isinstance(record, CorrectionRecord):
        return
    if kind in {"correction", "retraction"}:
        raise WrongState(
            f"A {kind} is not corrected. Correct the record that it is about.", pointer=REFERS_TO
        )
    if record.body.replacement.kind != kind:
        raise WrongState(
            f"A {kind} stays a {kind} when it is corrected. Take it back and write a new record.",
            pointer="/body/replacement/kind",
        )


def target_stands(entry: Entry, known: Known) -> None:
    """What was taken back is neither corrected nor taken back again.

    A record from another node passes: it may have been written before the retraction.
    """
    if entry.target in known.retracted and not entry.submission.origin:
        raise WrongState("That record was taken back already.", pointer=REFERS_TO)


def closed_findings_are_known(entry: Entry, known: Known) -> None:
    """A finding closes one of an earlier job on the same ski."""
    for pointer, record_id, number in entry.closings:
        job = known.records.get(record_id)
        if job is None:
            raise UnknownRecord(f"There is no record {record_id}.", pointer=f"{pointer}/record")
        place = f"{job.ski.shop}/{job.ski.tag}"
        if known.skis.get(place) != known.skis.get(entry.tag_key, entry.tag_key):
            raise WrongState(f"Job {record_id} is about another ski.", pointer=pointer)
        found = len(job.body.findings) if isinstance(job.body, JobBody) else 0
        if number >= found:
            raise WrongState(
                f"Record {record_id} has {found} findings, counted from 0; there is no {number}.",
                pointer=f"{pointer}/index",
            )


def pair_is_of_two(entry: Entry, _known: Known) -> None:
    """A correction doesn't pair a ski with itself either."""
    pointer, _, body = entry.stated
    if pointer and isinstance(body, PairBody):
        for broken in own_pair(entry.record.ski, body):
            raise WrongState(broken.sentence, pointer=f"{pointer}/{broken.field}")

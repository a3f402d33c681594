"""In which state a record may be written; each rule is a sentence that raises with its reason."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from django.conf import settings
from django.utils import timezone

from apps.records.envelope import Record
from apps.records.finding import Finding
from apps.records.folding import Folded, IgnoredReason, LaterWord, State, why_ignored
from apps.records.job import JobBody
from apps.records.keeping import PairBody
from apps.records.link import LinkBody
from apps.records.moments import PerformedAt
from apps.records.names import node_host
from apps.records.place import own_pair
from apps.registry import policies
from apps.registry.errors import (
    NotAllowed,
    RegistryError,
    TagExists,
    UnknownRecord,
    UnknownTag,
    WrongState,
)
from apps.registry.known import Known
from apps.registry.models.ski import tag_key
from apps.registry.submissions import REPLACEMENT, Entry, SkiEntry, closings_of

# The day has begun somewhere on earth up to 14 hours before it begins in UTC.
EARLIEST_OFFSET = timedelta(hours=14)
CLOCKS_DIFFER = timedelta(minutes=5)
REFERS_TO = "/refers_to/0"


def kind_may_be_written(entry: SkiEntry, _known: Known) -> None:
    """Some kinds are for the tag's own shop to write, and links for the shops of their tags."""
    policies.may_write_kind(entry)
    policies.may_link(entry)


def tag_is_registered(entry: SkiEntry, known: Known) -> None:
    """A record is about a registered tag; its own shop's first description registers it.

    A record from another node may come before that description, and waits for it.
    """
    if entry.tag_key in known.skis or entry.submission.origin:
        return
    if entry.record.kind == "erasure":
        # What came before its tag was registered can be erased as well.
        return
    if entry.record.kind != "description":
        raise UnknownTag(
            f"No ski is registered under the tag {entry.record.ski.tag} of "
            f"{entry.record.ski.shop}. Register it with a description first.",
            pointer="/ski",
        )
    policies.may_register(entry.record)


def tag_is_free(entry: SkiEntry, known: Known) -> None:
    """A tag is registered once."""
    if entry.submission.registers and entry.tag_key in known.skis:
        raise TagExists(
            f"The tag {entry.record.ski.tag} of {entry.record.ski.shop} is already on a ski. "
            "Use another tag, or write a description record on this one.",
            pointer="/ski/tag",
        )


def day_has_come(entry: Entry, known: Known) -> None:
    """Nothing is recorded before it was done, and nothing is corrected ahead of time.

    A date without a time is held against the node's own calendar (`TIME_ZONE`), since tomorrow's
    date is a slip at the bench; a shop further east gives the time with its offset. A record
    from another node was held against that node's calendar, so here it has until the day has
    begun anywhere.
    """
    for pointer, performed_at in entry.moments:
        if _is_ahead(performed_at, known.now, from_elsewhere=bool(entry.submission.origin)):
            raise WrongState(
                f"{performed_at} lies in the future. Correct the date, or give the time with its "
                "offset where the day has begun.",
                pointer=pointer,
            )


def _is_ahead(performed_at: PerformedAt, now: datetime, *, from_elsewhere: bool) -> bool:
    if performed_at.has_time:
        return datetime.fromisoformat(performed_at) > now + CLOCKS_DIFFER
    today = (now + EARLIEST_OFFSET).date() if from_elsewhere else timezone.localdate(now)
    return performed_at.day > today


def target_can_be_amended(entry: SkiEntry, known: Known) -> None:
    """What is said of a record that is here has an effect on it.

    Of a record that isn't here it waits for that record. What another node let in passes, since
    it may have waited there: folding says what has no effect.
    """
    record = entry.record
    if not isinstance(record, LaterWord) or entry.submission.origin:
        return
    if entry.target in known.not_of_skis:
        raise WrongState("That record is about no ski and stands as it is.", pointer=REFERS_TO)
    target = known.records.get(entry.target)
    reason = why_ignored(record, target) if target is not None else None
    if target is not None and reason is not None:
        raise _no_effect(record, target, reason)


def _no_effect(record: LaterWord, target: Record, reason: IgnoredReason) -> RegistryError:
    """Give the refusal of what would have no effect on its target."""
    if reason is IgnoredReason.FOREIGN:
        return NotAllowed(
            f"Only {target.author}, who wrote that record, may write a {record.kind} of it.",
            pointer=REFERS_TO,
        )
    if reason is IgnoredReason.OTHER_SKI:
        place = f"{target.ski.tag} of {target.ski.shop}"
        return WrongState(f"That record is about {place}. Name the same ski.", pointer="/ski")
    pointer = "/body/replacement/kind" if reason is IgnoredReason.OTHER_KIND else REFERS_TO
    sentence = SENTENCES[reason].format(kind=target.kind)
    if reason is IgnoredReason.NOT_CORRECTABLE:
        is_about_a_record = isinstance(target, LaterWord)
        sentence += CORRECT_THAT if is_about_a_record else WRITE_ANEW
    return WrongState(sentence, pointer=pointer)


CORRECT_THAT = "Correct the record that it is about."
WRITE_ANEW = "Take it back and write another."
SENTENCES = {
    IgnoredReason.OTHER_KIND: "A {kind} stays a {kind} when it is corrected. Take it back and "
    "write a new record.",
    IgnoredReason.NOT_CORRECTABLE: "A {kind} is not corrected. ",
    IgnoredReason.NOT_RETRACTABLE: "A {kind} is final: it is neither corrected nor taken back.",
    IgnoredReason.NOT_DISPUTABLE: "A {kind} is not disputed. Dispute the record that it is about.",
}


def target_stands(entry: SkiEntry, known: Known) -> None:
    """What was taken back is neither corrected nor taken back again, nor disputed.

    A record from another node passes: it may have been written before the retraction.
    """
    if not isinstance(entry.record, LaterWord) or entry.submission.origin:
        return
    if entry.target in known.retracted:
        raise WrongState("That record was taken back already.", pointer=REFERS_TO)


def closed_findings_are_known(entry: SkiEntry, known: Known) -> None:
    """A finding closes one of an earlier job on the same ski, as that job stands now.

    What a corrected record closed before, it may go on closing. A record from another node may
    have been written where that job, the correction of it or the link of the two skis was known.
    """
    if entry.submission.origin:
        return
    before = known.folded(entry.target) if entry.target else None
    kept = {closed for _, closed in closings_of(before.content.body)} if before else set()
    for pointer, record_id, number in entry.closings:
        job = known.records.get(record_id)
        if job is None:
            raise UnknownRecord(f"There is no record {record_id}.", pointer=f"{pointer}/record")
        place = f"{job.ski.shop}/{job.ski.tag}"
        if known.skis.get(place) != known.skis.get(entry.tag_key, entry.tag_key):
            raise WrongState(f"Job {record_id} is about another ski.", pointer=pointer)
        if (record_id, number) not in kept:
            _finding_stands(pointer, record_id, number, known)


def _finding_stands(pointer: str, record_id: str, number: int, known: Known) -> None:
    job = known.folded(record_id)
    if job is not None and job.state is State.RETRACTED:
        raise WrongState(
            f"Job {record_id} was taken back, and its findings with it. Leave `closes` out.",
            pointer=pointer,
        )
    found = len(_findings(job)) if job is not None and job.record_id == record_id else 0
    if number >= found:
        raise WrongState(
            f"Record {record_id} has {found} findings, counted from 0; there is no {number}.",
            pointer=f"{pointer}/index",
        )


def _findings(job: Folded) -> tuple[Finding, ...]:
    body = job.content.body
    return body.findings if isinstance(body, JobBody) else ()


def closed_findings_stay(entry: SkiEntry, known: Known) -> None:
    """A finding that another record closes keeps its number, word and place in a correction.

    Closings go by number: under another finding they would close what nobody mended. A record
    from another node passes: it may have been written before the closing.
    """
    before = known.folded(entry.target) if entry.target else None
    after = known.folded(entry.target, entry) if before else None
    if not before or not after or after.state is State.RETRACTED or entry.submission.origin:
        return
    was, becomes = _findings(before), _findings(after)
    for number, closer in sorted(known.closers_of(before.record_id).items()):
        if _named(was, number) != _named(becomes, number):
            raise WrongState(
                f"Finding {number} of that job, counted from 0, is closed by record {closer}. "
                "Leave it what and where it was, under its number, and add others after it.",
                pointer=f"{REPLACEMENT}/body/findings" if entry.stated[0] else REFERS_TO,
            )


def _named(findings: Sequence[Finding], number: int) -> tuple[object, ...] | None:
    """What makes a finding the one it is; how bad it is may be corrected."""
    if number >= len(findings):
        return None
    one = findings[number]
    return (one.what, one.what_text, one.where)


def pair_is_of_two(entry: SkiEntry, _known: Known) -> None:
    """A correction doesn't pair a ski with itself either."""
    pointer, _, body = entry.stated
    if pointer and isinstance(body, PairBody):
        for broken in own_pair(entry.record.ski, body):
            raise WrongState(broken.sentence, pointer=f"{pointer}/{broken.field}")


def other_tag_is_known(entry: SkiEntry, known: Known) -> None:
    """A tag of this node is paired or linked once it is registered; another's may be unknown."""
    pointer, _, body = entry.stated
    if not isinstance(body, PairBody | LinkBody) or entry.submission.origin:
        return
    other = body.other_ski
    is_here = tag_key(other.shop, other.tag) in known.skis
    if node_host(other.shop) == settings.NODE_HOST and not is_here:
        raise UnknownTag(
            f"No ski is registered under the tag {other.tag} of {other.shop}. Register it first, "
            "or correct the tag.",
            pointer=f"{pointer}/body/other_ski",
        )

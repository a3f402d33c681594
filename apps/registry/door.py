"""The one door: every record passes here, and nothing else writes one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from functools import partial

from django.utils import timezone

from apps.registry import key_states, models, policies, states, tree
from apps.registry.actors import Actor
from apps.registry.erased import erase_targets, erasure_that_counts, refuse
from apps.registry.errors import RegistryError, raise_all
from apps.registry.known import Known, read_known
from apps.registry.record_rows import record_row
from apps.registry.reindexing import reindex
from apps.registry.signatures import rank_of, signing_key
from apps.registry.storage import ROWS_AT_ONCE, writing
from apps.registry.submissions import (
    Appended,
    Entry,
    NodeEntry,
    SkiEntry,
    Submission,
    Written,
    read_entries,
)


def append_records(
    *, submissions: Sequence[Submission], by: Actor, now: datetime | None = None
) -> list[Appended]:
    """Append signed records to the log: all of them or none.

    Parameters
    ----------
    submissions : sequence of Submission
        In the order they are to take in the log; later ones may rest on earlier ones.
    by : Actor
        The shop that hands them in, the node itself, or the peer that they were pulled from.
    now : datetime, optional
        Time of receipt; the clock's when absent.

    Returns
    -------
    list of Appended
        One for each submission; a record that was here before keeps its place.

    Raises
    ------
    RegistryError
        The one thing that is wrong: `InvalidSubmission`, `NotAllowed`, `UnknownTag`,
        `TagExists`, `UnknownRecord`, `WrongState`, `BadSignature`, `StorageBusy`, `StorageFull`.
    Refused
        All that is wrong, when it is several things.
    """
    policies.may_write(by)
    entries, unreadable = read_entries([replace(one, origin=by.peer) for one in submissions])
    with writing():
        head = lock_log()
        known = read_known(entries, size=head.size, now=now or timezone.now())
        appended, refused = _passed(entries, by, known)
        raise_all(sorted([*unreadable, *refused], key=lambda error: error.submission or 0))
        _keep(head, entries, appended)
        known.ring.store()
    return appended


def lock_log() -> models.LogHead:
    """Lock the log until the commit, so that positions have no holes and no late comers.

    PostgreSQL locks the row; SQLite has locked the whole file when the transaction began.
    """
    heads = models.LogHead.objects.select_for_update()
    head, _ = heads.get_or_create(id=models.LogHead.ONLY)
    return head


def _signed(entry: Entry, known: Known) -> None:
    signing_key(entry, known.ring, known.size)


SKI_RULES: tuple[Callable[[SkiEntry, Known], None], ...] = (
    states.kind_may_be_written,
    states.tag_is_registered,
    states.tag_is_free,
    states.day_has_come,
    states.target_can_be_amended,
    states.target_stands,
    states.closed_findings_are_known,
    states.closed_findings_stay,
    states.pair_is_of_two,
    states.other_tag_is_known,
    _signed,
)
NODE_RULES: tuple[Callable[[NodeEntry, Known], None], ...] = (
    states.day_has_come,
    key_states.key_is_new,
    key_states.key_is_proven,
    key_states.key_can_end,
    _signed,
)
# Of a later format only what every format has in its envelope can be held against a record.
FUTURE_RULES: tuple[Callable[[Entry, Known], None], ...] = (states.day_has_come, _signed)


def _passed(
    entries: Sequence[Entry], by: Actor, known: Known
) -> tuple[list[Appended], list[RegistryError]]:
    appended: list[Appended] = []
    refused: list[RegistryError] = []
    for entry in entries:
        errors = list(_refusals(entry, by, known))
        refused.extend(errors)
        if not errors:
            appended.append(_placed(entry, known, appended))
    return appended, refused


def _refusals(entry: Entry, by: Actor, known: Known) -> Iterator[RegistryError]:
    for check in _checks(entry, by, known):
        try:
            check()
        except RegistryError as error:
            error.submission = entry.number
            yield error


def _checks(entry: Entry, by: Actor, known: Known) -> Iterator[Callable[[], None]]:
    erasure = erasure_that_counts(entry, known.erasures)
    if erasure is not None:
        yield partial(refuse, entry, erasure)
        return
    is_here = entry.record_id in known.entered
    # A peer brings back what was pulled from here; whoever else hands it in must be its author.
    if not (is_here and by.peer):
        yield partial(policies.may_hand_in, by, entry)
    if not is_here:
        yield from _rules(entry, known)


def _rules(entry: Entry, known: Known) -> Iterator[Callable[[], None]]:
    if isinstance(entry, SkiEntry):
        yield from (partial(rule, entry, known) for rule in SKI_RULES)
    elif isinstance(entry, NodeEntry):
        yield from (partial(rule, entry, known) for rule in NODE_RULES)
    else:
        yield from (partial(rule, entry, known) for rule in FUTURE_RULES)


def _placed(entry: Entry, known: Known, before: Sequence[Appended]) -> Appended:
    stored = known.stored.get(entry.record_id)
    if stored is not None:
        return _appended(
            entry, stored.log_index, stored.received_at, stored.signature, stored.rank, new=False
        )
    for earlier in before:
        if earlier.record_id == entry.record_id:
            return replace(earlier, is_new=False)
    rank = rank_of(entry.frame.author, known.ring.keys.get(entry.frame.key))
    appended = _appended(entry, known.size, known.now, entry.submission.signature, rank, new=True)
    known.add(entry)
    return appended


def _appended(
    entry: Entry, index: int, at: datetime, signature: str, rank: str, *, new: bool
) -> Appended:
    beside = (entry.submission.data, signature, rank, index, at, new)
    if isinstance(entry, SkiEntry):
        return Written(entry.record_id, entry.record, *beside)
    return Appended(entry.record_id, entry.record, *beside)


def _keep(head: models.LogHead, entries: Sequence[Entry], appended: Sequence[Appended]) -> None:
    new = [(e, a) for e, a in zip(entries, appended, strict=True) if a.is_new]
    if not new:
        return
    rows = [record_row(entry, place) for entry, place in new]
    models.Record.objects.bulk_create(rows, batch_size=ROWS_AT_ONCE)
    erase_targets([entry for entry, _ in new])
    tree.grow(head.size, [entry.record_id for entry, _ in new])
    head.size += len(new)
    head.save(update_fields=["size"])
    reindex([entry for entry, _ in new])

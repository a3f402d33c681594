"""The one door: every record passes here, and nothing else writes one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from functools import partial

from django.utils import timezone

from apps.registry import models, policies, states
from apps.registry.actors import Actor
from apps.registry.errors import RegistryError, raise_all
from apps.registry.known import Known, read_known
from apps.registry.record_rows import record_row
from apps.registry.reindexing import reindex
from apps.registry.signatures import key_speaks_for, signature_holds
from apps.registry.storage import ROWS_AT_ONCE, writing
from apps.registry.submissions import Appended, Entry, Submission, read_entries


def append_records(
    *, submissions: Sequence[Submission], by: Actor, now: datetime | None = None
) -> list[Appended]:
    """Append signed records to the log: all of them or none.

    Parameters
    ----------
    submissions : sequence of Submission
        In the order they are to take in the log; later ones may rest on earlier ones.
    by : Actor
        The shop that hands them in.
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
    entries, unreadable = read_entries(submissions)
    with writing():
        head = lock_log()
        known = read_known(entries, size=head.size, now=now or timezone.now())
        appended, refused = _passed(entries, by, known)
        raise_all(sorted([*unreadable, *refused], key=lambda error: error.submission or 0))
        _keep(head, entries, appended)
    return appended


def lock_log() -> models.LogHead:
    """Lock the log until the commit, so that positions have no holes and no late comers.

    PostgreSQL locks the row; SQLite has locked the whole file when the transaction began.
    """
    heads = models.LogHead.objects.select_for_update()
    head, _ = heads.get_or_create(id=models.LogHead.ONLY)
    return head


Rule = Callable[[Entry, Known], None]


def _signed(entry: Entry, known: Known) -> None:
    record = entry.record
    key = key_speaks_for(
        known.keys.get(record.key),
        key_id=record.key,
        author=record.author,
        log_index=known.size,
    )
    signature_holds(key, entry.submission.data, entry.submission.signature)


RULES: tuple[Rule, ...] = (
    states.kind_may_be_written,
    states.tag_is_registered,
    states.tag_is_free,
    states.day_has_come,
    states.target_can_be_amended,
    states.target_stands,
    states.closed_findings_are_known,
    states.closed_findings_stay,
    states.pair_is_of_two,
    states.pair_is_known,
    _signed,
)


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
    checks = [partial(policies.may_write_as, by, entry.record)]
    if entry.record_id not in known.records:
        checks.extend(partial(rule, entry, known) for rule in RULES)
    for check in checks:
        try:
            check()
        except RegistryError as error:
            error.submission = entry.number
            yield error


def _placed(entry: Entry, known: Known, before: Sequence[Appended]) -> Appended:
    stored = known.stored.get(entry.record_id)
    if stored is not None:
        return _appended(entry, stored.log_index, stored.received_at, stored.signature, new=False)
    for earlier in before:
        if earlier.record_id == entry.record_id:
            return _appended(
                entry, earlier.log_index, earlier.received_at, earlier.signature, new=False
            )
    appended = _appended(entry, known.size, known.now, entry.submission.signature, new=True)
    known.add(entry)
    return appended


def _appended(entry: Entry, index: int, at: datetime, signature: str, *, new: bool) -> Appended:
    return Appended(
        record_id=entry.record_id,
        record=entry.record,
        data=entry.submission.data,
        signature=signature,
        log_index=index,
        received_at=at,
        is_new=new,
    )


def _keep(head: models.LogHead, entries: Sequence[Entry], appended: Sequence[Appended]) -> None:
    new = [(e, a) for e, a in zip(entries, appended, strict=True) if a.is_new]
    if not new:
        return
    rows = [record_row(entry, place) for entry, place in new]
    models.Record.objects.bulk_create(rows, batch_size=ROWS_AT_ONCE)
    head.size += len(new)
    head.save(update_fields=["size"])
    reindex([entry for entry, _ in new])

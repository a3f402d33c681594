"""Erasing the bytes of a record by the word of the operator; its id, place and reason stay."""

from __future__ import annotations

from datetime import datetime

from apps.registry import policies
from apps.registry.actors import Actor
from apps.registry.door import lock_log
from apps.registry.erased import KEPT_KINDS
from apps.registry.errors import Erased, UnknownRecord, WrongState
from apps.registry.identity import NodeWord, write_as_node
from apps.registry.models import Record
from apps.registry.models.ski import shop_and_tag
from apps.registry.storage import writing
from apps.registry.submissions import Appended


def erase_record(
    *,
    record_id: str,
    reason: str,
    reason_text: str | None = None,
    by: Actor,
    now: datetime | None = None,
) -> Appended:
    """Erase the bytes of a record, and append the erasure record that says so.

    The record's id and its place in the log stay, so that every proof still holds. What was
    computed from it is computed anew without it. Peers read of it in the log; those that the
    author isn't at home with keep their copy, and backups keep theirs.

    Parameters
    ----------
    record_id : str
        The record. Where it corrected or took back another, that one counts again.
    reason : str
        A word of `ErasureReason`.
    reason_text : str, optional
        The reason in words, for `other`; it stays in the log for good.
    by : Actor
        The operator.

    Returns
    -------
    Appended
        The erasure record.

    Raises
    ------
    NotAllowed, UnknownRecord, NoIdentity
    Erased
        If it was erased before.
    WrongState
        If it is a key, the end of one or an erasure, without which the log can't be checked.
    InvalidRecord
        If the reason is none.
    """
    policies.only_the_operator(by)
    with writing():
        lock_log()
        about = _about(record_id)
        body = {"reason": reason, **({"reason_text": reason_text} if reason_text else {})}
        (appended,) = write_as_node(NodeWord("erasure", body, about), now=now)
    return appended


def _about(record_id: str) -> dict[str, object]:
    row = Record.objects.filter(id=record_id).first()
    if row is None:
        raise UnknownRecord(f"There is no record {record_id} on this node.")
    if row.erased_by:
        raise Erased(f"Record {record_id} was erased already, as record {row.erased_by} says.")
    if row.kind in KEPT_KINDS or row.subject_id is None:
        raise WrongState(
            f"A record of the kind {row.kind} stays: the log can't be checked without."
        )
    shop, tag = shop_and_tag(row.subject_id)
    return {"ski": {"shop": shop, "tag": tag}, "refers_to": [record_id]}

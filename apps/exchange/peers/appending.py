"""How a peer's rows pass the one door: page by page, each whole or not at all."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.utils import timezone

from apps.exchange.models import Peer, PeerEntry, PeerRefusal
from apps.exchange.peers import unproven
from apps.exchange.peers.errors import PeerTrouble, UnknownPeer, What
from apps.exchange.peers.pinned import not_for_a_third
from apps.exchange.peers.remote import Row
from apps.records.tree import CompactRange
from apps.registry.actors import peer_actor
from apps.registry.door import append_records
from apps.registry.errors import Refused, RegistryError, StorageBusy, StorageFull
from apps.registry.storage import ROWS_AT_ONCE, writing
from apps.registry.submissions import Submission

# What rests on a refused record is refused with the next try; few pages hold a longer chain.
TRIES_TOGETHER = 4


@dataclass(frozen=True, slots=True)
class Refusal:
    """A row that the door refused, and why."""

    row: Row
    code: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of some rows.

    Parameters
    ----------
    new, here, erased : int
        Records appended, records that were here before, rows whose bytes were erased.
    refusals : tuple of Refusal
    """

    new: int = 0
    here: int = 0
    erased: int = 0
    refusals: tuple[Refusal, ...] = ()


def locked(host: str) -> Peer:
    """Give the peer's row, locked until the commit.

    Raises
    ------
    UnknownPeer
        It was removed meanwhile.
    """
    peer: Peer | None = Peer.objects.select_for_update().filter(host=host).first()
    if peer is None:
        raise UnknownPeer(f"There is no peer {host} here. Add it with add-peer.")
    return peer


def keep_page(host: str, rows: Sequence[Row], tree: CompactRange) -> Taken:
    """Append checked rows, and move on by as many, in one transaction.

    A pull that is killed in the middle goes on at the last whole page.

    Raises
    ------
    PeerTrouble
        Another pull has taken these rows meanwhile.
    """
    with writing():
        peer = locked(host)
        if peer.size != rows[0].index:
            sentence = f"Another pull of {host} is under way; let it end."
            raise PeerTrouble(What.PULLED_ELSEWHERE, sentence)
        taken = append_rows(host, rows)
        PeerEntry.objects.bulk_create(
            [PeerEntry(peer=peer, index=row.index, record_id=row.record_id) for row in rows],
            batch_size=ROWS_AT_ONCE,
        )
        note_refusals(peer, taken.refusals)
        peer.size, peer.peaks = tree.size, b"".join(tree.hashes)
        peer.save(update_fields=["size", "peaks"])
    return taken


def append_rows(host: str, rows: Sequence[Row]) -> Taken:
    """Hand rows to the door; what it refuses is left out, and the rest goes in."""
    present = [row for row in rows if row.data]
    out = [Refusal(one.row, one.code, one.sentence) for one in not_for_a_third(host, present)]
    left_out = {one.row.index for one in out}
    new, here, refusals = _append(host, [row for row in present if row.index not in left_out])
    # An erasure may be on the same page as what it erased.
    bare = [Refusal(row, unproven.CODE, unproven.sentence(row)) for row in unproven.unproven(rows)]
    return Taken(new, here, len(rows) - len(present), (*out, *refusals, *bare))


def _append(host: str, rows: Sequence[Row]) -> tuple[int, int, list[Refusal]]:
    waiting, refusals = list(rows), list[Refusal]()
    for _ in range(TRIES_TOGETHER):
        try:
            new, here = _together(host, waiting)
        except RegistryError as error:
            refused = _refused(error, waiting)
            refusals.extend(refused)
            out = {one.row.index for one in refused}
            waiting = [row for row in waiting if row.index not in out]
        else:
            return new, here, refusals
    return _one_by_one(host, waiting, refusals)


def _one_by_one(
    host: str, rows: Iterable[Row], refusals: list[Refusal]
) -> tuple[int, int, list[Refusal]]:
    counts = [0, 0]
    for row in rows:
        try:
            new, here = _together(host, [row])
        except RegistryError as error:
            refusals.extend(_refused(error, [row]))
        else:
            counts = [counts[0] + new, counts[1] + here]
    return counts[0], counts[1], refusals


def _together(host: str, rows: Sequence[Row]) -> tuple[int, int]:
    if not rows:
        return 0, 0
    handed = [Submission(row.data, row.signature) for row in rows]
    appended = append_records(submissions=handed, by=peer_actor(host))
    new = sum(one.is_new for one in appended)
    return new, len(rows) - new


def _refused(error: RegistryError, rows: Sequence[Row]) -> list[Refusal]:
    """Give the rows that a refusal names, each with its first reason.

    Raises
    ------
    RegistryError
        The error itself where it is about the call or the database and not about a record.
    """
    errors = error.errors if isinstance(error, Refused) else (error,)
    if any(isinstance(one, StorageBusy | StorageFull) or one.submission is None for one in errors):
        raise error
    found: dict[int, Refusal] = {}
    for one in errors:
        number = one.submission or 0
        found.setdefault(number, Refusal(rows[number], one.code, one.sentence))
    return list(found.values())


def note_refusals(peer: Peer, refusals: Iterable[Refusal]) -> None:
    """Keep which rows were refused and why, anew where one was tried again."""
    now = timezone.now()
    rows = [
        PeerRefusal(
            peer=peer,
            index=one.row.index,
            record_id=one.row.record_id,
            code=one.code,
            sentence=one.sentence,
            noted_at=now,
            tried_at=now,
        )
        for one in refusals
    ]
    PeerRefusal.objects.bulk_create(
        rows,
        batch_size=ROWS_AT_ONCE,
        update_conflicts=True,
        unique_fields=["peer", "index"],
        update_fields=["code", "sentence", "tried_at"],
    )

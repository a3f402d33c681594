"""What each pull reads again: some old rows in turn, and the rows that the door refused."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from apps.exchange.models import Peer, PeerRefusal
from apps.exchange.peers.appending import Taken, append_rows, locked, note_refusals
from apps.exchange.peers.checking import differing
from apps.exchange.peers.errors import Kind, PeerContradiction, Proof
from apps.exchange.peers.remote import Remote, Row
from apps.exchange.peers.unproven import settle
from apps.registry.storage import writing

OLD_ROWS = 256
REFUSED_ROWS = 64
# An erasure is final: the door will not take these bytes again.
FINAL = ("erased",)


def reread(peer: Peer, remote: Remote, *, at_most: int = OLD_ROWS) -> int:
    """Read the next old rows again, in turn, and hold them to what they were; gives how many.

    The signed tree can stay as it was while a row under it is changed, so that only reading it
    again finds it.

    Parameters
    ----------
    peer : Peer
    remote : Remote
    at_most : int
        Rows that are read again.

    Raises
    ------
    PeerContradiction
        Naming the first row that differs.
    """
    count = min(at_most, peer.size)
    left = count
    while left:
        start = peer.reread % peer.size
        rows = remote.rows(start, min(start + left, peer.size))
        found = differing(peer, rows)
        if found is not None:
            raise _rewritten(peer, found)
        left -= len(rows)
        peer.reread = (start + len(rows)) % peer.size
    Peer.objects.filter(host=peer.host, size__gte=peer.reread).update(reread=peer.reread)
    return count


def _rewritten(peer: Peer, row: Row) -> PeerContradiction:
    sentence = f"Row {row.index} of {peer.host} was rewritten: it is not the record that it was."
    proof = Proof(before=peer.checkpoint, answer=row.shown)
    return PeerContradiction(Kind.REWRITTEN, sentence, index=row.index, proof=proof)


def try_refused(peer: Peer, remote: Remote) -> Taken:
    """Hand rows that the door refused to it again: what they lacked may be here by now.

    Raises
    ------
    PeerContradiction
        One of them is not what it was.
    """
    settle(peer)
    refused = peer.refusals.exclude(code__in=FINAL).order_by("tried_at", "index")
    indexes = sorted(refused.values_list("index", flat=True)[:REFUSED_ROWS])
    new = here = 0
    for start, end in _runs(indexes):
        rows = remote.rows(start, end)
        found = differing(peer, rows)
        if found is not None:
            raise _rewritten(peer, found)
        taken = _kept(peer.host, rows)
        new, here = new + taken.new, here + taken.here
    return Taken(new, here)


def _kept(host: str, rows: tuple[Row, ...]) -> Taken:
    with writing():
        peer = locked(host)
        taken = append_rows(host, rows)
        still = {one.row.index for one in taken.refusals}
        passed = [row.index for row in rows if row.index not in still]
        PeerRefusal.objects.filter(peer=peer, index__in=passed).delete()
        note_refusals(peer, taken.refusals)
    return taken


def _runs(indexes: list[int]) -> Iterator[tuple[int, int]]:
    """Give each run of neighbouring indexes by its first and the one after its last."""
    numbered = enumerate(indexes)
    for _, run in groupby(numbered, key=lambda pair: pair[1] - pair[0]):
        found = [index for _, index in run]
        yield found[0], found[-1] + 1

"""Whether what a peer answers is what its log signed for, now and before."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from itertools import pairwise

from apps.exchange.models import Peer, PeerEntry
from apps.exchange.peers.errors import Kind, PeerContradiction, PeerTrouble, Proof, What
from apps.exchange.peers.remote import Remote, Row
from apps.records.checkpoint import Checkpoint, CheckpointReading
from apps.records.tree import (
    HASH_BYTES,
    CompactRange,
    ProofCheck,
    ProofReason,
    record_leaf,
    verify_consistency,
)

CONTRADICTS = {ProofReason.OLD_ROOT_DIFFERS, ProofReason.ROOT_DIFFERS}


def tree_of(peer: Peer) -> CompactRange:
    """Give the compact range over the rows that were taken in."""
    peaks = bytes(peer.peaks)
    cuts = range(0, len(peaks) + HASH_BYTES, HASH_BYTES)
    return CompactRange(peer.size, tuple(peaks[a:b] for a, b in pairwise(cuts)))


def check_growth(peer: Peer, reading: CheckpointReading, remote: Remote) -> None:
    """Hold a new checkpoint to the one that was verified last.

    Raises
    ------
    PeerContradiction
        The log shrank, or it is not the same log any more.
    PeerTrouble
        The peer gives no proof.
    """
    new = reading.checkpoint
    proof = Proof(peer.checkpoint, reading.note.data.decode())
    if new.size < peer.checkpoint_size:
        sentence = (
            f"The log of {peer.host} shrank: it had {peer.checkpoint_size} rows and has "
            f"{new.size}, so row {new.size} is the first that is gone."
        )
        raise PeerContradiction(Kind.SHRUNK, sentence, index=new.size, proof=proof)
    if not peer.checkpoint_size:
        return
    old_root = bytes.fromhex(peer.checkpoint_root)
    check = _proved(remote, peer.checkpoint_size, old_root, new)
    if not check.holds:
        raise _forked(peer, remote, proof, check)


def _proved(remote: Remote, old: int, old_root: bytes, new: Checkpoint) -> ProofCheck:
    """Ask for a proof that the log only grew, and check it; equal sizes need none."""
    hashes = remote.consistency(old, new.size) if 0 < old < new.size else ()
    check = verify_consistency(old, new.size, hashes, old_root, new.root)
    if not check.holds and check.reason not in CONTRADICTS:
        # Hashes of a wrong number prove nothing, not even that there is no proof.
        raise PeerTrouble(What.PROOF_FAILS, f"The proof can't be used: {check.sentence}")
    return check


def _forked(peer: Peer, remote: Remote, proof: Proof, check: ProofCheck) -> PeerContradiction:
    row = first_differing(peer, remote)
    where = (
        "no row could be named"
        if row is None
        else f"row {row.index} is the first that differs from what it was"
    )
    sentence = (
        f"The log of {peer.host} was rewritten: its new checkpoint does not grow from the one "
        f"that it signed before, and {where}. {check.sentence}"
    )
    index, answer = (None, "") if row is None else (row.index, row.shown)
    proof = Proof(proof.before, proof.after, answer)
    return PeerContradiction(Kind.FORKED, sentence, index=index, proof=proof)


def first_differing(peer: Peer, remote: Remote) -> Row | None:
    """Read the old rows again until one is not what it was; None where none can be named."""
    with suppress(PeerTrouble):
        start = 0
        while start < peer.size:
            rows = remote.rows(start, peer.size)
            found = differing(peer, rows)
            if found is not None:
                return found
            start += len(rows)
    return None


def differing(peer: Peer, rows: Sequence[Row]) -> Row | None:
    """Give the first of some old rows that is not what it was, by its id or by its bytes."""
    entries = PeerEntry.objects.filter(
        peer=peer, index__gte=rows[0].index, index__lte=rows[-1].index
    )
    known = dict(entries.values_list("index", "record_id"))
    for row in rows:
        if known.get(row.index) != row.record_id or not row.is_what_it_says:
            return row
    return None


def check_page(
    peer: Peer, rows: Sequence[Row], checkpoint: Checkpoint, remote: Remote
) -> CompactRange:
    """Hold new rows to the checkpoint: their bytes to their ids, their ids to the signed tree.

    Returns
    -------
    CompactRange
        Over all rows up to the last of these.

    Raises
    ------
    PeerContradiction
        Naming the first row that the checkpoint was not signed for.
    PeerTrouble
    """
    trees = [tree_of(peer)]
    for row in rows:
        if not row.is_what_it_says:
            raise _not_signed_for(peer, row, "its bytes are not those of its id")
        trees.append(trees[-1].append(record_leaf(row.record_id)))
    if not _is_prefix(trees[-1], checkpoint, remote):
        row = _first_wrong(rows, trees, checkpoint, remote)
        raise _not_signed_for(peer, row, "its id is not the one in the signed tree")
    return trees[-1]


def _is_prefix(tree: CompactRange, checkpoint: Checkpoint, remote: Remote) -> bool:
    return _proved(remote, tree.size, tree.root, checkpoint).holds


def _first_wrong(
    rows: Sequence[Row], trees: Sequence[CompactRange], checkpoint: Checkpoint, remote: Remote
) -> Row:
    """Halve the rows until one is left: every prefix before it is proved, none after it is."""
    good, bad = 0, len(rows)
    while bad - good > 1:
        middle = (good + bad) // 2
        if _is_prefix(trees[middle], checkpoint, remote):
            good = middle
        else:
            bad = middle
    return rows[good]


def _not_signed_for(peer: Peer, row: Row, why: str) -> PeerContradiction:
    sentence = f"Row {row.index} of {peer.host} is not what its checkpoint was signed for: {why}."
    proof = Proof(after=peer.checkpoint, answer=row.shown)
    return PeerContradiction(Kind.NOT_SIGNED_FOR, sentence, index=row.index, proof=proof)

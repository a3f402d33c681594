"""What a third node can't say of a peer: with which key its records begin, and that a key ended.

The first key of a node signs its own record, so that whoever brings it first could bring another.
Where the node is a peer of this one, its operator gave us the key, and no third node can give us
another. Only the peer itself can: its log is signed with the pinned key, and may begin with one
that was replaced since.

The end of a key shuts out what the key signed and is not here yet. A third node could bring the
end and keep those records back, and they would be refused for good. So a peer's own log alone
ends the keys of its shops: there the records come before the end.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from apps.exchange.models import Peer
from apps.exchange.peers.remote import Row
from apps.records.envelope import KeyEndRecord, KeyRecord, NodeRecord
from apps.records.errors import InvalidRecord
from apps.records.names import node_host
from apps.records.notes import VerifierKey
from apps.records.reading import read_record
from apps.records.signing import PublicKey
from apps.registry.models import Record


@dataclass(frozen=True, slots=True)
class NotTaken:
    """A row that is refused before it comes to the door, and why."""

    row: Row
    code: str
    sentence: str


def not_for_a_third(host: str, rows: Sequence[Row]) -> list[NotTaken]:
    """Give the rows of a host that only another peer can bring itself, with the reason."""
    said = {row.index: record for row in rows if (record := _of_keys(row)) and _is_new(row)}
    foreign = {i: one for i, one in said.items() if node_host(one.author) != host}
    if not foreign:
        return []
    hosts = {node_host(one.author) for one in foreign.values()}
    peers = Peer.objects.filter(host__in=hosts).values_list("host", "vkey")
    pinned = {host: VerifierKey.from_text(vkey).public for host, vkey in peers}
    return list(_refused([row for row in rows if row.index in foreign], foreign, pinned))


def _refused(
    rows: Sequence[Row], said: dict[int, NodeRecord], pinned: dict[str, PublicKey]
) -> Iterator[NotTaken]:
    for row in rows:
        record = said[row.index]
        home = node_host(record.author)
        expected = pinned.get(home)
        if expected is None:
            continue
        if isinstance(record, KeyEndRecord):
            sentence = f"The end of that key is taken from the log of {home} itself, a peer here."
            yield NotTaken(row, "end-from-home", sentence)
        elif _begins(record) and expected.text != record.body.public:
            sentence = f"The key is not the one that was pinned for {home} when it was added."
            yield NotTaken(row, "not-the-pinned-key", sentence)


def _is_new(row: Row) -> bool:
    return not Record.objects.filter(id=row.record_id).exists()


def _of_keys(row: Row) -> NodeRecord | None:
    # Most rows are about skis, and reading a record costs more than looking for the word.
    if b'"kind":"key' not in row.data:
        return None
    try:
        record = read_record(row.data)
    except InvalidRecord:
        return None
    return record if isinstance(record, NodeRecord) else None


def _begins(record: KeyRecord) -> bool:
    """Say whether a key record is the first word of a node, signed with the key it brings."""
    signs_itself = PublicKey.from_text(record.body.public).key_id == record.key
    return signs_itself and record.body.shop == record.author

"""Rows that a peer says were erased, while no erasure record that says so is here.

The tree has the id alone, so that a peer could keep any record from its followers by calling it
erased, and show it to others. Such a row is noted and asked for again, until the record is shown
or the erasure that took it stands in the log, in the open and with its reason.
"""

from __future__ import annotations

from collections.abc import Sequence

from apps.exchange.models import Peer
from apps.exchange.peers.remote import Row
from apps.registry.models import Record
from apps.registry.querysets import RecordQuerySet

CODE = "erased-without-a-record"


def sentence(row: Row) -> str:
    """Say what is missing of a row."""
    return (
        f"The peer says that record {row.record_id} was erased, as record {row.erased_by} says, "
        "and no erasure of it is here. The erasure may come later; else ask the peer's operator."
    )


def unproven(rows: Sequence[Row]) -> list[Row]:
    """Give the erased rows whose record is not here and that no erasure record here is about."""
    gone = {row.record_id for row in rows if not row.data}
    if not gone:
        return []
    here = Record.objects.filter(id__in=gone).values_list("id", flat=True)
    settled = {*here, *_erasures().filter(target__in=gone).values_list("target", flat=True)}
    return [row for row in rows if not row.data and row.record_id not in settled]


def settle(peer: Peer) -> None:
    """Forget the notes on rows whose erasure came since."""
    noted = peer.refusals.filter(code=CODE)
    if noted.exists():
        noted.filter(record_id__in=_erasures().values("target")).delete()


def _erasures() -> RecordQuerySet:
    # The index of targets leaves "" out, and SQLite takes it only where the query does so too.
    return Record.objects.of_kind("erasure").exclude(target="")

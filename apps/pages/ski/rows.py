"""What stands beside the bytes of a ski's records, and the records that are about others."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import NamedTuple

from apps.records.envelope import Record as SignedRecord
from apps.registry.known import read_trusted
from apps.registry.models import Record
from apps.registry.models.record import AMENDING_KINDS


class RecordRow(NamedTuple):
    """A record's columns, without its bytes."""

    id: str
    author: str
    key_id: str
    kind: str
    format: int
    rank: str
    origin: str
    target: str
    performed_day: date
    received_at: datetime
    log_index: int
    erased_by: str


@dataclass(frozen=True, slots=True)
class Rows:
    """The records of a ski beside their folded content.

    Parameters
    ----------
    all : mapping of str to RecordRow
        Every record of the tags, by id, in the order of the log.
    about : mapping of str to Record
        Corrections, retractions, disputes and erasures that can be read, by id.
    """

    all: Mapping[str, RecordRow]
    about: Mapping[str, SignedRecord]


def rows_of(tags: Collection[str]) -> Rows:
    """Read what stands beside the records of some tags: two queries."""
    of_ski = Record.objects.of_tags(tags)
    columns = of_ski.order_by("log_index").values_list(*RecordRow._fields)
    amending = of_ski.readable().filter(kind__in=AMENDING_KINDS).values_list("id", "document")
    return Rows(
        {row.id: row for row in (RecordRow(*values) for values in columns)},
        {record_id: read_trusted(bytes(document)) for record_id, document in amending},
    )

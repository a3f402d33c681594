"""How far to believe a history: who wrote it, who signed, who saw the log, what is gone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import cast

from apps.exchange.log import checkpoint
from apps.exchange.models import Cosignature
from apps.pages.ski.moments import moment_text
from apps.pages.ski.names import tag_name
from apps.pages.ski.rows import RecordRow, Rows
from apps.pages.ski.said import said
from apps.pages.words import word
from apps.records.clusters import Weighed
from apps.records.envelope import ErasureRecord, KeyEndRecord
from apps.registry.joining import JoinedSki
from apps.registry.known import read_trusted
from apps.registry.models import Record, SigningKey
from apps.registry.models.record import FORMAT
from apps.registry.naming import short_shop
from apps.registry.sight import Sight

MOST_STATEMENTS = 100


@dataclass(frozen=True, slots=True)
class Writer:
    """One who wrote of the ski, how often, and whose key signed."""

    shop: str
    records: int
    rank: str


@dataclass(frozen=True, slots=True)
class EndedKey:
    """A key that signed records of this ski and has ended since."""

    shop: str
    reason: str
    day: date
    records: int


@dataclass(frozen=True, slots=True)
class TagStatement:
    """A shop's word that two tags are on one ski, or on two."""

    record: str
    shop: str
    says_same: bool
    one: str
    other: str
    standing: str


@dataclass(frozen=True, slots=True)
class Joining:
    """Which tags are read together, by whose word, and which hang together and are not.

    Parameters
    ----------
    tags, apart : tuple of str
        Other tags that are read with this one, and those that are shown apart.
    statements : tuple of TagStatement
    left_out : int
        Statements that are too many to be shown.
    contested, too_many : bool
        Why tags are shown apart.
    """

    tags: tuple[str, ...]
    apart: tuple[str, ...]
    statements: tuple[TagStatement, ...]
    left_out: int
    contested: bool
    too_many: bool


@dataclass(frozen=True, slots=True)
class Gone:
    """A record whose bytes are not here, or are of a later format than this version reads."""

    record_id: str
    kind: str
    shop: str
    day: date
    reason: str
    erased: bool


@dataclass(frozen=True, slots=True)
class Witness:
    """A node that saw and cosigned the log up to some size.

    Parameters
    ----------
    covers : bool
        Whether all records of this ski lie within what it saw.
    """

    host: str
    size: int
    noted_at: str
    covers: bool


@dataclass(frozen=True, slots=True)
class LogNow:
    """What the node's log says of itself now.

    Parameters
    ----------
    origin, root : str
        Its name, and the root over all its records in hexadecimal.
    size : int
        Records in it.
    last_at : str
        When the last of them came in.
    witnesses : tuple of Witness
    """

    origin: str
    size: int
    root: str
    last_at: str
    witnesses: tuple[Witness, ...]


@dataclass(frozen=True, slots=True)
class Belief:
    """All that helps to judge a history."""

    writers: tuple[Writer, ...]
    ended_keys: tuple[EndedKey, ...]
    from_nodes: tuple[str, ...]
    disputed: int
    retracted: int
    corrected: int
    joining: Joining
    gone: tuple[Gone, ...]
    log: LogNow

    @property
    def gone_count(self) -> int:
        """How many records can't be read here."""
        return len(self.gone)


def belief_of(sight: Sight, rows: Rows) -> Belief:
    """Gather what helps to judge a history: six queries."""
    records = list(rows.all.values())
    states = Counter(str(one.state) for one in sight.fold.records)
    return Belief(
        tuple(_writers(records)),
        tuple(_ended_keys(records)),
        tuple(sorted({row.origin for row in records if row.origin})),
        sum(1 for one in sight.fold.records if one.disputes),
        states["retracted"],
        states["corrected"],
        joining_of(sight.ski),
        tuple(_gone(rows)),
        log_now(max((row.log_index for row in records), default=-1)),
    )


def _writers(records: Iterable[RecordRow]) -> Iterator[Writer]:
    counted = Counter((row.author, row.rank) for row in records)
    for (author, rank), count in sorted(counted.items(), key=lambda one: (-one[1], one[0])):
        yield Writer(short_shop(author), count, word("rank", rank))


def _ended_keys(records: Collection[RecordRow]) -> Iterator[EndedKey]:
    signed = Counter(row.key_id for row in records)
    ended = SigningKey.objects.filter(key_id__in=list(signed)).exclude(ended_by="")
    ends = Record.objects.filter(id__in=ended.values("ended_by")).order_by("log_index")
    for (document,) in ends.values_list("document"):
        yield _ended(cast("KeyEndRecord", read_trusted(bytes(document))), signed)


def _ended(record: KeyEndRecord, signed: Counter[str]) -> EndedKey:
    body = record.body
    reason = said("key_end_reason", body.reason, body.reason_text)
    return EndedKey(short_shop(body.shop), reason, record.performed_at.day, signed[body.key])


def joining_of(ski: JoinedSki) -> Joining:
    """Say with which tags a ski is read, and by whose word."""
    said_of, joined = ski.statements, ski.joined
    return Joining(
        tuple(tag_name(key) for key in ski.tags if key != ski.tag.key),
        tuple(tag_name(key) for key in joined.apart if key != ski.tag.key),
        tuple(_statement(one) for one in said_of[:MOST_STATEMENTS]),
        max(0, len(said_of) - MOST_STATEMENTS),
        joined.contested,
        joined.too_many,
    )


def _statement(weighed: Weighed) -> TagStatement:
    one = weighed.statement
    return TagStatement(
        one.record,
        short_shop(one.author),
        one.says == "same",
        tag_name(one.one),
        tag_name(one.other),
        word("link_standing", weighed.standing),
    )


def _gone(rows: Rows) -> Iterator[Gone]:
    for row in rows.all.values():
        if row.erased_by or row.format != FORMAT:
            yield _gone_row(row, rows)


def _gone_row(row: RecordRow, rows: Rows) -> Gone:
    erasure = rows.about.get(row.erased_by)
    reason = _why(erasure) if isinstance(erasure, ErasureRecord) else ""
    # A later format may know kinds that this version has no word for.
    kind = word("record_kind", row.kind) if row.format == FORMAT else row.kind
    shop = short_shop(row.author)
    return Gone(row.id, kind, shop, row.performed_day, reason, bool(row.erased_by))


def _why(erasure: ErasureRecord) -> str:
    return said("erasure_reason", erasure.body.reason, erasure.body.reason_text)


def log_now(last_index: int) -> LogNow:
    """Say how the log stands, and which nodes saw it: four queries.

    Parameters
    ----------
    last_index : int
        Place of the last record of the ski in it.
    """
    now = checkpoint()
    last_at = Record.objects.filter(log_index=now.size - 1).values_list("received_at", flat=True)
    seen = Cosignature.objects.order_by("-size", "witness")
    witnesses = tuple(
        Witness(host, size, moment_text(noted_at), covers=size > last_index)
        for host, size, noted_at in seen.values_list("witness", "size", "noted_at")
    )
    return LogNow(now.origin, now.size, now.root.hex(), moment_text(last_at.get()), witnesses)

"""What later records say about a record: corrections, retractions, disputes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import cast

from apps.pages.ski.rows import Rows
from apps.pages.ski.said import said
from apps.pages.ski.viewer import Viewer
from apps.records.envelope import DisputeRecord
from apps.records.folding import Folded, LaterWord
from apps.registry.naming import short_shop


@dataclass(frozen=True, slots=True)
class Word:
    """One record about another one.

    Parameters
    ----------
    record_id : str
    author : str
        The shop as addresses name it.
    day : date
    reason, remarks : str
        In words; remarks are "" for a buyer.
    withdrawn : bool
        Whether its author took it back.
    """

    record_id: str
    author: str
    day: date
    reason: str
    remarks: str
    withdrawn: bool


@dataclass(frozen=True, slots=True)
class Words:
    """All that later records say about one, each kind in the order of the log."""

    corrections: tuple[Word, ...]
    retractions: tuple[Word, ...]
    disputes: tuple[Word, ...]


def words_about(one: Folded, rows: Rows, viewer: Viewer) -> Words:
    """Gather what later records say about a record."""
    gathering = _Gathering(rows, viewer)
    return Words(
        tuple(gathering.some(one.corrections, one.withdrawn_corrections)),
        tuple(gathering.some(one.retractions, ())),
        tuple(gathering.some(one.disputes, one.withdrawn_disputes)),
    )


@dataclass(frozen=True, slots=True)
class _Gathering:
    rows: Rows
    viewer: Viewer

    def some(self, standing: Iterable[str], withdrawn: Iterable[str]) -> Iterator[Word]:
        ids = {**dict.fromkeys(standing, False), **dict.fromkeys(withdrawn, True)}
        for record_id in sorted(ids, key=lambda one: self.rows.all[one].log_index):
            record = cast("LaterWord", self.rows.about[record_id])
            yield self._word(record_id, record, withdrawn=ids[record_id])

    def _word(self, record_id: str, record: LaterWord, *, withdrawn: bool) -> Word:
        body = record.body
        return Word(
            record_id,
            short_shop(record.author),
            record.performed_at.day,
            said(f"{record.kind}_reason", body.reason, body.reason_text),
            "" if self.viewer.is_buyer else _remarks(record),
            withdrawn,
        )


def _remarks(record: LaterWord) -> str:
    return (record.body.remarks or "") if isinstance(record, DisputeRecord) else ""

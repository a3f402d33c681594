"""The shape of a ski's history: folded, or flat as the log has it."""

from __future__ import annotations

from enum import StrEnum

from pydantic import Field

from apps.api.answers.records import PageAnswer, RecordAnswer
from apps.records.amendment import AnyReplacement
from apps.records.primitives import RecordId


class RecordState(StrEnum):
    """What became of a record."""

    STANDS = "stands"
    CORRECTED = "corrected"
    RETRACTED = "retracted"
    WITHOUT_EFFECT = "without_effect"


class HistoryItem(RecordAnswer):
    """One original record and what became of it."""

    state: RecordState | None = Field(
        default=None,
        description="`stands`; `corrected`: `effective` says what counts; `retracted`: taken back "
        "by its author and shown all the same; `without_effect`: a correction or retraction "
        "whose target is not here or has another author. Absent with `raw=true`.",
    )
    effective: AnyReplacement | None = Field(
        default=None, description="What stands in place of the record; only when corrected."
    )
    effective_source: RecordId | None = Field(
        default=None, description="Id of the correction that says so; only when corrected."
    )
    corrections: list[RecordAnswer] | None = Field(
        default=None, description="All corrections of the record, in the order of the log."
    )
    retractions: list[RecordAnswer] | None = Field(
        default=None,
        description="All retractions of the record and of its corrections, in the order of the "
        "log.",
    )
    flags: list[str] | None = Field(
        default=None,
        description="What a person should look at: `several-corrections` when more than one "
        "correction stands; the one entered last is in effect.",
    )


class HistoryPage(PageAnswer):
    """The history of a ski, what counts and what became of it, in the order of time."""

    items: list[HistoryItem] = Field(
        description="Originals in the order of the time in effect, with their corrections and "
        "retractions; with `raw=true` every record by itself, in the order of the log, and then "
        "without `state`."
    )

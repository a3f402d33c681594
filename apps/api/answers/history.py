"""The shape of a ski's history: folded, or flat as the log has it."""

from __future__ import annotations

from enum import StrEnum

from pydantic import Field

from apps.api.answers.joined import JoinedAnswer
from apps.api.answers.records import ErasedAnswer, PageAnswer, RecordAnswer
from apps.records.amendment import AnyReplacement
from apps.records.primitives import RecordId


class RecordState(StrEnum):
    """What became of a record."""

    STANDS = "stands"
    CORRECTED = "corrected"
    RETRACTED = "retracted"
    WITHOUT_EFFECT = "without_effect"
    PENDING = "pending"
    ERASED = "erased"
    LATER_FORMAT = "later_format"


class HistoryItem(RecordAnswer):
    """One original record and what became of it."""

    state: RecordState | None = Field(
        default=None,
        description="`stands`; `corrected`: `effective` says what counts; `retracted`: taken back "
        "by its author and shown all the same; `without_effect`: a correction or retraction "
        "by another author than its target's, or one that its target can't have; `pending`: it "
        "refers to a record that is not here, or no more; `later_format`: kept as it came, since "
        "this version reads its envelope only. Absent with `raw=true`.",
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
        description="All retractions of the record, of its corrections and of disputes about it, "
        "in the order of the log.",
    )
    disputes: list[RecordAnswer] | None = Field(
        default=None,
        description="What shops doubt about it, those too that were taken back; in the order of "
        "the log. A dispute changes nothing.",
    )
    flags: list[str] | None = Field(
        default=None,
        description="What a person should look at: `several-corrections` when more than one "
        "correction stands, and the one entered last is in effect; `disputed` when a dispute "
        "stands.",
    )


class HistoryPage(PageAnswer):
    """The history of a ski, what counts and what became of it, in the order of time."""

    joined: JoinedAnswer = Field(description="Which tags' records these are, and by which links.")

    items: list[HistoryItem | ErasedAnswer] = Field(
        description="Originals in the order of the time in effect, with their corrections and "
        "retractions; with `raw=true` every record by itself, in the order of the log, and then "
        "without `state`. One that was erased keeps its place, with `state` `erased`."
    )

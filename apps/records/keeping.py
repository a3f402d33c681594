"""How a shop keeps a ski: days of use, status, and the ski it is paired with."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from pydantic import Field

from apps.records.model import Broken, RecordModel
from apps.records.place import SkiTag, SkiTagDraft
from apps.records.primitives import Days, Label, Remarks
from apps.records.vocabulary import SkiStatus, StatusReason


class UsageBody(RecordModel):
    """Days the ski was out since the last usage record."""

    days: Days = Field(description="Days out since the last usage record [d], 0 to 400.")
    remarks: Remarks | None = Field(
        default=None, description="Remarks on the use, up to 2000 characters; no names."
    )


class StatusBody(RecordModel):
    """Where the ski stands in its shop, from this time on."""

    status: SkiStatus = Field(description="The status from this time on.")
    reason: StatusReason | None = Field(
        default=None, description="Why; needed when a ski is retired."
    )
    reason_text: Label | None = Field(default=None, description="The reason, when it is `other`.")

    def broken_rules(self) -> Iterator[Broken]:
        """A retired ski has a reason."""
        yield from super().broken_rules()
        if self.status is SkiStatus.RETIRED and self.reason is None:
            yield Broken("reason", "reason-needed", "Say why the ski was retired.")


class PairBody(RecordModel):
    """The other ski of the pair."""

    other_ski: SkiTag = Field(description="The tag of the ski that is used together with this one.")


class PairBodyDraft(PairBody):
    """The other ski of the pair, as a request may send it."""

    is_draft: ClassVar[bool] = True

    other_ski: SkiTagDraft = Field(
        description="The tag of the ski that is used together with this one."
    )

"""The shape of a ski: its tags, what it is, its status, and where to go on."""

from __future__ import annotations

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.api.answers.condition import StatusNowAnswer
from apps.api.answers.figures import DatedAnswer
from apps.api.answers.joined import JoinedAnswer
from apps.api.answers.records import DescriptionAnswer
from apps.api.answers.shape import ShapeAnswer
from apps.records.description import DescriptionBody
from apps.records.place import SkiTag
from apps.records.primitives import RecordId


class PairedAnswer(DatedAnswer):
    """The other ski of a pair."""

    ski: SkiTag = Field(description="Tag of the other ski.")


class SkiLinks(AnswerModel):
    """Addresses of what belongs to the ski."""

    self: str = Field(description="This answer.")
    history: str = Field(description="All records of the ski.")
    condition: str = Field(description="Its state now.")
    plan: str = Field(description="What a tune would take off (POST).")
    pair: str = Field(
        description="The ski it is used with, compared; 404 `no-pair` where no record names one."
    )
    like: str = Field(description="What benches know of skis like it.")
    wear: str = Field(description="How fast it wears, and how long it will last.")
    bundle: str = Field(description="All of it in one signed file that verifies by itself.")


class SkiAnswer(AnswerModel):
    """A ski as its tag names it; what nobody stated is absent."""

    ski: SkiTag = Field(description="The tag that was asked for.")
    tags: list[SkiTag] = Field(description="The tags on the ski, as `joined` joins them.")
    description: DescriptionBody = Field(
        description="What descriptions say, field by field: the latest word of the tag's own "
        "shop, and the latest of other shops where it says nothing."
    )
    described_by: dict[str, RecordId] = Field(
        description="Which record says it, for each field of the description."
    )
    shape: ShapeAnswer = Field(description="Widths and turn radius, each with its method.")
    status: StatusNowAnswer | None = Field(
        default=None, description="The latest status; absent where nobody stated one."
    )
    pairs: list[PairedAnswer] = Field(
        description="The ski it is used together with by the latest record that says so, on "
        "either of the two; empty where none does."
    )
    joined: JoinedAnswer = Field(description="Which tags were joined, and by which links.")
    links: SkiLinks = Field(description="Where to go on.")


class RegisteredAnswer(DescriptionAnswer):
    """The description that registered the ski, and where the ski is now."""

    links: SkiLinks = Field(description="Where to go on.")

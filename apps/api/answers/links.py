"""The shape of a link in an answer, of a page of them, and of a ski that got another tag."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.api.answers.joined import JoinedAnswer
from apps.api.answers.records import DescriptionAnswer, ErasedAnswer, PageAnswer, StoredAnswer
from apps.api.answers.ski import SkiLinks
from apps.records.envelope import DistinctSkiRecord, SameSkiRecord
from apps.records.place import SkiTag

LinkRecord = Annotated[SameSkiRecord | DistinctSkiRecord, Field(discriminator="kind")]


class LinkAnswer(StoredAnswer):
    """A link."""

    record: LinkRecord = Field(description="The record as it was signed.")


class LinkWrittenAnswer(LinkAnswer):
    """A link that was just written, and what came of it."""

    joined: JoinedAnswer = Field(
        description="What the tag that the record is about is joined with now."
    )


class LinkPage(PageAnswer):
    """Links the shop wrote."""

    items: list[LinkAnswer | ErasedAnswer] = Field(description="In the order of the log.")


class RetaggedAnswer(AnswerModel):
    """A ski under another tag of its shop."""

    ski: SkiTag = Field(description="The new tag.")
    description: DescriptionAnswer = Field(description="The description that registered it.")
    link: LinkAnswer = Field(description="The link of the old tag with it.")
    joined: JoinedAnswer = Field(description="What the new tag is joined with now.")
    links: SkiLinks = Field(description="Where to go on.")

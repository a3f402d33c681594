"""How a ski was joined for an answer: which tags, by which links, and whose word each is."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.records.place import SkiTag
from apps.records.primitives import RecordId, ShopHandle

LinksWord = Literal["mutual", "all", "none"]


class StatementAnswer(AnswerModel):
    """What one link says of two tags."""

    record: RecordId = Field(description="Id of the record that says it.")
    author: ShopHandle = Field(description="The shop that says it.")
    says: Literal["same", "distinct"] = Field(
        description="That the two tags are on one ski, or on two."
    )
    ski: SkiTag = Field(description="The tag that the record is about.")
    other_ski: SkiTag = Field(description="The other tag.")
    standing: Literal["mutual", "one-sided", "foreign"] = Field(
        description="`mutual`: the shops of both tags say it, or the one shop of both. "
        "`one-sided`: the shop of one tag says it. `foreign`: neither does, so it counts nothing."
    )


class JoinedAnswer(AnswerModel):
    """Which tags an answer joins, and what shops say of them."""

    links: LinksWord = Field(
        description="The links that were used: `mutual`, those that the shops of both tags state; "
        "`all`, those of one of them too; `none`."
    )
    tags: list[SkiTag] = Field(
        description="The tags whose records are read together; the one asked for is among them."
    )
    statements: list[StatementAnswer] = Field(
        description="What shops say of these tags and of those in `apart`, used or not; at most "
        "100, those between them first. What was taken back is not among them."
    )
    statements_left_out: int = Field(description="How many more there are.")
    contested: bool = Field(
        description="Whether a shop says that two of the tags that hang together are on two skis; "
        "then each is shown by itself."
    )
    too_many: bool = Field(
        description="Whether more than eight tags hang together; then each is shown by itself."
    )
    apart: list[SkiTag] = Field(
        description="The tags that hang together with this one and are shown apart all the same."
    )

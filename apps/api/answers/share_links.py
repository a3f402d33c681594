"""A share link in an answer: which ski it shows, until when, and how often it was opened."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.records.primitives import ShopHandle, Tag


class ShareLinkAnswer(AnswerModel):
    """A link to one ski of the shop."""

    prefix: str = Field(description="Name of the link: the part of its token that is no secret.")
    shop: ShopHandle = Field(description="The shop whose tag it is.")
    tag: Tag = Field(description="The tag of the ski that it shows.")
    state: Literal["live", "expired", "revoked"] = Field(
        description="Whether it works, and why it doesn't."
    )
    created_at: str = Field(description="When it was made, RFC 3339 in UTC.")
    expires_at: str = Field(description="From when on it works no more, RFC 3339 in UTC.")
    revoked_at: str | None = Field(
        default=None, description="When the shop ended it; absent unless it did."
    )
    opened: int = Field(description="How often it was opened.")
    last_opened_at: str | None = Field(
        default=None, description="When it was opened last; absent until it was."
    )


class NewShareLinkAnswer(ShareLinkAnswer):
    """A link that was just made."""

    token: str = Field(description="What opens it. Shown only now; the node keeps a digest.")
    page: str = Field(
        description="Path of the page that it opens; the address of the node comes before it."
    )


class ShareLinksAnswer(AnswerModel):
    """Links of a shop."""

    items: list[ShareLinkAnswer] = Field(description="The latest first; those that ended too.")
    next: str | None = Field(
        default=None, description="Address of the next page; absent on the last one."
    )


class EndedShareLinkAnswer(ShareLinkAnswer):
    """A link that works no more."""

"""A webhook in an answer, and what was told to it."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from apps.api.answers.base import AnswerModel


class DeliveryAnswer(AnswerModel):
    """One message: a stretch of the log, and how telling it went."""

    id: str = Field(description="Id of the message; the same at every try.")
    begin: int = Field(alias="from", description="First log position that the message tells of.")
    until: int = Field(description="Log position before which it ends.")
    outcome: Literal["waiting", "delivered", "dropped"] = Field(
        description="Waiting for a try, delivered, or given up."
    )
    tries: int = Field(description="Tries so far.")
    last_answer: str | None = Field(
        default=None, description="What the last try came to; absent before the first ended."
    )
    made_at: str = Field(description="When the message was made, RFC 3339 in UTC.")
    next_at: str | None = Field(
        default=None, description="Before when it is not tried again; absent once it has ended."
    )


class WebhookAnswer(AnswerModel):
    """A receiver that is told when the log has grown."""

    id: str = Field(description="Id of the webhook.")
    url: str = Field(description="Where messages go.")
    state: Literal["active", "paused"] = Field(
        description="Active, or paused after too many tries that failed."
    )
    reason: str | None = Field(default=None, description="Why it is paused.")
    told: int = Field(
        description="Log positions below this one were told; the next message begins here."
    )
    created_at: str = Field(description="When it was added, RFC 3339 in UTC.")


class NewWebhookAnswer(WebhookAnswer):
    """A webhook that was just added."""

    secret: str = Field(
        description="What its messages are signed with, by Standard Webhooks. Shown only now."
    )


class WebhookItemAnswer(WebhookAnswer):
    """A webhook with its last messages."""

    deliveries: list[DeliveryAnswer] = Field(description="The last 20, the latest first.")


class WebhooksAnswer(AnswerModel):
    """The webhooks of a shop."""

    items: list[WebhookAnswer] = Field(description="The oldest first; a shop has at most 8.")


class RemovedWebhookAnswer(WebhookAnswer):
    """A webhook as it was when it was removed."""

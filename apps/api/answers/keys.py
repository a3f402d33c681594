"""A signing key in an answer: whose it is, who holds it, and where in the log it speaks."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.records.primitives import KeyId, PublicKeyText, RecordId, ShopHandle


class KeyAnswer(AnswerModel):
    """One signing key of the shop."""

    key: KeyId = Field(description="Id of the key: its RFC 7638 thumbprint.")
    shop: ShopHandle = Field(description="The shop that it signs for.")
    public: PublicKeyText = Field(description="The Ed25519 public key, base64url, 43 characters.")
    held_by: Literal["shop", "node"] = Field(description="Who holds the private half.")
    state: Literal["live", "ended"] = Field(
        description="Live, or ended: what it signs from `ends_at` on is refused."
    )
    record: RecordId = Field(description="The record that brought it in.")
    valid_from: int = Field(
        description="Log position of that record; the key speaks for those after it."
    )
    ended_by: RecordId | None = Field(
        default=None, description="The record that ended it; absent for a live one."
    )
    ends_at: int | None = Field(
        default=None,
        description="Log position of that record; the key speaks for those before it, whatever "
        "date a record bears. Absent for a live one.",
    )


class KeysAnswer(AnswerModel):
    """All signing keys of the shop, those that ended too."""

    items: list[KeyAnswer] = Field(description="In the order in which they began.")

"""What the node keeps of a peer's word."""

from __future__ import annotations

from pydantic import Field

from apps.api.answers.base import AnswerModel


class CosignatureAnswer(AnswerModel):
    """The latest checkpoint that the peer vouched for."""

    witness: str = Field(description="Host of the peer's node.")
    size: int = Field(description="Records in the log as the peer saw it.")

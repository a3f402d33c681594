"""The shape of every refusal (RFC 9457)."""

from __future__ import annotations

from pydantic import Field

from apps.api.answers.base import AnswerModel


class ProblemError(AnswerModel):
    """One thing to mend."""

    pointer: str | None = Field(
        default=None, description="JSON Pointer (RFC 6901) into the body; absent for parameters."
    )
    parameter: str | None = Field(
        default=None, description="The query parameter; absent for mistakes in the body."
    )
    line: int | None = Field(
        default=None, description="Line of the file that was sent, from 1; for imports only."
    )
    column: str | None = Field(
        default=None, description="Column of the table that was sent; for imports only."
    )
    code: str = Field(description="Stable word for the kind of mistake.")
    detail: str = Field(description="A sentence that names the mend.")


class ProblemAnswer(AnswerModel):
    """Why a request was refused, and what mends it."""

    type: str = Field(description="Stable reference to the page that explains this problem.")
    title: str = Field(description="The same few words for each problem of this type.")
    status: int = Field(description="The HTTP status.")
    detail: str = Field(description="What happened this time, in a sentence.")
    instance: str = Field(description="The path of the request.")
    request_id: str = Field(description="Id of the request, to tell the operator.")
    errors: list[ProblemError] | None = Field(
        default=None, description="All that needs mending, at once."
    )

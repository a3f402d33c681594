"""What of the log is asked for."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import BeforeValidator, Field

from apps.api.problem_types import INVALID_PARAMETERS
from apps.api.problems import Mistake, Problem
from apps.api.query import USUAL_ITEMS, Limit, Position, Query
from apps.records.forms import fault, shown

_RECORD_ID = re.compile(r"[0-9a-f]{64}", re.ASCII)


def _record_id(value: object) -> object:
    if not _RECORD_ID.fullmatch(str(value)):
        raise fault(
            "not-a-record-id", f"{shown(value)} is no id; write 64 lower-case hexadecimal digits."
        )
    return value


Id = Annotated[
    str, BeforeValidator(_record_id), Field(json_schema_extra={"pattern": "^[0-9a-f]{64}$"})
]


class CheckpointQuery(Query):
    """Which checkpoint is asked for."""

    size: Position | None = Field(
        default=None, description="Of the log as it was at this size; as it is when left out."
    )


class ProofQuery(Query):
    """Which place of which tree is to be proved."""

    record: Id | None = Field(
        default=None, description="Id of the record. Give this or `index`, not both."
    )
    index: Position | None = Field(default=None, description="Place in the log, from 0.")
    size: Position | None = Field(
        default=None,
        description="Records of the tree, such as a checkpoint names; all there are when left out.",
    )


class ConsistencyQuery(Query):
    """Between which two sizes the log is to be proved to have grown."""

    old: Position = Field(description="Records of the older tree.")
    size: Position | None = Field(
        default=None, description="Records of the newer tree; all there are when left out."
    )


class RowsQuery(Query):
    """Which rows of the log are asked for."""

    start: Position = Field(
        default=0, alias="from", description="Place of the first row. Part of `next`."
    )
    until: Position | None = Field(
        default=None,
        description="Fixed bound: rows below it are listed. Part of `next`; the first page sets "
        "it. Give the size of a checkpoint to follow the log up to there.",
    )
    limit: Limit = Field(
        default=USUAL_ITEMS, description="Rows on a page, 1 to 500; long rows make it shorter."
    )


def wrong(parameter: str, code: str, sentence: str) -> Problem:
    """Make the problem of one query parameter."""
    mistake = Mistake(code, sentence, parameter=parameter)
    return Problem(INVALID_PARAMETERS, sentence, mistakes=[mistake])


def one_of_two(query: ProofQuery) -> None:
    """Refuse a query that names no place, or one twice.

    Raises
    ------
    Problem
        `invalid-parameters`.
    """
    if (query.record is None) == (query.index is None):
        raise wrong("record", "one-of-two", "Give `record` or `index`, one of the two.")

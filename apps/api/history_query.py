"""What of a ski's history is asked for, and the page of it that is answered."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Annotated

from pydantic import BeforeValidator, Field, ValidationInfo, field_validator

from apps.api.history import Item, done_by, item_members, items_of, rows_of
from apps.api.joined import LinksQuery
from apps.api.lists import PageQuery
from apps.api.problem_types import INVALID_PARAMETERS, JOINED_OTHERWISE
from apps.api.problems import Mistake, Problem
from apps.api.query import Flag
from apps.api.stored import members
from apps.records.forms import fault
from apps.records.moments import MOMENT_PATTERN, PerformedAt
from apps.registry.models import Record

_RAW_CURSOR = re.compile(r"[0-9]{1,15}", re.ASCII)
_FOLDED_CURSOR = re.compile(r"[0-9a-f]{64}", re.ASCII)
MARK_LENGTH = 16
AFTER = "This is no place in this history; follow `next` as it is given."


def _moment(value: object) -> object:
    if isinstance(value, str) and " " in value:
        # A plus sign in an address means a blank, which spoils an offset like +01:00.
        raise fault("blank-in-time", "Write the plus sign of an offset as %2B in an address.")
    return PerformedAt.read(value)


Moment = Annotated[
    str, BeforeValidator(_moment), Field(json_schema_extra={"pattern": MOMENT_PATTERN})
]


class HistoryQuery(LinksQuery, PageQuery):
    """What of a ski's history is asked for."""

    raw: Flag = Field(
        default=False,
        description="`true` lists every record by itself, in the order of the log; else "
        "corrections and retractions stand with the record they are about.",
    )
    as_of: Moment | None = Field(
        default=None,
        description="Only what was done by the end of this day, or by this time with offset, by "
        "what is known now. Not with `raw`.",
    )
    after: str | None = Field(
        default=None, description="Where the page begins. Part of `next`; don't make one up."
    )
    together: str | None = Field(
        default=None, description="Which tags the first page joined. Part of `next`."
    )

    @field_validator("as_of")
    @classmethod
    def _folded_only(cls, value: str | None, info: ValidationInfo) -> str | None:
        if value is not None and info.data.get("raw"):
            sentence = "`raw` shows all records as they came; leave `as_of` or `raw` out."
            raise fault("not-with-raw", sentence)
        return value

    @field_validator("after")
    @classmethod
    def _cursor(cls, value: str | None, info: ValidationInfo) -> str | None:
        form = _RAW_CURSOR if info.data.get("raw") else _FOLDED_CURSOR
        if value is not None and not form.fullmatch(value):
            raise fault("no-such-place", AFTER)
        return value

    @property
    def moment(self) -> PerformedAt | None:
        """The day or time asked for."""
        return None if self.as_of is None else PerformedAt(self.as_of)


@dataclass(frozen=True, slots=True)
class Page:
    """A page, and the cursor that the next one begins after; None on the last one."""

    items: list[dict[str, object]]
    cursor: object | None


def raw_page(tags: Collection[str], query: HistoryQuery, until: int) -> Page:
    """Give the next records in the order of the log: one query."""
    after = -1 if query.after is None else int(query.after)
    records = Record.objects.of_tags(tags).page(after=after, up_to=until, size=query.limit + 1)
    rows = list(records.stored())
    shown = rows[: query.limit]
    more = len(rows) > query.limit
    return Page([members(row) for row in shown], shown[-1].log_index if more else None)


def folded_page(tags: Collection[str], query: HistoryQuery, until: int) -> Page:
    """Give the next items in the order of time: one query, whatever the page.

    Raises
    ------
    Problem
        `invalid-parameters` for a cursor that is not in this history.
    """
    items = items_of(rows_of(tags, until=until))
    wanted = [item for item in items if done_by(item.performed_at, query.moment)]
    rest = wanted[_start(wanted, query.after) :]
    shown = rest[: query.limit]
    more = len(rest) > query.limit
    return Page([item_members(item) for item in shown], shown[-1].row.id if more else None)


def same_together(tags: Collection[str], query: HistoryQuery) -> str:
    """Give the mark of the tags that are joined, which must be that of the first page.

    Raises
    ------
    Problem
        `joined-otherwise`, since else a page would leave out what the one before it promised.
    """
    mark = hashlib.sha256("\n".join(sorted(tags)).encode()).hexdigest()[:MARK_LENGTH]
    if query.together is not None and query.together != mark:
        sentence = "Links have joined or parted tags since the first page; begin again without "
        raise Problem(JOINED_OTHERWISE, f"{sentence}`after`, `until` and `together`.")
    return mark


def _start(items: Sequence[Item], after: str | None) -> int:
    if after is None:
        return 0
    for number, item in enumerate(items):
        if item.row.id == after:
            return number + 1
    mistake = Mistake("no-such-place", AFTER, parameter="after")
    raise Problem(INVALID_PARAMETERS, AFTER, mistakes=[mistake])

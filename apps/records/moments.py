"""When something was done: a calendar date, or a date-time with its offset (RFC 3339)."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from apps.records.forms import Mode, fault, shown

FIRST_YEAR = 1950
LAST_YEAR = 2100

DAY_PATTERN = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"
MOMENT_PATTERN = (
    r"^[0-9]{4}-[0-9]{2}-[0-9]{2}"
    r"(T[0-9]{2}:[0-9]{2}:[0-9]{2}(Z|[+-][0-9]{2}:[0-9]{2}))?$"
)

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_MOMENT = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(?:Z|[+-]\d{2}:\d{2})", re.ASCII)
_FRACTION = re.compile(r".*:\d{2}[.,]\d+", re.ASCII)
_NO_OFFSET = re.compile(r"\d{4}-\d{2}-\d{2}[Tt ]\d{2}:\d{2}(?::\d{2})?", re.ASCII)


class PerformedAt(str):
    """A date or a date-time with offset, kept as the string it came as."""

    __slots__ = ()

    @property
    def day(self) -> date:
        """The calendar day as the bench wrote it, in its own offset."""
        return date.fromisoformat(self[:10])

    @property
    def has_time(self) -> bool:
        """Whether a time of day was given."""
        return len(self) > len("2000-01-01")

    @property
    def sort_key(self) -> str:
        """The instant in UTC as text that sorts in time order.

        A bare date counts as its first moment in UTC, so that a time of that day comes after it.
        """
        if not self.has_time:
            return f"{self}T00:00:00Z"
        moment = datetime.fromisoformat(self).astimezone(UTC)
        return moment.strftime("%Y-%m-%dT%H:%M:%SZ")

    @classmethod
    def read(cls, value: object) -> PerformedAt:
        """Read a date or date-time.

        Raises
        ------
        PydanticCustomError
            Codes `not-a-date`, `fraction-of-second`, `no-offset`, `year-out-of-range`.
        """
        if not isinstance(value, str):
            raise fault("not-a-date", 'Write the date as a string such as "2025-01-31".')
        if _MOMENT.fullmatch(value):
            _real(value, datetime.fromisoformat)
        elif _DAY.fullmatch(value):
            _real(value, date.fromisoformat)
        else:
            raise _unreadable(value)
        return cls(value)

    @classmethod
    def __get_pydantic_core_schema__(
        cls, source: type[Any], handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            cls.read, serialization=core_schema.to_string_ser_schema()
        )

    @classmethod
    def __get_pydantic_json_schema__(
        cls, core: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return {"type": "string", "pattern": MOMENT_PATTERN}


def read_day(value: str, _mode: Mode) -> str:
    """Read a calendar date; the same in both modes."""
    if not _DAY.fullmatch(value):
        raise fault("not-a-date", f"Write the date as YYYY-MM-DD instead of {shown(value)}.")
    _real(value, date.fromisoformat)
    return value


def _real(value: str, parse: Any) -> None:
    try:
        parsed = parse(value)
    except ValueError:
        raise fault("not-a-date", f"{shown(value)} is no real date or time; correct it.") from None
    if not FIRST_YEAR <= parsed.year <= LAST_YEAR:
        raise fault(
            "year-out-of-range",
            f"The year of {shown(value)} is outside {FIRST_YEAR} to {LAST_YEAR}; correct it.",
        )


def _unreadable(value: str) -> Exception:
    if _FRACTION.match(value):
        return fault("fraction-of-second", "Leave out the fraction of the second.")
    if _NO_OFFSET.fullmatch(value):
        return fault(
            "no-offset",
            "A time needs its offset and seconds: write it like "
            '"2025-01-31T14:30:00+01:00", or give the date alone.',
        )
    return fault(
        "not-a-date",
        f'Write {shown(value)} as a date "2025-01-31" or as a time with offset '
        '"2025-01-31T14:30:00+01:00" (T and Z in capitals).',
    )

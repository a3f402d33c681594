"""What may be asked of a fleet: which skis, in which order, where a page begins, which format."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema, field_validator

from apps.api.condition import today
from apps.api.lists import Day
from apps.api.problem_types import INVALID_PARAMETERS
from apps.api.problems import Mistake, Problem
from apps.api.query import USUAL_ITEMS, Limit, Query, Whole
from apps.records.decimals import FixedStep
from apps.records.forms import Mode, fault, shown
from apps.records.names import check_tag
from apps.registry.conditions import STANDINGS
from apps.registry.errors import UnknownPlace
from apps.registry.fleet import Bound, Order, Selection
from apps.registry.fleet_columns import SORT_PATTERN, order_of
from apps.registry.fleet_places import read_place
from apps.registry.models.jobs import SEVERITIES
from apps.registry.models.keeping import STATUSES

UNKNOWN = "unknown"
AFTER = "This is no place in this list; follow `next` as it is given."
_LENGTH = FixedStep("0.001", "0.000", "5.000", "mm", "give the length in millimetres")


def _sort(value: object) -> object:
    order_of(str(value))
    return value


def _words(allowed: Sequence[str]) -> Callable[[object], object]:
    def read(value: object) -> object:
        for word in str(value).split(","):
            if word not in allowed:
                listed = ", ".join(allowed)
                sentence = f"{shown(word)} is none of the words here; write some of {listed}."
                raise fault("unknown-word", sentence)
        return value

    return read


def _micrometres(value: object) -> object:
    return int(Decimal(_LENGTH.read(value, Mode(draft=True))) * 1000)


def _prefix(value: object) -> object:
    # A prefix may end where no tag may, so a letter is put behind it for the check.
    return check_tag(f"{value}X" if value else "", Mode(draft=True))[:-1]


def _list_of(allowed: Sequence[str]) -> dict[str, str]:
    one = f"({'|'.join(allowed)})"
    return {"type": "string", "pattern": f"^{one}(,{one})*$"}


Millimetres = Annotated[
    int,
    BeforeValidator(_micrometres),
    WithJsonSchema({"type": "number", "minimum": 0, "maximum": 5}),
]
Sort = Annotated[
    str, BeforeValidator(_sort), WithJsonSchema({"type": "string", "pattern": SORT_PATTERN})
]
Prefix = Annotated[str, BeforeValidator(_prefix)]
STATUS_WORDS = (*STATUSES, UNKNOWN)
Statuses = Annotated[
    str, BeforeValidator(_words(STATUS_WORDS)), WithJsonSchema(_list_of(STATUS_WORDS))
]
Standings = Annotated[str, BeforeValidator(_words(STANDINGS)), WithJsonSchema(_list_of(STANDINGS))]
Services = Annotated[Whole, Field(ge=0, le=10_000)]
Days = Annotated[Whole, Field(ge=0, le=10_000)]
Format = Literal["json", "csv"]
BELOW, LEFT = (
    "Only skis with less than this left [mm]",
    "Only skis with this much left or more [mm]",
)


class FleetPageQuery(Query):
    """Which skis of the own fleet, and how they are shown."""

    limit: Limit | None = Field(
        default=None,
        description=f"Skis on a page, 1 to 500; {USUAL_ITEMS} when left out. CSV gives all skis "
        "unless it is stated.",
    )
    format: Format | None = Field(
        default=None, description="`json` or `csv`; by the Accept header when left out."
    )
    as_of: Day | None = Field(
        default=None,
        description="The day from which days are counted; today in UTC when left out. What is "
        "recorded counts in any case. Part of `next`.",
    )
    status: Statuses | None = Field(
        default=None,
        description="Only skis of these statuses, with commas between; `unknown` is a ski whose "
        "status nobody stated.",
    )
    tag_prefix: Prefix | None = Field(
        default=None, description="Only skis whose tag begins so; lower case is read as upper case."
    )

    @property
    def on(self) -> date:
        """The day from which days are counted."""
        return today() if self.as_of is None else date.fromisoformat(self.as_of)

    @property
    def size(self) -> int:
        """Skis on a page."""
        return USUAL_ITEMS if self.limit is None else self.limit

    def words(self) -> dict[str, tuple[str, ...]]:
        """The words asked for, by column."""
        if self.status is None:
            return {}
        return {"status": tuple("" if s == UNKNOWN else s for s in self.status.split(","))}

    @property
    def selection(self) -> Selection:
        """Which skis."""
        return Selection(words=self.words(), tag_prefix=self.tag_prefix or "")


class FleetQuery(FleetPageQuery):
    """Which skis of the own fleet, in which order. A ski whose value is unknown meets no limit."""

    sort: Sort = Field(
        default="tag",
        description="The column to sort by, with a minus before it for the greatest first. Words "
        "stand from the best to the worst. Unknown values stand last either way, and ties by tag.",
    )
    after: str | None = Field(
        default=None, description="Where the page begins. Part of `next`; don't make one up."
    )
    base_bevel_standing: Standings | None = Field(
        default=None, description="Only skis whose base bevel stands so; some words, with commas."
    )
    side_bevel_standing: Standings | None = Field(
        default=None, description="Only skis whose side bevel stands so; some words, with commas."
    )
    severity_at_least: Literal["slight", "moderate", "severe"] | None = Field(
        default=None, description="Only skis with an open finding as bad as this or worse."
    )
    edge_height_below: Millimetres | None = Field(default=None, description=f"{BELOW}, 0 to 5.")
    edge_height_at_least: Millimetres | None = Field(default=None, description=f"{LEFT}, 0 to 5.")
    edge_width_below: Millimetres | None = Field(default=None, description=f"{BELOW}, 0 to 5.")
    edge_width_at_least: Millimetres | None = Field(default=None, description=f"{LEFT}, 0 to 5.")
    base_thickness_below: Millimetres | None = Field(default=None, description=f"{BELOW}, 0 to 5.")
    base_thickness_at_least: Millimetres | None = Field(
        default=None, description=f"{LEFT}, 0 to 5."
    )
    services_left_at_most: Services | None = Field(
        default=None, description="Only skis that are surely good for no more services than this."
    )
    last_job_before: Day | None = Field(
        default=None, description="Only skis whose last job was before this day."
    )
    last_job_after: Day | None = Field(
        default=None, description="Only skis whose last job was after this day."
    )
    days_out_since_job_at_least: Days | None = Field(
        default=None, description="Only skis that may have been out so many days since then [d]."
    )

    @field_validator("after")
    @classmethod
    def _form(cls, value: str | None) -> str | None:
        if value is not None and len(value) > 500:
            raise fault("no-such-place", AFTER)
        return value

    @property
    def order(self) -> Order:
        """In which order."""
        return order_of(self.sort)

    def words(self) -> dict[str, tuple[str, ...]]:
        """The words asked for, by column."""
        given = {
            "base_bevel_standing": self.base_bevel_standing,
            "side_bevel_standing": self.side_bevel_standing,
        }
        found = {name: tuple(words.split(",")) for name, words in given.items() if words}
        if self.severity_at_least:
            least = SEVERITIES.index(self.severity_at_least)
            found["worst_severity"] = SEVERITIES[least:]
        return {**super().words(), **found}

    @property
    def selection(self) -> Selection:
        """Which skis."""
        ends = ((column, how, getattr(self, name)) for name, (column, how) in BOUNDS.items())
        bounds = tuple(Bound(column, how, end) for column, how, end in ends if end is not None)
        return Selection(self.words(), bounds, self.tag_prefix or "")


BOUNDS: Mapping[str, tuple[str, Literal["lt", "lte", "gt", "gte"]]] = {
    "edge_height_below": ("edge_height_least_um", "lt"),
    "edge_height_at_least": ("edge_height_least_um", "gte"),
    "edge_width_below": ("edge_width_least_um", "lt"),
    "edge_width_at_least": ("edge_width_least_um", "gte"),
    "base_thickness_below": ("base_thickness_um", "lt"),
    "base_thickness_at_least": ("base_thickness_um", "gte"),
    "services_left_at_most": ("services_left_low", "lte"),
    "last_job_before": ("last_job_day", "lt"),
    "last_job_after": ("last_job_day", "gt"),
    "days_out_since_job_at_least": ("days_out_since_job_high", "gte"),
}


class DueQuery(FleetPageQuery):
    """Which skis of the own fleet are due."""

    within_days: Annotated[Whole, Field(ge=0, le=366)] = Field(
        default=0,
        description="Also skis that become due within so many days [d], 0 to 366.",
    )
    after: str | None = Field(
        default=None, description="Where the page begins. Part of `next`; don't make one up."
    )


def place_after(sort: str, after: str, *, within: str) -> tuple[Any, str]:
    """Read the value and the key of the ski that a page begins after.

    Raises
    ------
    Problem
        `invalid-parameters` for a place of another list or order, or one that was changed.
    """
    try:
        return read_place(sort, after, within=within)
    except UnknownPlace:
        mistake = Mistake("no-such-place", AFTER, parameter="after")
        raise Problem(INVALID_PARAMETERS, AFTER, mistakes=[mistake]) from None

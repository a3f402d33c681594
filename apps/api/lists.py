"""Pages of a shop's own records: by log position, between a cursor and a bound that stays."""

from __future__ import annotations

from collections.abc import Collection
from typing import Annotated

from django.conf import settings
from pydantic import BeforeValidator, Field

from apps.api.query import USUAL_ITEMS, Limit, Position, Query
from apps.records.forms import Mode
from apps.records.moments import read_day
from apps.records.names import check_handle, check_tag
from apps.registry.models import Record
from apps.registry.models.ski import tag_key
from apps.registry.querysets import RecordQuerySet


def _day(value: object) -> object:
    return read_day(str(value), Mode(draft=True))


def _shop(value: object) -> object:
    return check_handle(str(value), Mode(draft=True, node_host=settings.NODE_HOST))


def _tag(value: object) -> object:
    return check_tag(str(value), Mode(draft=True))


Day = Annotated[str, BeforeValidator(_day)]
Shop = Annotated[str, BeforeValidator(_shop)]
Tag = Annotated[str, BeforeValidator(_tag)]


class PageQuery(Query):
    """Where a page begins and ends."""

    limit: Limit = Field(default=USUAL_ITEMS, description="Items on a page, 1 to 500.")
    until: Position | None = Field(
        default=None,
        description="Fixed bound: log positions below it are listed. Part of `next`; the first "
        "page sets it.",
    )


class ListQuery(PageQuery):
    """What of a shop's own records is listed."""

    after: Position | None = Field(
        default=None, description="Log position after which the page begins. Part of `next`."
    )
    tag: Tag | None = Field(default=None, description="Only records on this tag.")
    shop: Shop | None = Field(
        default=None, description="The shop whose tag it is; the own one when left out."
    )
    from_day: Day | None = Field(
        default=None,
        description="Only what the record, as it was first written, says was done on this day or "
        "later; a correction of the date is not looked at.",
    )
    to_day: Day | None = Field(
        default=None,
        description="Only what the record, as it was first written, says was done on this day or "
        "earlier; a correction of the date is not looked at.",
    )


def own_records(kinds: Collection[str], handle: str, query: ListQuery) -> RecordQuerySet:
    """The records of some kinds that a shop wrote, as far as the query asks for them."""
    records = Record.objects.written_by(handle).of_kind(*kinds)
    if query.tag is not None:
        records = records.filter(subject_id=tag_key(query.shop or handle, query.tag))
    if query.from_day is not None:
        records = records.filter(performed_day__gte=query.from_day)
    if query.to_day is not None:
        records = records.filter(performed_day__lte=query.to_day)
    return records

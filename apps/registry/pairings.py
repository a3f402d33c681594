"""Which other ski a ski is used together with, by the pair records in effect."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from apps.registry.models import Pairing, Tag


@dataclass(frozen=True, slots=True)
class Paired:
    """Another ski, and the record that says that it is used together with this one.

    Parameters
    ----------
    shop, tag : str
        The other ski; it may not be registered here.
    record : str
        Id of the record in effect, the correction where there is one.
    day : date
        Day of that record.
    """

    shop: str
    tag: str
    record: str
    day: date


def pairs_of(found: Tag) -> tuple[Paired, ...]:
    """Give the other skis, each by the latest record that says so, the latest first: one query.

    A record on the other ski counts too where it is by the same shop. By another shop it does
    not: nobody can pair a foreign ski with his own.
    """
    ours = Q(tag__ski=found.ski_id)
    own_keys = Tag.objects.filter(ski=found.ski_id).values("key")
    theirs = Q(other_tag_key__in=own_keys, author=found.shop)
    rows = Pairing._default_manager.filter(ours | theirs).select_related("tag")
    latest: dict[str, Paired] = {}
    for row in rows.order_by("-performed_day", "-record__log_index"):
        other = row.other_tag_key if row.tag.ski_id == found.ski_id else row.tag_id
        if other not in latest:
            shop, _, tag = other.partition("/")
            latest[other] = Paired(shop, tag, row.stated_by, row.performed_day)
    return tuple(latest.values())

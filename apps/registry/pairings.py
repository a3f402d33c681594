"""Which other ski a ski is used together with, by the pair records in effect."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Q

from apps.records.clusters import tag_shop
from apps.registry.joining import JoinedSki
from apps.registry.models import Pairing
from apps.registry.models.ski import shop_and_tag


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


def pairs_of(ski: JoinedSki) -> tuple[Paired, ...]:
    """Give the other skis, each by the latest record that says so, the latest first: one query.

    A record on the other ski counts too where it is by the shop of a tag of this one. By another
    shop it does not: nobody can pair a foreign ski with his own.
    """
    shops = {tag_shop(key) for key in ski.tags}
    ours = Q(tag__in=ski.tags)
    theirs = Q(other_tag_key__in=ski.tags, author__in=shops)
    rows = Pairing._default_manager.filter(ours | theirs)
    latest: dict[str, Paired] = {}
    for row in rows.order_by("-performed_day", "-record__log_index"):
        other = row.other_tag_key if row.tag_id in ski.tags else row.tag_id
        # Links may join the two tags of a pair, and a ski is not its own pair.
        if other not in latest and other not in ski.tags:
            shop, tag = shop_and_tag(other)
            latest[other] = Paired(shop, tag, row.stated_by, row.performed_day)
    return tuple(latest.values())

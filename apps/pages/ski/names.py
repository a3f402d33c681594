"""How records and those who wrote them are named on a page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from apps.pages.ski.viewer import Viewer
from apps.records.folding import Fold, Folded
from apps.records.job import JobBody
from apps.registry.models.ski import shop_and_tag
from apps.registry.naming import short_shop

ANCHOR_LENGTH = 16


def anchor(record_id: str) -> str:
    """Give the name by which a page leads to a record."""
    return f"r-{record_id[:ANCHOR_LENGTH]}"


def tag_name(key: str) -> str:
    """Write a tag with its shop, the shop as addresses name it."""
    shop, tag = shop_and_tag(key)
    return f"{short_shop(shop)}/{tag}"


@dataclass(frozen=True, slots=True)
class Mention:
    """A record as something else on the page points to it.

    Parameters
    ----------
    anchor : str
        Where on the page it is.
    day : date
        Day of what is in effect of it.
    author : str
        The shop as addresses name it.
    technician : str
        Alias of who did the work; "" where nobody says or the viewer isn't told.
    """

    anchor: str
    day: date
    author: str
    technician: str = ""


class Mentions:
    """The records of a ski as they are pointed to, by id, corrections under their originals."""

    def __init__(self, fold: Fold, viewer: Viewer) -> None:
        self._viewer = viewer
        self._by_id: Mapping[str, Folded] = {
            name: one for one in fold.records for name in (one.record_id, *one.corrections)
        }

    def of(self, record_id: str) -> Mention | None:
        """Give the mention of a record, None for one that is not on the page."""
        one = self._by_id.get(record_id)
        return None if one is None else self._mention(one)

    def each(self, record_ids: Iterable[str]) -> tuple[Mention, ...]:
        """Give the mentions of some records, each once, as they were given."""
        return tuple(dict.fromkeys(self._each(record_ids)))

    def _each(self, record_ids: Iterable[str]) -> Iterator[Mention]:
        for record_id in record_ids:
            found = self.of(record_id)
            if found is not None:
                yield found

    def _mention(self, one: Folded) -> Mention:
        technician = "" if self._viewer.is_buyer else technician_of(one)
        day = one.content.performed_at.day
        return Mention(anchor(one.record_id), day, short_shop(one.record.author), technician)


def technician_of(one: Folded) -> str:
    """Give the alias of who did the work, as the shop states it; "" where it doesn't."""
    body = one.content.body
    return (body.technician or "") if isinstance(body, JobBody) else ""

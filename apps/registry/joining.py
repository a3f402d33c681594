"""A ski as it is read: the tags that links join with the one asked for, and who says so."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone

from apps.records.clusters import Joined, Links, Weighed, clusters, tag_shop
from apps.registry import policies
from apps.registry.actors import Actor
from apps.registry.linking import around
from apps.registry.models import LookUp, Tag
from apps.registry.storage import storage_errors


@dataclass(frozen=True, slots=True)
class JoinedSki:
    """A tag and what it is read together with.

    Parameters
    ----------
    tag : Tag
        The tag that was asked for.
    tags : tuple of str
        The registered tags whose records are read together, it among them, sorted.
    joined : Joined
        What links say, as far as they were asked for.
    """

    tag: Tag
    tags: tuple[str, ...]
    joined: Joined

    @property
    def statements(self) -> tuple[Weighed, ...]:
        """What is said, those that join or part the tags that are shown first."""
        tags = set(self.joined.tags) | set(self.joined.apart)
        return tuple(sorted(self.joined.statements, key=lambda one: not one.statement.pair <= tags))


def joined_ski(found: Tag, links: Links) -> JoinedSki:
    """Read a tag with those that links join with it: one query, and one more where any does."""
    said = around([found.key], links)
    joined = clusters([found.key], [*said.inside, *said.outside], links).of(found.key)
    return JoinedSki(found, _registered(joined.tags), joined)


def _registered(tags: tuple[str, ...]) -> tuple[str, ...]:
    if len(tags) == 1:
        return tags
    return tuple(sorted(Tag.objects.filter(key__in=tags).values_list("key", flat=True)))


def look_up_ski(
    *, shop: str, tag: str, links: Links, by: Actor, now: datetime | None = None
) -> JoinedSki:
    """Find a ski for someone who holds a tag of it; a look at other shops' tags is noted.

    Raises
    ------
    NotAllowed, UnknownTag
    """
    policies.may_read(by)
    ski = joined_ski(Tag.objects.find(shop, tag), links)
    note_look(ski, by=by, now=now)
    return ski


def note_look(ski: JoinedSki, *, by: Actor, now: datetime | None = None) -> None:
    """Note that a shop read a ski, for each tag of another shop that it was read by."""
    foreign = [key for key in ski.tags if by.handle and tag_shop(key) != by.handle]
    if foreign:
        looked_at = now or timezone.now()
        with storage_errors():
            LookUp.objects.bulk_create(
                LookUp(shop_id=by.handle, tag_key=key, looked_at=looked_at) for key in foreign
            )

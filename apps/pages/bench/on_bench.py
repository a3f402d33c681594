"""The ski that lies on the bench, and the other one of its pair beside it."""

from __future__ import annotations

from dataclasses import dataclass

from apps.pages.visitor import Visitor
from apps.records.clusters import Links
from apps.records.place import SkiTag
from apps.registry.errors import UnknownTag
from apps.registry.joining import look_up_ski
from apps.registry.naming import ski_named
from apps.registry.pairings import Paired, pairs_of
from apps.registry.sight import Sight, sight_of

LINKS: Links = "mutual"


@dataclass(frozen=True, slots=True)
class OnBench:
    """What lies on the bench.

    Parameters
    ----------
    ski : Sight
        The ski that was asked for.
    other : Sight or None
        The other ski of its pair; None where it has none or that one is not registered here.
    paired : Paired or None
        The record that says so, also where the other ski is not registered here.
    """

    ski: Sight
    other: Sight | None = None
    paired: Paired | None = None

    @property
    def sights(self) -> tuple[Sight, ...]:
        """The skis that are here."""
        return (self.ski,) if self.other is None else (self.ski, self.other)

    @property
    def tags(self) -> tuple[str, ...]:
        """Their tags, as on the labels."""
        return tuple(tag_of(sight).tag for sight in self.sights)

    def alone(self) -> OnBench:
        """The ski that was asked for without the other one."""
        return OnBench(self.ski, None, self.paired)


def tag_of(sight: Sight) -> SkiTag:
    """Give the tag that a ski was asked for by."""
    return SkiTag(shop=sight.ski.tag.shop, tag=sight.ski.tag.tag)


def lay_on_bench(shop: str, tag: str, visitor: Visitor) -> OnBench:
    """Read the ski of an address and the other one of its pair: a fixed number of queries.

    Raises
    ------
    UnknownTag
        If no ski is registered under the tag.
    """
    ski = _seen(ski_named(shop, tag), visitor)
    paired = next(iter(pairs_of(ski.ski)), None)
    if paired is None:
        return OnBench(ski)
    try:
        other = _seen(SkiTag(shop=paired.shop, tag=paired.tag), visitor)
    except UnknownTag:
        return OnBench(ski, None, paired)
    return OnBench(ski, other, paired)


def _seen(named: SkiTag, visitor: Visitor) -> Sight:
    found = look_up_ski(shop=named.shop, tag=named.tag, links=LINKS, by=visitor.actor)
    return sight_of(found, asking=visitor.shop)

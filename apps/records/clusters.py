"""Which tags are on one ski, by what shops say; the same for every order of arrival.

Nobody can register that two tags are one ski: shops say so, and the clusters follow from the set of
what they say. Whoever takes a statement back leaves the clusters as if it had never been made.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

CAP = 8

Links = Literal["mutual", "all", "none"]
Says = Literal["same", "distinct"]
Pair = frozenset[str]


class Standing(StrEnum):
    """Whose word a statement is."""

    MUTUAL = "mutual"
    ONE_SIDED = "one-sided"
    FOREIGN = "foreign"


@dataclass(frozen=True, slots=True, order=True)
class Statement:
    """What one record says of two tags.

    Parameters
    ----------
    record : str
        Id of the record, which was not taken back.
    author : str
        Handle of the shop that says it.
    says : str
        `same` or `distinct`.
    one, other : str
        The two tags, each as `handle/TAG`.
    """

    record: str
    author: str
    says: Says
    one: str
    other: str

    @property
    def pair(self) -> Pair:
        """The two tags in no order."""
        return frozenset((self.one, self.other))

    @property
    def shops(self) -> frozenset[str]:
        """The shops whose tags they are."""
        return frozenset(map(tag_shop, self.pair))

    @property
    def counts(self) -> bool:
        """Whether its author put one of the two tags on."""
        return self.author in self.shops


@dataclass(frozen=True, slots=True)
class Weighed:
    """A statement and whose word it is.

    Parameters
    ----------
    standing : Standing
        Mutual: the shops of both tags say it, or the one shop whose tags both are. One-sided: the
        shop of one tag says it. Foreign: its author put neither on, so that it counts for nothing.
    """

    statement: Statement
    standing: Standing


@dataclass(frozen=True, slots=True)
class Joined:
    """What one tag is joined with.

    Parameters
    ----------
    tags : tuple of str, sorted
        The tags whose records are shown together; the one asked for is among them.
    links : str
        The statements that were used: `mutual`, `all` or `none`.
    statements : tuple of Weighed, by record
        All that shops say of these tags and of those in `apart`, used or not.
    contested : bool
        A shop says that two of the tags that hang together are on two skis.
    too_many : bool
        More than `CAP` tags hang together.
    apart : tuple of str, sorted
        The tags that hang together with this one and are shown apart all the same.
    """

    tags: tuple[str, ...]
    links: Links
    statements: tuple[Weighed, ...]
    contested: bool
    too_many: bool
    apart: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Component:
    """Tags that hang together, and why they are shown apart."""

    tags: tuple[str, ...]
    contested: bool = False

    @property
    def too_many(self) -> bool:
        return len(self.tags) > CAP

    @property
    def is_joined(self) -> bool:
        return not (self.contested or self.too_many)


@dataclass(frozen=True, slots=True)
class Clusters:
    """A set of tags and what is said of them, seen together."""

    links: Links
    components: Mapping[str, _Component]
    statements: Mapping[str, tuple[Weighed, ...]]

    @property
    def groups(self) -> tuple[tuple[str, ...], ...]:
        """The tags that are shown together, each tag in one group, sorted."""
        return tuple(sorted({self._together(tag) for tag in self.components}))

    def of(self, tag: str) -> Joined:
        """Say what a tag is joined with; a tag that nobody named is alone."""
        component = self.components.get(tag, _Component((tag,)))
        tags = self._together(tag)
        said = {one for member in component.tags for one in self.statements.get(member, ())}
        return Joined(
            tags,
            self.links,
            tuple(sorted(said, key=lambda one: one.statement)),
            component.contested,
            component.too_many,
            tuple(member for member in component.tags if member not in tags),
        )

    def _together(self, tag: str) -> tuple[str, ...]:
        component = self.components.get(tag)
        return component.tags if component and component.is_joined else (tag,)


def tag_shop(tag: str) -> str:
    """Give the shop of a tag that is written as `handle/TAG`."""
    return tag.partition("/")[0]


def clusters(
    tags: Iterable[str], statements: Iterable[Statement], links: Links = "mutual"
) -> Clusters:
    """Join tags by what shops say of them.

    Parameters
    ----------
    tags : iterable of str
        Tags as `handle/TAG`; those that only a statement names are taken in too.
    statements : iterable of Statement
        What was said and not taken back, in any order; one that comes twice counts once.
    links : str
        The same-ski statements that join: `mutual`, `all` or `none`.

    Notes
    -----
    A distinct-ski statement needs one shop only: a wrong join mixes two histories, a missing one
    leaves two that can be read side by side. It sets the whole component apart, since nobody can
    say from the outside on which side of the doubt the others belong.
    """
    known = sorted(set(statements))
    weighed = _weighed(known)
    joining = _joining(weighed, links)
    everything = {*tags, *(tag for one in known for tag in one.pair)}
    doubted = {one.statement.pair for one in _counting(weighed, "distinct")}
    components: dict[str, _Component] = {}
    for members in _components(everything, joining):
        component = _Component(members, contested=_holds_one(set(members), doubted))
        components |= dict.fromkeys(members, component)
    return Clusters(links, components, _by_tag(weighed))


def _weighed(statements: Collection[Statement]) -> tuple[Weighed, ...]:
    by_whom: dict[tuple[Says, Pair], set[str]] = defaultdict(set)
    for one in statements:
        by_whom[one.says, one.pair].add(one.author)
    return tuple(Weighed(one, _standing(one, by_whom[one.says, one.pair])) for one in statements)


def _standing(statement: Statement, authors: set[str]) -> Standing:
    if not statement.counts:
        return Standing.FOREIGN
    return Standing.MUTUAL if statement.shops <= authors else Standing.ONE_SIDED


def _counting(weighed: Iterable[Weighed], says: Says) -> Iterable[Weighed]:
    return (
        one for one in weighed if one.statement.says == says and one.standing != Standing.FOREIGN
    )


def _joining(weighed: Iterable[Weighed], links: Links) -> set[Pair]:
    if links == "none":
        return set()
    return {
        one.statement.pair
        for one in _counting(weighed, "same")
        if links == "all" or one.standing is Standing.MUTUAL
    }


def _components(tags: Iterable[str], pairs: Iterable[Pair]) -> Iterable[tuple[str, ...]]:
    beside: dict[str, set[str]] = defaultdict(set)
    for pair in pairs:
        for tag in pair:
            beside[tag] |= pair
    left = set(tags)
    while left:
        found = _reached(left.pop(), beside)
        left -= found
        yield tuple(sorted(found))


def _reached(tag: str, beside: Mapping[str, set[str]]) -> set[str]:
    found, waiting = {tag}, [tag]
    while waiting:
        new = beside.get(waiting.pop(), set()) - found
        found |= new
        waiting.extend(new)
    return found


def _holds_one(members: set[str], pairs: Iterable[Pair]) -> bool:
    return any(pair <= members for pair in pairs)


def _by_tag(weighed: Iterable[Weighed]) -> dict[str, tuple[Weighed, ...]]:
    found: dict[str, list[Weighed]] = defaultdict(list)
    for one in weighed:
        for tag in one.statement.pair:
            found[tag].append(one)
    return {tag: tuple(said) for tag, said in found.items()}

"""What a bundle was found to be, in plain words: what holds, what fails, what no file can show."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field

RANK_WORDS = {
    "shop-signed": "signed with a key that the shop itself holds",
    "node-attested": "signed by the node on the shop's behalf",
    "node-signed": "written by a node itself",
}
LIMITS = (
    "The file can't show that nothing was left out of it, such as a later record or a key's end.",
    "A signature says who wrote a record, and not that it is true.",
)
MOST_FAULTS = 20


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that fails.

    Parameters
    ----------
    place : str
        JSON Pointer into the file; "" is the whole file.
    code : str
        Stable word for what fails.
    sentence : str
        The same in plain words.
    """

    place: str
    code: str
    sentence: str

    def __str__(self) -> str:
        said = f"{self.place}: {self.sentence}" if self.place else self.sentence
        # A name in the file may hold what a terminal would obey.
        return "".join(c if c.isprintable() else f"<U+{ord(c):04X}>" for c in said)


@dataclass(frozen=True, slots=True)
class BundleFacts:
    """What a bundle says of itself; to be believed only where the report holds.

    Parameters
    ----------
    ski : str
        The tag that was asked for, as `handle/TAG`.
    tags : tuple of str
        It and those that it is joined with.
    links : str
        Which same-ski statements joined them.
    origin : str
        Name of the log.
    size : int
        Records of the log at the checkpoint; -1 where the checkpoint can't be read.
    node_key : str
        The node's key as it stands in the file.
    pinned : bool
        Whether the reader gave the key that the node's must be.
    records, erased, later : int
        How many rows; how many of them were erased; how many are of a later format.
    ranks : Counter
        How many records each sort of signer signed.
    first_seen : tuple of str
        Hosts of other nodes whose first key nothing but this log vouches for.
    """

    ski: str
    tags: tuple[str, ...]
    links: str
    origin: str
    size: int
    node_key: str
    pinned: bool
    records: int
    erased: int
    later: int
    ranks: Counter[str] = field(default_factory=Counter)
    first_seen: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class BundleReport:
    """Whether a bundle holds, and all that fails.

    Parameters
    ----------
    faults : tuple of Fault
        In the order of the file; empty when the bundle holds.
    facts : BundleFacts or None
        None when the file can't even be read.
    """

    faults: tuple[Fault, ...]
    facts: BundleFacts | None

    @property
    def holds(self) -> bool:
        """True only when every check was made and none failed."""
        return self.facts is not None and not self.faults

    @property
    def lines(self) -> tuple[str, ...]:
        """The whole report in plain words, a sentence or two a line."""
        if self.holds and self.facts is not None:
            return tuple(_good_words(self.facts))
        more = len(self.faults) - MOST_FAULTS
        rest = (f"And {more} more.",) if more > 0 else ()
        shown = map(str, self.faults[:MOST_FAULTS])
        return ("This bundle does NOT hold. Believe nothing in it.", *shown, *rest)


def _good_words(facts: BundleFacts) -> Iterator[str]:
    yield "This bundle holds."
    yield (
        f"It has {_many(facts.records, 'record')} about the ski {facts.ski}, as the log "
        f"{facts.origin} had them when it was {_many(facts.size, 'record')} long."
    )
    if len(facts.tags) > 1:
        yield f"Joined by {facts.links} links: {', '.join(facts.tags)}."
    yield "Each stands at its place in that log, and none was changed since it was signed."
    for rank, words in RANK_WORDS.items():
        if facts.ranks[rank]:
            yield f"{facts.ranks[rank]} {words}."
    yield from _remarks(facts)
    yield from LIMITS


def _remarks(facts: BundleFacts) -> Iterator[str]:
    if facts.erased:
        yield f"{facts.erased} erased: the id and the place are here, what was said is not."
    if facts.later:
        yield f"{facts.later} of a later format, which this version checks but can't read."
    for host in facts.first_seen:
        yield f"The first key of {host} is vouched for by this log alone. Compare it with {host}."
    if facts.pinned:
        yield f"The node's key is the one that you gave: {facts.node_key}"
    else:
        yield (
            "The node's key was taken from the file itself. Compare it with what the node "
            f"publishes, or give it with --key: {facts.node_key}"
        )


def _many(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"

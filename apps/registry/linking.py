"""Which tags hang together by the links that stand, followed in the index from any of them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

from django.db import connection

from apps.records.clusters import Clusters, Joined, Links, Says, Statement, tag_shop
from apps.records.link import DistinctSkiRecord, SameSkiRecord
from apps.registry import models
from apps.registry.models.ski import tag_key

SAYS: Mapping[str, Says] = MappingProxyType({"same-ski": "same", "distinct-ski": "distinct"})
LINK_KINDS = tuple(SAYS)
# A read stops at so many tags that hang together; they are too many to be joined long before.
MOST_TAGS = 100
MOST_STATEMENTS = 2000

# Followed are statements by the shops of both tags, or by the one shop that both belong to.
# A shop may say the same ever so often: whether the other one does is looked up, not multiplied.
_MUTUAL = """SELECT CAST(ours.there AS text) FROM reached
    JOIN {link} ours ON ours.here = reached.tag AND ours.says = 'same' AND ours.by_here = TRUE
    WHERE EXISTS (SELECT 1 FROM {link} theirs WHERE theirs.here = ours.here
    AND theirs.there = ours.there AND theirs.says = 'same' AND theirs.by_there = TRUE)"""
_ALL = """SELECT CAST(said.there AS text) FROM reached
    JOIN {link} said ON said.here = reached.tag AND said.says = 'same'"""
_NONE = "SELECT tag FROM reached WHERE 1 = 0"
STEPS = {"mutual": _MUTUAL, "all": _ALL, "none": _NONE}

# The stop stands outside of the recursion, where both databases stop the recursion by it.
QUERY = """WITH RECURSIVE reached(tag) AS (VALUES {seeds} UNION {step}),
    together(tag) AS (SELECT tag FROM reached {most_tags})
    SELECT said.record_id, said.author, said.says, said.number, said.here, said.there,
    said.there IN (SELECT tag FROM together) AS inside
    FROM {link} said WHERE said.here IN (SELECT tag FROM together)
    ORDER BY inside DESC, said.record_id, said.number {most_statements}"""


class Placed(NamedTuple):
    """Where a tag stands: its shop's ski, the cluster of it, how many tags, and why it is apart."""

    ski: str
    cluster: str
    tag_count: int
    apart: str


@dataclass(frozen=True, slots=True)
class Around:
    """What is said around some tags.

    Parameters
    ----------
    inside : tuple of Statement
        Of two tags that both hang together with them.
    outside : tuple of Statement
        Of one such tag and another one.
    """

    inside: tuple[Statement, ...]
    outside: tuple[Statement, ...]


def around(tags: Collection[str], links: Links, *, whole: bool = False) -> Around:
    """Follow links from tags and read what is said of all that is reached: one query.

    Parameters
    ----------
    tags : collection of str
        At least one, as `handle/TAG`.
    links : str
        The links to follow.
    whole : bool
        Follow them to the end, however many there are; else stop where nothing is joined any more.
    """
    sql = QUERY.format(
        link=models.Link._meta.db_table,
        seeds=", ".join(["(CAST(%s AS text))"] * len(tags)),
        step=STEPS[links].format(link=models.Link._meta.db_table),
        most_tags="" if whole else f"LIMIT {MOST_TAGS}",
        most_statements="" if whole else f"LIMIT {MOST_STATEMENTS}",
    )
    with connection.cursor() as cursor:
        cursor.execute(sql, sorted(tags))
        rows = cursor.fetchall()
    inside = (_statement(*row) for *row, is_inside in rows if is_inside)
    outside = (_statement(*row) for *row, is_inside in rows if not is_inside)
    # A link inside has two rows, one from each of its tags.
    return Around(tuple(dict.fromkeys(inside)), tuple(outside))


def _statement(
    record: str, author: str, says: Says, number: int, here: str, there: str
) -> Statement:
    one, other = (here, there) if number == 0 else (there, here)
    return Statement(record, author, says, one, other)


def statement_of(record_id: str, record: SameSkiRecord | DistinctSkiRecord) -> Statement:
    """Give what a link says; the first of its tags is the one that the record is about."""
    other, says = record.body.other_ski, SAYS[record.kind]
    one = tag_key(record.ski.shop, record.ski.tag)
    return Statement(record_id, record.author, says, one, tag_key(other.shop, other.tag))


def placed(made: Clusters, registered: Iterable[str]) -> dict[str, Placed]:
    """Say where each registered tag stands, by tag; others of a cluster don't show."""
    tags = set(registered)
    return {tag: _placed(made.of(tag), tag, tags) for tag in tags}


def _placed(joined: Joined, tag: str, registered: set[str]) -> Placed:
    together = [one for one in joined.tags if one in registered]
    of_shop = [one for one in together if tag_shop(one) == tag_shop(tag)]
    apart = "contested" if joined.contested else "too-many" if joined.too_many else ""
    return Placed(min(of_shop), min(together), len(together), apart)


def alone(tag: str) -> Placed:
    """Where a tag stands that no link joins with another."""
    return Placed(tag, tag, 1, "")


def new_ski(placed: Placed) -> models.Ski:
    """Make a ski as one shop has it."""
    ski, cluster, tag_count, apart = placed
    return models.Ski(key=ski, cluster=cluster, tag_count=tag_count, apart=apart)

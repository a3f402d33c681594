"""Which links an answer joins tags by, and the member that says so."""

from __future__ import annotations

from collections.abc import Iterable

from pydantic import Field

from apps.api.addresses import read_ski, where_the_ski_is_named
from apps.api.answers.joined import JoinedAnswer, LinksWord, StatementAnswer
from apps.api.query import Query
from apps.records.clusters import Weighed
from apps.records.place import SkiTag
from apps.registry.actors import Actor
from apps.registry.joining import JoinedSki, look_up_ski

MOST_STATEMENTS = 100


class LinksQuery(Query):
    """By which links tags are joined."""

    links: LinksWord = Field(
        default="mutual",
        description="Which links join the tag with others on the same ski: `mutual`, those that "
        "the shops of both tags state; `all`, those of one of them too; `none`. The answer's "
        "`joined` says what came of it.",
    )


def find_joined(shop: str, tag: str, query: LinksQuery, *, by: Actor) -> JoinedSki:
    """Find the ski of an address; a look at other shops' tags is noted.

    Raises
    ------
    Problem
        `unknown-ski`.
    """
    named = read_ski(shop, tag)
    with where_the_ski_is_named():
        return look_up_ski(shop=named.shop, tag=named.tag, links=query.links, by=by)


def joined_answer(ski: JoinedSki) -> JoinedAnswer:
    """Give the member that says how a ski was joined."""
    said = ski.statements
    return JoinedAnswer(
        links=ski.joined.links,
        tags=ski_tags(ski.tags),
        statements=[_statement(one) for one in said[:MOST_STATEMENTS]],
        statements_left_out=max(0, len(said) - MOST_STATEMENTS),
        contested=ski.joined.contested,
        too_many=ski.joined.too_many,
        apart=ski_tags(ski.joined.apart),
    )


def alone(ski: SkiTag) -> JoinedAnswer:
    """Give the member for a tag of which no link says anything."""
    return JoinedAnswer(
        links="mutual",
        tags=[ski],
        statements=[],
        statements_left_out=0,
        contested=False,
        too_many=False,
        apart=[],
    )


def _statement(weighed: Weighed) -> StatementAnswer:
    said = weighed.statement
    ski, other_ski = ski_tags((said.one, said.other))
    return StatementAnswer.model_validate(
        {
            "record": said.record,
            "author": said.author,
            "says": said.says,
            "ski": ski,
            "other_ski": other_ski,
            "standing": str(weighed.standing),
        }
    )


def ski_tags(keys: Iterable[str]) -> list[SkiTag]:
    """Write tags that are one string each by shop and tag."""
    return [SkiTag(shop=shop, tag=tag) for shop, _, tag in (key.partition("/") for key in keys)]

"""Two skis that are used together, put together for an answer; the arithmetic is `tuning`'s."""

from __future__ import annotations

from dataclasses import fields

from apps.api.answers.pairs import PairNowAnswer
from apps.api.answers.ski import PairedAnswer
from apps.api.condition import today
from apps.api.joined import joined_answer
from apps.api.problem_types import NO_PAIR
from apps.api.problems import Problem
from apps.records.place import SkiTag
from apps.registry.histories import read_fold
from apps.registry.joining import JoinedSki
from apps.registry.models import Tag
from apps.registry.paired import bench_of, paired_ski
from apps.registry.pairings import Paired
from apps.tuning.pairs import pair_now


def latest_pair(found: Tag, pairs: tuple[Paired, ...]) -> Paired:
    """Give the ski it is paired with now.

    Raises
    ------
    Problem
        `no-pair` where no record says so.
    """
    if not pairs:
        raise Problem(NO_PAIR, f"No record pairs {found.tag} of {found.shop} with another ski.")
    return pairs[0]


def pair_answer(
    ski: JoinedSki, other: JoinedSki, pairs: tuple[Paired, ...], *, asking: str
) -> PairNowAnswer:
    """Give the answer about a pair: a fixed number of queries."""
    bench = bench_of(asking)
    first, second = (
        paired_ski(name, read_fold(one.tags), bench)
        for name, one in zip(_names(ski.tag, other.tag), (ski, other), strict=True)
    )
    now = pair_now(first, second, bench.practice, bench.learned)
    pair, *others = (_shown(one) for one in pairs)
    computed = {field.name: getattr(now, field.name) for field in fields(now)}
    return PairNowAnswer.model_validate(
        {
            "ski": SkiTag(shop=ski.tag.shop, tag=ski.tag.tag),
            "joined": joined_answer(ski),
            "other_joined": joined_answer(other),
            "pair": pair,
            "other_pairs": others,
            "as_of": today(),
            **computed,
        }
    )


def _shown(paired: Paired) -> PairedAnswer:
    ski = SkiTag(shop=paired.shop, tag=paired.tag)
    return PairedAnswer(record=paired.record, day=paired.day, ski=ski)


def _names(found: Tag, other: Tag) -> tuple[str, str]:
    if found.shop == other.shop:
        return found.tag, other.tag
    return f"{found.tag} of {found.shop}", f"{other.tag} of {other.shop}"

"""The base and the last target: how flat it is, how structured, and whether the tune got there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from apps.pages.numbers import Unit
from apps.pages.places import place_text
from apps.pages.sentences import (
    bevel_check_sentence,
    conformity_sentence,
    flatness_check_sentence,
    flatness_sentence,
    texture_sentence,
    twist_sentence,
)
from apps.pages.ski.names import Mention, Mentions
from apps.tuning.condition import Condition


@dataclass(frozen=True, slots=True)
class BaseShown:
    """One thing that is known of the base, where, and by which record."""

    sentence: str
    where: str
    mention: Mention | None


@dataclass(frozen=True, slots=True)
class BaseNow:
    """What is known of the base, and what became of the last target that can be measured.

    Parameters
    ----------
    known : tuple of BaseShown
        Flatness at each place, turns along the ski, structure; empty where nobody measured.
    target : str
        Whether the last target was met; "" where no job has one.
    checks : tuple of str
        A sentence for each thing that was held against it.
    """

    known: tuple[BaseShown, ...]
    target: str
    checks: tuple[str, ...]


def base_now(condition: Condition, mentions: Mentions, unit: Unit) -> BaseNow:
    """Say what is known of the base and of the last target."""
    job = condition.conformity
    return BaseNow(
        tuple(_known(condition, mentions, unit)),
        "" if job is None else conformity_sentence(job),
        tuple(_checks(condition, unit)),
    )


def _known(condition: Condition, mentions: Mentions, unit: Unit) -> Iterator[BaseShown]:
    for one in condition.flatness:
        yield BaseShown(
            flatness_sentence(one, unit), place_text(one.place), mentions.of(one.record)
        )
    for turn in condition.twist:
        yield BaseShown(twist_sentence(turn), "", None)
    texture = condition.texture
    if texture is not None:
        where = place_text(texture.place)
        yield BaseShown(texture_sentence(texture), where, mentions.of(texture.record))


def _checks(condition: Condition, unit: Unit) -> Iterator[str]:
    job = condition.conformity
    if job is None:
        return
    for bevel in job.bevels:
        yield bevel_check_sentence(bevel)
    for flat in job.flatness:
        yield flatness_check_sentence(flat, unit)

"""Where a history contradicts itself, and what is missing in it, in plain words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from apps.pages.numbers import Unit
from apps.pages.sentences import warning_sentence
from apps.pages.ski.names import Mention, Mentions
from apps.pages.words import word
from apps.records.folding import IgnoredReason
from apps.registry.sight import Sight

IGNORED: Mapping[IgnoredReason, Promise] = {
    IgnoredReason.FOREIGN: gettext_lazy(
        "A shop tried to change what another one wrote. That has no effect."
    ),
    IgnoredReason.OTHER_SKI: gettext_lazy(
        "A record about another one names another tag than it does. That has no effect."
    ),
    IgnoredReason.OTHER_KIND: gettext_lazy(
        "A correction would put a record of another kind in place of one. That has no effect."
    ),
    IgnoredReason.NOT_CORRECTABLE: gettext_lazy(
        "A correction names a record that can't be corrected. That has no effect."
    ),
    IgnoredReason.NOT_RETRACTABLE: gettext_lazy(
        "A record tries to take back one that can't be taken back. That has no effect."
    ),
    IgnoredReason.NOT_DISPUTABLE: gettext_lazy(
        "A dispute names a record that can't be disputed. That has no effect."
    ),
}
PENDING = gettext_lazy(
    "A correction, a retraction or a dispute names a record that isn't here. It has no effect yet."
)


@dataclass(frozen=True, slots=True)
class Doubt:
    """One thing to doubt.

    Parameters
    ----------
    sentence : str
        What contradicts itself or is missing.
    sureness : str
        How sure that is; "" where it is a plain fact.
    rests_on : tuple of Mention
        The visits it rests on.
    """

    sentence: str
    sureness: str = ""
    rests_on: tuple[Mention, ...] = ()


def doubts_of(sight: Sight, mentions: Mentions, unit: Unit) -> tuple[Doubt, ...]:
    """List the contradictions and gaps of a history, the bench's first, then the log's."""
    return (*_of_the_bench(sight, mentions, unit), *_of_the_log(sight, mentions))


def _of_the_bench(sight: Sight, mentions: Mentions, unit: Unit) -> Iterator[Doubt]:
    for one in sight.condition.warnings:
        yield Doubt(
            warning_sentence(one, unit), word("sureness", one.sureness), mentions.each(one.rests_on)
        )


def _of_the_log(sight: Sight, mentions: Mentions) -> Iterator[Doubt]:
    for ignored in sight.fold.ignored:
        yield Doubt(str(IGNORED[ignored.reason]), rests_on=mentions.each([ignored.target]))
    if sight.fold.pending:
        yield Doubt(str(PENDING))

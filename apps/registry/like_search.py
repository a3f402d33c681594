"""Finds like skis and pools what is stated of them: a fixed number of queries, all by an index.

Nothing is read ski by ski. Texts are few beside skis, and so are the ways in which the skis of
one model are described (`Likeness.variant`): those are compared, and the database counts the rest.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from django.db.models import Case, Count, F, IntegerField, Q, QuerySet, Value, When
from django.db.models.functions import Abs

from apps.registry.like_rows import OF_VARIANT, described_by, like_values, likenesses, model_keys
from apps.tuning.likeness import BANDS, Likeness, SkiDescribed, how_like
from apps.tuning.model_text import LEAST_TEXT_LIKENESS, ModelText, model_likeness, search_keys
from apps.tuning.pooling import Told

# So many texts share a key at most; beyond them lie those that share the fewest.
MOST_TEXTS = 500
BEST_TEXTS = 40
MOST_VARIANTS = 1_000


class Kind(NamedTuple):
    """What is pooled by itself: a quantity, where it comes from, and by what operation."""

    what: str
    source: str
    operation: str = ""


@dataclass(frozen=True, slots=True)
class Stated:
    """What is stated of like skis in one respect.

    Parameters
    ----------
    others, own : tuple of Told
        What other shops state, and what the asker's shop states.
    skis, own_skis : tuple of int
        On how many skis, for each band by itself.
    """

    others: tuple[Told, ...]
    own: tuple[Told, ...]
    skis: tuple[int, ...]
    own_skis: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class LikeSkis:
    """The skis that are like one, as far as anything is stated of them.

    Parameters
    ----------
    asked : SkiDescribed
    is_found : bool
        Whether there is any like ski.
    likenesses : tuple of tuple of Likeness
        How like the descriptions of each band are.
    skis : tuple of int
        Skis of each band of which other shops state anything.
    stated : dict of Kind to Stated
    """

    asked: SkiDescribed
    is_found: bool
    likenesses: tuple[tuple[Likeness, ...], ...]
    skis: tuple[int, ...]
    stated: dict[Kind, Stated]

    @property
    def shops_by_band(self) -> tuple[frozenset[str], ...]:
        """Other shops that state anything, for each band by itself."""
        told = [one for stated in self.stated.values() for one in stated.others]
        return tuple(
            frozenset(one.shop for one in told if one.band == band) for band in range(len(BANDS))
        )


def described_ski(ski_key: str) -> SkiDescribed:
    """What a ski is by its descriptions: one query."""
    return described_by(likenesses().filter(ski=ski_key).values(*OF_VARIANT).get())


def find_like(asked: SkiDescribed, *, asker: str, without: str = "") -> LikeSkis:
    """Find the skis like one and gather what is stated of them: five queries at most.

    Parameters
    ----------
    asked : SkiDescribed
        What is asked for; without a model nothing is found.
    asker : str
        Handle of the shop that asks; what it states itself is kept apart.
    without : str
        Key of a ski that doesn't count, since it is the one asked for.
    """
    alike = _alike_variants(asked, without)
    bands = tuple(
        tuple(one for one in alike.values() if one.band == band) for band in range(len(BANDS))
    )
    if not alike:
        return LikeSkis(asked, is_found=False, likenesses=bands, skis=(0,) * len(BANDS), stated={})
    values = _values_of(alike, without)
    return LikeSkis(
        asked,
        is_found=True,
        likenesses=bands,
        skis=_skis_of_others(values, asker),
        stated=_stated(values, asker),
    )


def _alike_variants(asked: SkiDescribed, without: str) -> dict[str, Likeness]:
    texts = _like_texts(asked.text)
    if not texts:
        return {}
    likeness = {
        row["variant"]: how_like(asked, described_by(row))
        for row in _nearest_variants(asked, texts, without)
    }
    return {variant: one for variant, one in likeness.items() if one.band is not None}


def _like_texts(asked: ModelText) -> list[str]:
    """Texts like one, the likest first: those that share keys with it, compared one by one."""
    sharing = model_keys().filter(key__in=search_keys(asked)).values("text")
    counted = sharing.annotate(shared=Count("key")).order_by("-shared", "text")
    texts = counted.values_list("text", flat=True)[:MOST_TEXTS]
    likeness = {text: model_likeness(asked, ModelText.of_key(text)) for text in texts}
    alike = [text for text, one in likeness.items() if one >= LEAST_TEXT_LIKENESS]
    return sorted(alike, key=lambda text: (-likeness[text], text))[:BEST_TEXTS]


def _nearest_variants(asked: SkiDescribed, texts: Iterable[str], without: str) -> QuerySet[Any]:
    rows = likenesses().filter(text__in=texts).exclude(ski=without)
    variants: QuerySet[Any] = rows.values("variant", *OF_VARIANT).annotate(skis=Count("ski"))
    wanted = {"length_mm": asked.length_mm, "year": asked.year}
    nearest = [
        Abs(F(column) - value).asc(nulls_last=True)
        for column, value in wanted.items()
        if value is not None
    ]
    return variants.order_by(*nearest, "-skis", "variant")[:MOST_VARIANTS]


def _values_of(alike: Mapping[str, Likeness], without: str) -> QuerySet[Any]:
    by_band: defaultdict[int | None, list[str]] = defaultdict(list)
    for variant, one in alike.items():
        by_band[one.band].append(variant)
    whens = [When(variant__in=variants, then=Value(band)) for band, variants in by_band.items()]
    values = like_values().filter(variant__in=list(alike)).exclude(ski=without)
    return values.annotate(band=Case(*whens, output_field=IntegerField()))


def _skis_of_others(values: QuerySet[Any], asker: str) -> tuple[int, ...]:
    counted = values.exclude(author=asker).values("band").annotate(n=Count("ski", distinct=True))
    return _by_band(counted.order_by("band").values_list("band", "n"))


def _by_band(rows: Iterable[tuple[int, int]]) -> tuple[int, ...]:
    found = dict(rows)
    return tuple(found.get(band, 0) for band in range(len(BANDS)))


def _stated(values: QuerySet[Any], asker: str) -> dict[Kind, Stated]:
    told: defaultdict[Kind, list[Told]] = defaultdict(list)
    grouped = values.values(*Kind._fields, "band", "author", "value_thousandths")
    rows = (
        grouped.annotate(times=Count("variant"))
        .order_by()
        .values_list(*Kind._fields, "author", "value_thousandths", "times", "band")
    )
    for what, source, operation, *rest in rows:
        told[Kind(what, source, operation)].append(Told(*rest))
    others, own = _counts_of_skis(values, asker)
    return {
        kind: Stated(
            tuple(one for one in said if one.shop != asker),
            tuple(one for one in said if one.shop == asker),
            _by_band(others[kind]),
            _by_band(own[kind]),
        )
        for kind, said in told.items()
    }


Counts = defaultdict[Kind, list[tuple[int, int]]]


def _counts_of_skis(values: QuerySet[Any], asker: str) -> tuple[Counts, Counts]:
    others: Counts = defaultdict(list)
    own: Counts = defaultdict(list)
    counted = values.values(*Kind._fields, "band").annotate(
        others=Count("ski", distinct=True, filter=~Q(author=asker)),
        own=Count("ski", distinct=True, filter=Q(author=asker)),
    )
    rows = counted.order_by().values_list(*Kind._fields, "band", "others", "own")
    for what, source, operation, band, of_others, of_own in rows:
        others[Kind(what, source, operation)].append((band, of_others))
        own[Kind(what, source, operation)].append((band, of_own))
    return others, own

"""Two skis that are used together, put together for an answer; the arithmetic is `tuning`'s."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields

from apps.api.answers.pairs import PairNowAnswer
from apps.api.answers.shape import RadiusAnswer
from apps.api.answers.ski import PairedAnswer
from apps.api.condition import today
from apps.api.descriptions import Described, described
from apps.api.joined import joined_answer
from apps.api.problem_types import NO_PAIR
from apps.api.problems import Problem
from apps.api.shapes import shape_of
from apps.records.folding import Fold
from apps.records.place import SkiTag
from apps.registry.histories import read_fold
from apps.registry.joining import JoinedSki
from apps.registry.models import Tag
from apps.registry.own_rates import own_rates
from apps.registry.pairings import Paired
from apps.registry.practices import practice_of
from apps.registry.visits import visits_of
from apps.tuning import condition as state
from apps.tuning.pairs import pair_now
from apps.tuning.pairs_compare import PairedSki
from apps.tuning.pairs_difference import PairValue
from apps.tuning.practice import Practice
from apps.tuning.rates import LearnedRate

# Radii by different methods are different things; what was measured stands before what the
# maker says.
METHODS = ("measured", "least-squares", "exact-chord", "chord", "declared")


@dataclass(frozen=True, slots=True)
class Bench:
    """What the shop that asks reckons with.

    Parameters
    ----------
    practice : Practice
        Its settings.
    learned : tuple of LearnedRate
        What its own readings say about what its operations take.
    """

    practice: Practice
    learned: tuple[LearnedRate, ...]


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
    bench = Bench(practice_of(asking), own_rates(asking))
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


def paired_ski(name: str, fold: Fold, bench: Bench) -> PairedSki:
    """Give one ski to the arithmetic."""
    known = described(fold.effective)
    folded = state.fold(
        visits_of(fold.effective),
        practice=bench.practice,
        today=today(),
        learned=bench.learned,
    )
    radii = shape_of(fold.effective, known).radii
    return PairedSki(
        name,
        folded,
        tuple(_radii(radii, bench.practice)),
        _length(known),
    )


def _radii(radii: Iterable[RadiusAnswer], practice: Practice) -> Iterator[PairValue]:
    known = sorted(radii, key=lambda one: METHODS.index(one.method))
    for one in known:
        off = 0.0 if one.method == "declared" else _off_m(one, practice)
        yield PairValue(float(one.radius_m), off, one.method, tuple(one.rests_on))


def _off_m(radius: RadiusAnswer, practice: Practice) -> float:
    """The nearer limit tells how sure a radius is: the farther one grows without bound."""
    if radius.low_m is None:
        return practice.radius_uncertainty_m
    return float(radius.radius_m) - float(radius.low_m)


def _length(known: Described) -> PairValue | None:
    if "length_mm" not in known.fields:
        return None
    records = (known.sources["length_mm"],)
    return PairValue(float(known.fields["length_mm"]), 0.0, "declared", records)

"""The two skis of a pair as the bench arithmetic compares them, and the pairs of a whole fleet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from django.db.models import OuterRef, Subquery
from django.utils import timezone

from apps.records.folding import Fold, fold
from apps.registry.descriptions import Described, described
from apps.registry.histories import read_folds
from apps.registry.models import Pairing, Tag
from apps.registry.models.ski import shop_and_tag
from apps.registry.own_rates import own_rates
from apps.registry.practices import practice_of
from apps.registry.radii import Radius
from apps.registry.shape import shape_in
from apps.registry.visits import visits_of
from apps.tuning import condition as state
from apps.tuning.due import OUT_OF_FLEET
from apps.tuning.pairs import PairNow, pair_now
from apps.tuning.pairs_compare import PairedSki
from apps.tuning.pairs_difference import PairValue
from apps.tuning.practice import Practice
from apps.tuning.rates import LearnedRate

# Radii by different methods are different things; what was measured stands before what the
# maker says.
METHODS = ("measured", "least-squares", "exact-chord", "chord", "declared")
# Radii are told in steps of 0.1 m, and what is told is compared.
RADIUS_PLACES = 1


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


def bench_of(handle: str) -> Bench:
    """Read what a shop reckons with."""
    return Bench(practice_of(handle), own_rates(handle))


def paired_ski(name: str, history: Fold, bench: Bench) -> PairedSki:
    """Give one ski to the arithmetic, as of the day it is now by the node's calendar."""
    known = described(history.effective)
    folded = state.fold(
        visits_of(history.effective),
        practice=bench.practice,
        today=timezone.localdate(),
        learned=bench.learned,
    )
    radii = shape_in(history.effective, known).radii
    return PairedSki(name, folded, tuple(_radii(radii, bench.practice)), _length(known))


def _radii(radii: Iterable[Radius], practice: Practice) -> Iterator[PairValue]:
    for one in sorted(radii, key=lambda one: METHODS.index(one.method)):
        off = 0.0 if one.method == "declared" else _off_m(one, practice)
        records = tuple(dict.fromkeys(one.records))
        yield PairValue(round(one.radius_m, RADIUS_PLACES), off, one.method, records)


def _off_m(radius: Radius, practice: Practice) -> float:
    """The nearer limit tells how sure a radius is: the farther one grows without bound."""
    if radius.limits is None:
        return practice.radius_uncertainty_m
    return round(radius.radius_m, RADIUS_PLACES) - round(radius.limits.low_m, RADIUS_PLACES)


def _length(known: Described) -> PairValue | None:
    if "length_mm" not in known.fields:
        return None
    records = (known.sources["length_mm"],)
    return PairValue(float(known.fields["length_mm"]), 0.0, "declared", records)


@dataclass(frozen=True, slots=True)
class OwnPair:
    """Two skis that are used together by the latest record of their shop.

    Parameters
    ----------
    tag, other : str
        Their tags as `handle/TAG`; of two own skis the lower one first, else the own one.
    ski, other_ski : str
        Clusters of the two; the second is "" where it is not one of the shop's own skis, whose
        history is read by its exact tag only.
    record : str
        Id of the record in effect.
    day : date
        Its day.
    """

    tag: str
    other: str
    ski: str
    other_ski: str
    record: str
    day: date

    @property
    def is_own(self) -> bool:
        """Whether both are skis of the shop."""
        return self.other_ski != ""


def own_pairs(handle: str) -> tuple[OwnPair, ...]:
    """Give the pairs of a shop's fleet, in the order of their tags: one query.

    Each ski is in one pair at most, the latest that names it; a pair of which either ski has left
    the fleet is none.
    """
    other = Tag.objects.filter(key=OuterRef("other_tag_key"), shop=handle)
    rows = (
        Pairing._default_manager.filter(tag__shop=handle, author=handle)
        .annotate(
            other_ski=Subquery(other.values("ski__cluster")),
            other_status=Subquery(other.values("ski__condition__status")),
        )
        .order_by("-performed_day", "-record__log_index")
        .values_list(
            "tag",
            "other_tag_key",
            "tag__ski__cluster",
            "other_ski",
            "stated_by",
            "performed_day",
            "tag__ski__condition__status",
            "other_status",
        )
    )
    return tuple(sorted(_latest(rows.iterator()), key=lambda pair: pair.tag))


def _latest(
    rows: Iterable[tuple[str, str, str, str | None, str, date, str, str | None]],
) -> Iterator[OwnPair]:
    taken: set[str] = set()
    for tag, other, ski, other_ski, record, day, *statuses in rows:
        both = {ski, other_ski or other}
        # Links may join the two tags of a pair, and a ski is not its own pair.
        if len(both) < 2 or both & taken:
            continue
        taken |= both
        if not any(status in OUT_OF_FLEET for status in statuses):
            yield _named(OwnPair(tag, other, ski, other_ski or "", record, day))


def _named(pair: OwnPair) -> OwnPair:
    if not pair.is_own or pair.tag < pair.other:
        return pair
    return OwnPair(pair.other, pair.tag, pair.other_ski, pair.ski, pair.record, pair.day)


def pairs_now(handle: str, pairs: Iterable[OwnPair]) -> dict[OwnPair, PairNow]:
    """Compare the pairs whose skis are both the shop's own: a fixed number of queries."""
    both = [pair for pair in pairs if pair.is_own]
    folds = read_folds(cluster for pair in both for cluster in (pair.ski, pair.other_ski))
    bench = bench_of(handle)
    return {pair: _compared(pair, folds, bench) for pair in both}


def _compared(pair: OwnPair, folds: dict[str, Fold], bench: Bench) -> PairNow:
    named = ((pair.tag, pair.ski), (pair.other, pair.other_ski))
    # Of a ski whose every record was erased nothing is left to fold.
    first, second = (
        paired_ski(shop_and_tag(key)[1], folds.get(cluster) or fold([]), bench)
        for key, cluster in named
    )
    return pair_now(first, second, bench.practice, bench.learned)

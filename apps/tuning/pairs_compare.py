"""The two skis of a pair compared: how far they have drifted apart, and how sure that is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from apps.tuning.condition import Condition
from apps.tuning.history import EDGES, Edge, MaterialQuantity, Place
from apps.tuning.material import MaterialLeft
from apps.tuning.pairs_difference import (
    Names,
    PairDifference,
    PairQuantity,
    PairSubject,
    PairValue,
    Togetherness,
    Values,
    judged_difference,
    undecided_difference,
    unknown_difference,
)
from apps.tuning.practice import Practice
from apps.tuning.standing import BevelNow, Face
from apps.tuning.told import told
from apps.tuning.uncertainty import USUAL_COVERAGE_FACTOR

MATERIALS: tuple[MaterialQuantity, ...] = ("edge_height", "edge_width", "base_thickness")
FACES: tuple[Face, ...] = ("base", "side")


@dataclass(frozen=True, slots=True)
class PairedSki:
    """One ski of a pair.

    Attributes
    ----------
    name : str
        How a person calls it, such as its tag.
    condition : Condition
        Its history folded to now.
    radii : tuple of PairValue
        Turn radius [m] by each method there is, the firmest first: radii by different methods
        are different things.
    length : PairValue or None
        Length [mm].
    """

    name: str
    condition: Condition
    radii: tuple[PairValue, ...] = ()
    length: PairValue | None = None


def compare_pair(
    first: PairedSki, second: PairedSki, practice: Practice
) -> tuple[PairDifference, ...]:
    """Compare the two skis of a pair.

    Parameters
    ----------
    first, second : PairedSki
        The two. The left edge of one is compared with the left edge of the other.
    practice : Practice
        The shop's tolerances.

    Returns
    -------
    tuple of PairDifference
        Bevels, steel, base, radius, length and days, also where nothing is known.

    Notes
    -----
    Source: ISO 14253-1:2017 for the three outcomes; JCGM 100:2008, 5.2.2 for the uncertainty of
    the difference of two readings of one gauge. The tolerances are practice.
    """
    pair = (first, second)
    return (
        *_bevels(pair, practice),
        *_materials(pair, practice),
        _radius(pair, practice),
        _plain(pair, PairSubject("length", "mm", practice.pair_length_mm), _lengths(pair)),
        _plain(pair, PairSubject("days_in_use", "d", practice.pair_days), _days(pair)),
    )


def outcome_of(differences: Iterable[PairDifference]) -> Togetherness:
    """What is to be said of the pair as a whole: apart as soon as one thing is."""
    found = {one.outcome for one in differences}
    if "apart" in found:
        return "apart"
    return "undecided" if "undecided" in found else "together"


Pair = tuple[PairedSki, PairedSki]


def _names(pair: Pair) -> Names:
    return pair[0].name, pair[1].name


def _bevels(pair: Pair, practice: Practice) -> Iterator[PairDifference]:
    for edge in EDGES:
        for face in FACES:
            quantity: PairQuantity = "base_bevel" if face == "base" else "side_bevel"
            subject = PairSubject(quantity, "deg", practice.pair_bevel_deg, Place(edge=edge))
            found = tuple(_bevel_now(ski, edge, face) for ski in pair)
            values = (bevel_value(found[0]), bevel_value(found[1]))
            yield _plain(pair, subject, values)


def _bevel_now(ski: PairedSki, edge: Edge, face: Face) -> BevelNow:
    bevels = ski.condition.edge(edge)
    return bevels.base_bevel if face == "base" else bevels.side_bevel


def bevel_value(now: BevelNow) -> PairValue | None:
    """The bevel that is surely there now [deg], None where that can't be told."""
    if now.standing == "ground_away":
        return PairValue(0.0, 0.0, "ground away", now.rests_on)
    if now.stated is None or now.standing == "uncertain":
        return None
    stated = now.stated
    return PairValue(stated.bevel_deg, stated.expanded_uncertainty_deg, stated.basis, now.rests_on)


def _materials(pair: Pair, practice: Practice) -> Iterator[PairDifference]:
    for quantity in MATERIALS:
        steel = quantity != "base_thickness"
        tolerance = practice.pair_steel_mm if steel else practice.pair_base_mm
        for edge in EDGES if steel else (None,):
            yield from _material(pair, PairSubject(quantity, "mm", tolerance, Place(edge=edge)))


def _material(pair: Pair, subject: PairSubject) -> Iterator[PairDifference]:
    first, second = (_places(ski, subject) for ski in pair)
    shared = [place for place in first if place in second]
    for place in shared:
        at_place = PairSubject(subject.quantity, subject.unit, subject.tolerance, place)
        yield _judged(pair, at_place, first[place], second[place])
    if not shared:
        yield _apart_places(pair, subject, _scarcest(first), _scarcest(second))


def _places(ski: PairedSki, subject: PairSubject) -> dict[Place, MaterialLeft]:
    edge = subject.place.edge
    return {
        Place(one.edge, None, one.station, one.position_mm): one
        for one in ski.condition.material.known
        if one.quantity == subject.quantity and (edge is None or one.edge == edge)
    }


def _scarcest(places: dict[Place, MaterialLeft]) -> PairValue | None:
    found = min(places.values(), key=lambda one: one.left.value_mm, default=None)
    return None if found is None else _left(found)


def _apart_places(
    pair: Pair, subject: PairSubject, first: PairValue | None, second: PairValue | None
) -> PairDifference:
    if first is None or second is None:
        return unknown_difference(_names(pair), subject, (first, second))
    sentence = told(
        "pair-other-places",
        f"The {subject.words} was read at different places of {pair[0].name} and {pair[1].name}. "
        "Measure both at the same place.",
        **subject.figures,
        first=pair[0].name,
        second=pair[1].name,
    )
    return undecided_difference(subject, (first, second), sentence)


def _left(material: MaterialLeft) -> PairValue:
    left = material.left
    expanded = USUAL_COVERAGE_FACTOR * left.standard_uncertainty_mm
    return PairValue(left.value_mm, expanded, left.method, left.rests_on)


def _judged(
    pair: Pair, subject: PairSubject, first: MaterialLeft, second: MaterialLeft
) -> PairDifference:
    """What named gauges read on both skis has their common error on both sides."""
    on_second = {part.gauge: part.standard_uncertainty for part in second.shared}
    covariance = sum(
        part.standard_uncertainty * on_second.get(part.gauge, 0.0)
        for part in first.shared
        if part.gauge.is_named
    )
    return judged_difference(_names(pair), subject, (_left(first), _left(second)), covariance)


def _radius(pair: Pair, practice: Practice) -> PairDifference:
    subject = PairSubject("radius", "m", practice.pair_radius_m)
    first, second = pair
    by_method = {one.method: one for one in second.radii}
    for one in first.radii:
        if one.method in by_method:
            return judged_difference(_names(pair), subject, (one, by_method[one.method]))
    if first.radii and second.radii:
        sentence = told(
            "pair-other-methods",
            f"The radius of {first.name} and that of {second.name} are known by different "
            "methods, which differ on one ski. Measure the widths of both.",
            first=first.name,
            second=second.name,
        )
        return undecided_difference(subject, (first.radii[0], second.radii[0]), sentence)
    return unknown_difference(_names(pair), subject, (_best(first.radii), _best(second.radii)))


def _best(radii: Sequence[PairValue]) -> PairValue | None:
    return radii[0] if radii else None


def _lengths(pair: Pair) -> Values:
    return pair[0].length, pair[1].length


def _days(pair: Pair) -> Values:
    first, second = (_days_of(ski) for ski in pair)
    return first, second


def _days_of(ski: PairedSki) -> PairValue | None:
    use = ski.condition.use
    if use.total_days is None:
        return None
    return PairValue(use.total_days, 0.0, "sum of the days reported", use.rests_on)


def _plain(pair: Pair, subject: PairSubject, values: Values) -> PairDifference:
    first, second = values
    if first is None or second is None:
        return unknown_difference(_names(pair), subject, values)
    return judged_difference(_names(pair), subject, (first, second))

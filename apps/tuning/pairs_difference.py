"""One thing compared on the two skis of a pair: the difference, judged against a tolerance."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from apps.tuning.conformity import Outcome, Tolerance, judge_conformity
from apps.tuning.figures import in_turn
from apps.tuning.history import Edge, Place
from apps.tuning.told import Figure, Sentence, told
from apps.tuning.uncertainty import USUAL_COVERAGE_FACTOR, Estimate

PairQuantity = Literal[
    "base_bevel",
    "side_bevel",
    "edge_height",
    "edge_width",
    "base_thickness",
    "radius",
    "length",
    "days_in_use",
]
PairUnit = Literal["deg", "mm", "m", "d"]
Togetherness = Literal["together", "apart", "undecided"]

METHOD = "difference of the two within the shop's tolerance (ISO 14253-1:2017)"
_WORDS: Mapping[Outcome, Togetherness] = MappingProxyType(
    {
        "pass": "together",
        "fail": "apart",
        "undecided": "undecided",
    }
)

NOWHERE = Place()
Names = tuple[str, str]


@dataclass(frozen=True, slots=True)
class PairValue:
    """What is known of one ski.

    Attributes
    ----------
    value : float
        In the unit of what is compared.
    expanded_uncertainty : float
        k = 2, same unit; 0 for what was counted or declared.
    method : str
        Name of the rule that gave it.
    rests_on : tuple of str
        Ids of the records behind it.
    """

    value: float
    expanded_uncertainty: float
    method: str
    rests_on: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PairDifference:
    """One thing compared on the two skis.

    Attributes
    ----------
    quantity, unit : str
        What is compared, and its unit.
    edge : {"left", "right"} or None
        Whose edge, seen from above with the tip forward on both skis.
    station, position_mm : str or None, int or None
        Where along the ski both were read.
    first, second : PairValue or None
        What is known of each; None is not known.
    difference : float or None
        First less second; None where one of them is not known.
    expanded_uncertainty : float or None
        Of the difference, k = 2.
    tolerance : float
        How far apart they may be by the shop's practice.
    probability : float or None
        Probability that they are within it [1].
    outcome : {"together", "apart", "undecided"}
        Within the tolerance, beyond it, or neither proved.
    sentence : Sentence
        For a person; what to measure where it is undecided.
    method : str
        The rule.
    rests_on : tuple of str
        Ids of the records behind both.
    """

    quantity: PairQuantity
    unit: PairUnit
    edge: Edge | None
    station: str | None
    position_mm: int | None
    first: PairValue | None
    second: PairValue | None
    difference: float | None
    expanded_uncertainty: float | None
    tolerance: float
    probability: float | None
    outcome: Togetherness
    sentence: Sentence
    method: str
    rests_on: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PairSubject:
    """What is compared, where, and how far apart the two may be."""

    quantity: PairQuantity
    unit: PairUnit
    tolerance: float
    place: Place = NOWHERE

    @property
    def words(self) -> str:
        """How a person calls it."""
        name = self.quantity.replace("_", " ")
        edge = f" of the {self.place.edge} edge" if self.place.edge else ""
        if self.place.position_mm is not None:
            return f"{name}{edge} at {self.place.position_mm} mm"
        return f"{name}{edge} at the {self.place.station}" if self.place.station else name + edge

    @property
    def figures(self) -> dict[str, Figure]:
        """The same for whoever tells it in another language."""
        return {
            "pair_quantity": self.quantity,
            "unit": self.unit,
            "edge": self.place.edge,
            "station": self.place.station,
            "position_mm": self.place.position_mm,
        }


Values = tuple[PairValue | None, PairValue | None]


def judged_difference(
    names: Names,
    subject: PairSubject,
    values: tuple[PairValue, PairValue],
    covariance: float = 0.0,
) -> PairDifference:
    """Judge the difference of two known values; `covariance` is that of what they share."""
    first, second = values
    u = [one.expanded_uncertainty / USUAL_COVERAGE_FACTOR for one in values]
    standard = math.sqrt(max(0.0, u[0] ** 2 + u[1] ** 2 - 2.0 * covariance))
    # Both skis carry decimals of a fixed step; their difference must not miss a limit by a bit.
    difference = round(first.value - second.value, 9)
    verdict = judge_conformity(
        Estimate(difference, standard), Tolerance(-subject.tolerance, subject.tolerance)
    )
    outcome = _WORDS[verdict.outcome]
    expanded = USUAL_COVERAGE_FACTOR * standard
    return PairDifference(
        subject.quantity,
        subject.unit,
        subject.place.edge,
        subject.place.station,
        subject.place.position_mm,
        first,
        second,
        difference,
        expanded,
        subject.tolerance,
        verdict.probability,
        outcome,
        _told(names, subject, difference, expanded, outcome),
        METHOD,
        in_turn(first.rests_on, second.rests_on),
    )


def _told(
    names: Names, subject: PairSubject, difference: float, expanded: float, outcome: Togetherness
) -> Sentence:
    more = names[0] if difference > 0.0 else names[1]
    case, unit = "pair-greater", subject.unit
    text = (
        f"The {subject.words} of {more} is {abs(difference):.3g} {unit} greater, give or take "
        f"{expanded:.2g}; {subject.tolerance:g} {unit} is allowed"
    )
    if difference == 0.0:
        case = "pair-same"
        text = (
            f"The {subject.words} is the same on both, give or take {expanded:.2g} {unit}; "
            f"{subject.tolerance:g} {unit} is allowed"
        )
    ending = {
        "together": ".",
        "apart": ": they have drifted apart.",
        "undecided": ", which that doesn't decide. Measure both with one finer gauge.",
    }
    # What was counted or declared has no uncertainty to tell of.
    exactly = "" if expanded else "-exactly"
    return told(
        f"{case}{exactly}-{outcome}",
        text + ending[outcome],
        **subject.figures,
        more=more,
        difference=abs(difference),
        expanded=expanded,
        tolerance=subject.tolerance,
    )


def unknown_difference(names: Names, subject: PairSubject, values: Values) -> PairDifference:
    """Say that one of the two, or neither, is known."""
    missing = [name for name, value in zip(names, values, strict=True) if value is None]
    sentence = (
        f"Nobody can tell the {subject.words} of {' and '.join(missing)}. {_MEND[subject.unit]}"
    )
    names_missing = ", ".join(missing)
    why = told(f"pair-unknown-{subject.unit}", sentence, **subject.figures, skis=names_missing)
    return undecided_difference(subject, values, why)


_MEND: Mapping[PairUnit, str] = MappingProxyType(
    {
        "deg": "Measure it, or set it and record what was set.",
        "mm": "Measure it.",
        "m": "Measure the widths, or record what the maker declares.",
        "d": "Report the days out.",
    }
)


def undecided_difference(
    subject: PairSubject, values: Values, sentence: Sentence
) -> PairDifference:
    """Say why nothing can be said."""
    first, second = values
    return PairDifference(
        subject.quantity,
        subject.unit,
        subject.place.edge,
        subject.place.station,
        subject.place.position_mm,
        first,
        second,
        None,
        None,
        subject.tolerance,
        None,
        "undecided",
        sentence,
        METHOD,
        in_turn(*(one.rests_on for one in values if one is not None)),
    )

"""What an operation takes off, learned from a shop's own readings before and after it."""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from apps.tuning.correlated import difference_standard
from apps.tuning.errors import require_finite, require_not_negative
from apps.tuning.gauges import require_share
from apps.tuning.history import MaterialQuantity, Place, Reading, Step, Visit
from apps.tuning.practice import Amount, Practice
from apps.tuning.timeline import stated_removal_mm, whereabouts, works_edge
from apps.tuning.uncertainty import USUAL_COVERAGE_FACTOR, coverage_factor

LEAST_PAIRS = 3
"""Two pairs give a spread that the third may overturn; practice."""


@dataclass(frozen=True, slots=True)
class RemovalPair:
    """Readings at one place right before and right after one operation.

    Attributes
    ----------
    operation : str
        What was done between them.
    quantity : {"edge_height", "edge_width", "base_thickness"}
        What was read.
    before_mm, after_mm : float
        The two readings [mm].
    uncertainty_mm : float
        Expanded uncertainty (k = 2) of each of the two [mm].
    record : str
        Id of the record that holds them, "" where they come from no record.
    shared_share : float
        Share of each reading's variance that the two have in common [1], practice: 0 unless they
        are known to be by one gauge.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If a number is not finite, the uncertainty negative or the share not from 0 to below 1.
    """

    operation: str
    quantity: MaterialQuantity
    before_mm: float
    after_mm: float
    uncertainty_mm: float
    record: str = ""
    shared_share: float = 0.0

    def __post_init__(self) -> None:
        require_share(self.shared_share)
        require_finite(self.before_mm, "before_mm")
        require_finite(self.after_mm, "after_mm")
        require_not_negative(self.uncertainty_mm, "uncertainty_mm")

    @property
    def removed_mm(self) -> float:
        """Before less after [mm]; negative where the readings rise."""
        return self.before_mm - self.after_mm

    @property
    def difference_uncertainty_mm(self) -> float:
        """Expanded uncertainty (k = 2) of what was removed [mm].

        Notes
        -----
        Source: JCGM 100:2008, 5.2.2: what both readings share is no part of their difference.
        """
        shared_mm = math.sqrt(self.shared_share) * self.uncertainty_mm
        return difference_standard(self.uncertainty_mm, self.uncertainty_mm, shared_mm)


@dataclass(frozen=True, slots=True)
class LearnedRate:
    """What one run of an operation takes off one quantity, and what that rests on.

    Attributes
    ----------
    operation : str
        The operation.
    quantity : {"edge_height", "edge_width", "base_thickness"}
        What it takes.
    count : int
        Pairs of readings there are.
    mean_mm, spread_mm : float or None
        Mean and standard deviation of the pairs alone [mm]; None without a pair, and no
        spread from a single one.
    amount : Amount
        The rate to use: the mean with its 95 % interval, or the shop's practice.
    basis : {"readings", "practice"}
        Which of the two it is.
    sentence : str
        For a person, with the reason where practice stands in.
    rests_on : tuple of str
        Records with the pairs.
    coverage_factor : float or None
        k of the interval [1], Student's t for 95 %; None where practice stands in.
    degrees_of_freedom : int or None
        Pairs less one [1]; None where practice stands in, or where the uncertainty of the
        readings themselves, which was stated, makes the interval.
    """

    operation: str
    quantity: MaterialQuantity
    count: int
    mean_mm: float | None
    spread_mm: float | None
    amount: Amount
    basis: Literal["readings", "practice"]
    sentence: str
    rests_on: tuple[str, ...]
    coverage_factor: float | None = None
    degrees_of_freedom: int | None = None


@dataclass(frozen=True, slots=True)
class _Interval:
    half_width_mm: float
    coverage_factor: float
    degrees_of_freedom: int | None


def learn_rate(
    pairs: Iterable[RemovalPair], operation: str, quantity: MaterialQuantity, practice: Practice
) -> LearnedRate:
    """Rate of one operation from a shop's pairs of readings.

    Parameters
    ----------
    pairs : iterable of RemovalPair
        Any operations and quantities; the others are passed over.
    operation : str
        The operation asked for.
    quantity : {"edge_height", "edge_width", "base_thickness"}
        The quantity asked for.
    practice : Practice
        Stands in for fewer than three pairs, and for pairs whose mean shows no removal.

    Returns
    -------
    LearnedRate
        Mean with its 95 % interval by Student's t. The interval is never narrower than the
        uncertainty of the readings themselves makes it, and never reaches below zero.

    Notes
    -----
    Source: JCGM 100:2008, 4.2.3 and G.3 for the interval of a mean; 5.1.2 for a difference.
    """
    own = [pair for pair in pairs if (pair.operation, pair.quantity) == (operation, quantity)]
    removed = [pair.removed_mm for pair in own]
    mean = statistics.fmean(removed) if removed else None
    spread = statistics.stdev(removed) if len(removed) > 1 else None
    amount, why = practice.removal(operation).of(quantity), _shortfall(len(own), mean)
    factor, degrees = None, None
    if not why and mean is not None and spread is not None:
        found = _interval(own, spread)
        half, factor, degrees = found.half_width_mm, found.coverage_factor, found.degrees_of_freedom
        amount = Amount(max(0.0, mean - half), mean, mean + half)
    return LearnedRate(
        operation,
        quantity,
        len(own),
        mean,
        spread,
        amount,
        "practice" if why else "readings",
        why or f"Mean of {len(own)} pairs of readings, with its 95 % interval.",
        tuple(dict.fromkeys(pair.record for pair in own if pair.record)),
        factor,
        degrees,
    )


def learn_rates(pairs: Sequence[RemovalPair], practice: Practice) -> tuple[LearnedRate, ...]:
    """Rates of every operation and quantity that has a pair, by name."""
    asked = sorted({(pair.operation, pair.quantity) for pair in pairs})
    return tuple(learn_rate(pairs, operation, quantity, practice) for operation, quantity in asked)


def removal_pairs(visits: Iterable[Visit], practice: Practice) -> tuple[RemovalPair, ...]:
    """Pairs of readings that frame one operation, out of a shop's visits.

    Parameters
    ----------
    visits : iterable of Visit
        Of any skis.
    practice : Practice
        Says which operations take which quantity, and stands in for an unstated uncertainty.

    Returns
    -------
    tuple of RemovalPair
        One for each place read before and after in a visit in which one single step took that
        quantity; where several did, nobody can tell what each took.
    """
    return tuple(pair for visit in visits for pair in _pairs_of(visit, practice))


def _pairs_of(visit: Visit, practice: Practice) -> Iterator[RemovalPair]:
    before = _last_by_place(one for one in visit.readings if one.moment == "before")
    after = _last_by_place(one for one in visit.readings if one.moment == "after")
    for key, first in before.items():
        second = after.get(key)
        if second is None:
            continue
        operation = _only_operation(visit, first, practice)
        if operation is not None:
            yield RemovalPair(
                operation,
                first.quantity,
                first.value_mm,
                second.value_mm,
                max(_uncertainty_mm(first, practice), _uncertainty_mm(second, practice)),
                visit.record,
                _shared_share(first, second, practice),
            )


def _shared_share(first: Reading, second: Reading, practice: Practice) -> float:
    """Both readings are of one visit to one shop, so the name tells whether it is one gauge."""
    same = bool(first.instrument) and first.instrument == second.instrument
    return practice.gauge_shared_share if same else 0.0


def _last_by_place(readings: Iterable[Reading]) -> dict[tuple[MaterialQuantity, Place], Reading]:
    return {(reading.quantity, reading.place): reading for reading in readings}


def _only_operation(visit: Visit, reading: Reading, practice: Practice) -> str | None:
    edge = None if reading.quantity == "base_thickness" else reading.place.edge
    taking = [
        (step.operation, whereabouts(step.place, reading.place))
        for step in visit.steps
        if works_edge(step, edge) and _takes(step, reading.quantity, practice)
    ]
    reached = [operation for operation, reach in taking if reach != "elsewhere"]
    doubtful = any(reach == "perhaps" for _, reach in taking)
    return reached[0] if len(reached) == 1 and not doubtful else None


def _takes(step: Step, quantity: MaterialQuantity, practice: Practice) -> bool:
    stated = stated_removal_mm(step, quantity)
    return bool(stated) or practice.removal(step.operation).of(quantity).high_mm > 0.0


def _uncertainty_mm(reading: Reading, practice: Practice) -> float:
    stated = reading.uncertainty_mm
    return practice.reading_uncertainty_mm if stated is None else stated


def _interval(pairs: Sequence[RemovalPair], spread_mm: float) -> _Interval:
    root = math.sqrt(len(pairs))
    of_readings = max(pair.difference_uncertainty_mm for pair in pairs) / root
    degrees = len(pairs) - 1
    factor = coverage_factor(degrees)
    of_spread = factor * spread_mm / root
    if of_readings > of_spread:
        return _Interval(of_readings, USUAL_COVERAGE_FACTOR, None)
    return _Interval(of_spread, factor, degrees)


def _shortfall(count: int, mean_mm: float | None) -> str:
    if count < LEAST_PAIRS:
        return (
            f"{count} pairs of readings; {LEAST_PAIRS} are needed, so the shop's practice "
            "stands in."
        )
    if mean_mm is not None and mean_mm <= 0.0:
        return "The readings show no removal on the mean, so the shop's practice stands in."
    return ""

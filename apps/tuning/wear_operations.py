"""What one operation takes off at each shop, from readings before and after it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy import special

from apps.tuning.history import MaterialQuantity
from apps.tuning.practice import Practice
from apps.tuning.rates import LEAST_PAIRS, RemovalPair
from apps.tuning.series import READING_STEP_MM
from apps.tuning.shrinkage import (
    GUESS_DEGREES,
    LEAST_GROUPS,
    Centre,
    Shrunk,
    centre_of,
    scatter_of,
    shrink_to,
)
from apps.tuning.uncertainty import rectangular_standard, standard_from_expanded

Floats = NDArray[np.float64]

METHOD = "mean of the shop drawn to that of all shops by how sure each is"
CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class OperationRate:
    """What one run of an operation takes off at one shop.

    Attributes
    ----------
    shop, operation : str
        Whose, and what.
    quantity : {"edge_height", "edge_width", "base_thickness"}
        What it takes.
    pairs : int
        Pairs of readings of this shop.
    mean_mm, low_mm, high_mm : float
        Rate and its 95 % limits, none below zero [mm].
    own_mm : float
        Plain mean of its own pairs [mm].
    weight : float
        How much of the rate is the shop's own [1].
    basis : {"readings", "practice"}
        Practice where fewer than three shops stand behind the mean of all.
    rests_on : tuple of str
        Records with its own pairs.
    sentence : str
        For a person.
    """

    shop: str
    operation: str
    quantity: MaterialQuantity
    pairs: int
    mean_mm: float
    low_mm: float
    high_mm: float
    own_mm: float
    weight: float
    basis: Literal["readings", "practice"]
    rests_on: tuple[str, ...]
    sentence: str


def operation_rates(
    pairs: Mapping[str, Sequence[RemovalPair]],
    operation: str,
    quantity: MaterialQuantity,
    practice: Practice,
) -> tuple[OperationRate, ...]:
    """What one operation takes off at each shop that has read it.

    Parameters
    ----------
    pairs : mapping of str to sequence of RemovalPair
        Pairs of each shop, of any operations and quantities; the others are passed over.
    operation : str
        The operation asked for.
    quantity : {"edge_height", "edge_width", "base_thickness"}
        The quantity asked for.
    practice : Practice
        What the rates are drawn to where fewer than three shops have a pair, and how unlike the
        runs of one shop are where fewer than three pairs are over.

    Returns
    -------
    tuple of OperationRate
        One for each shop with a pair, by name.

    Notes
    -----
    Source: as `apps.tuning.shrinkage`.
    """
    own = {
        shop: [one for one in taken if (one.operation, one.quantity) == (operation, quantity)]
        for shop, taken in sorted(pairs.items())
    }
    own = {shop: taken for shop, taken in own.items() if taken}
    if not own:
        return ()
    shrunk = _shrunk(list(own.values()), operation, quantity, practice)
    return tuple(
        _rate(shop, taken, shrunk, number) for number, (shop, taken) in enumerate(own.items())
    )


def _shrunk(
    taken: Sequence[Sequence[RemovalPair]],
    operation: str,
    quantity: MaterialQuantity,
    practice: Practice,
) -> Shrunk:
    amount = practice.removal(operation).of(quantity)
    guess = ((amount.high_mm - amount.low_mm) / 4.0) ** 2
    counts = np.array([len(one) for one in taken], dtype=np.float64)
    means = np.array([np.mean([pair.removed_mm for pair in one]) for one in taken])
    noise = np.array([np.mean([_variance_mm2(pair) for pair in one]) for one in taken])
    squares = np.array([np.sum(np.square(_apart(one))) for one in taken])
    over = counts - 1.0
    scatter, degrees = guess, GUESS_DEGREES
    if over.sum() >= LEAST_GROUPS:
        scatter, degrees = scatter_of(squares - over * noise, squares, over)
    part = np.full_like(counts, scatter) / counts
    variances = part + noise / counts
    if counts.size >= LEAST_GROUPS:
        centre = centre_of(means, variances, part, degrees)
    else:
        centre = Centre(amount.usual_mm, 0.0, guess, 0.0, GUESS_DEGREES, 0)
    return shrink_to(centre, means, variances, part, degrees)


def _variance_mm2(pair: RemovalPair) -> float:
    """Variance of a difference of readings; none is surer than the step of a record."""
    stated = standard_from_expanded(pair.difference_uncertainty_mm)
    return float(max(stated**2, 2.0 * rectangular_standard(READING_STEP_MM) ** 2))


def _apart(pairs: Sequence[RemovalPair]) -> Floats:
    removed = np.array([pair.removed_mm for pair in pairs])
    return np.asarray(removed - removed.mean())


def _rate(shop: str, pairs: Sequence[RemovalPair], shrunk: Shrunk, number: int) -> OperationRate:
    mean, weight = float(shrunk.mean[number]), float(shrunk.weight[number])
    k = float(special.stdtrit(shrunk.degrees_of_freedom[number], (1.0 + CONFIDENCE) / 2.0))
    half = k * float(np.sqrt(shrunk.variance[number]))
    learned = shrunk.centre.groups > 0
    return OperationRate(
        shop,
        pairs[0].operation,
        pairs[0].quantity,
        len(pairs),
        max(0.0, mean),
        max(0.0, mean - half),
        max(0.0, mean + half),
        float(np.mean([pair.removed_mm for pair in pairs])),
        weight,
        "readings" if learned else "practice",
        tuple(dict.fromkeys(pair.record for pair in pairs if pair.record)),
        _sentence(len(pairs), weight, shrunk.centre.groups),
    )


def _sentence(pairs: int, weight: float, shops: int) -> str:
    drawn = f"the mean of {shops} shops" if shops else "the shop's practice"
    few = f"Fewer than {LEAST_PAIRS} pairs. " if pairs < LEAST_PAIRS else ""
    return (
        f"{few}{pairs} pairs of its own count for {100.0 * weight:.0f} % of the rate, "
        f"{drawn} for the rest."
    )

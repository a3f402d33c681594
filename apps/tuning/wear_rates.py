"""What a service takes off each ski of a fleet: its own readings drawn to the fleet's rate."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from apps.tuning.history import MaterialQuantity
from apps.tuning.practice import Practice
from apps.tuning.services import service_rate
from apps.tuning.shrinkage import (
    GUESS_DEGREES,
    LEAST_GROUPS,
    Centre,
    centre_of,
    scatter_of,
    shrink_to,
)
from apps.tuning.wear_statistics import LEAST_READINGS, WearColumns

Floats = NDArray[np.float64]

LEAST_DEGREES = 3
"""Fewer degrees of freedom say nothing of how unlike services are; practice."""

METHOD = "rate of the ski drawn to the fleet's by how sure each is"


@dataclass(frozen=True, slots=True)
class FleetRate:
    """What a service takes in a fleet, and how unlike skis and services are.

    Attributes
    ----------
    quantity : {"edge_height", "edge_width", "base_thickness"}
        What is taken.
    centre : Centre
        Mean of the skis' rates and the variance between them [mm, mm2].
    scatter_mm2 : float
        Variance of what one service takes about its ski's rate [mm2].
    scatter_degrees : float
        Degrees of freedom of that [1].
    skis, readings, services : int
        Skis with at least one interval, their readings, and the services in their intervals.
    basis : {"readings", "practice"}
        Practice where fewer than three skis have an interval.
    scatter_basis : {"readings", "practice"}
        Practice where fewer than three intervals are over.
    sentence : str
        For a person.
    """

    quantity: MaterialQuantity
    centre: Centre
    scatter_mm2: float
    scatter_degrees: float
    skis: int
    readings: int
    services: int
    basis: Literal["readings", "practice"]
    scatter_basis: Literal["readings", "practice"]
    sentence: str


@dataclass(frozen=True, slots=True, eq=False)
class ShrunkRates:
    """What a service takes off each ski, arrays of shape (n,).

    Attributes
    ----------
    mean_mm, variance_mm2 : array of float
        Rate and its mean square error [mm, mm2].
    degrees_of_freedom : array of float
        Effective ones [1].
    weight : array of float
        How much of the rate is the ski's own [1]: 0 is the fleet's, 1 its own.
    own_mm : array of float
        The plain rate of its own readings [mm], NaN without any.
    covariance_mm2 : array of float
        Covariance of rate and level [mm2]: a last reading that is too high makes the level too
        high and the rate too low. Never above zero.
    few : array of bool
        Fewer than three readings, so the rate is the fleet's or nearly so.
    fleet : FleetRate
        What they were drawn to.
    """

    mean_mm: Floats
    variance_mm2: Floats
    degrees_of_freedom: Floats
    weight: Floats
    own_mm: Floats
    covariance_mm2: Floats
    few: NDArray[np.bool_]
    fleet: FleetRate


def shrink(columns: WearColumns, quantity: MaterialQuantity, practice: Practice) -> ShrunkRates:
    """What a service takes off each ski of a fleet, learned from the fleet itself.

    Parameters
    ----------
    columns : WearColumns
        The skis, n of them.
    quantity : {"edge_height", "edge_width", "base_thickness"}
        What the columns are of.
    practice : Practice
        Stands in where fewer than three skis were read.

    Returns
    -------
    ShrunkRates
        Arrays of shape (n,).

    Notes
    -----
    Source: as `apps.tuning.shrinkage`; the model is on the page "Wear".
    """
    return shrink_to_fleet(columns, fleet_rate(columns, quantity, practice))


def fleet_rate(columns: WearColumns, quantity: MaterialQuantity, practice: Practice) -> FleetRate:
    """What a service takes in a fleet; parameters as `shrink`.

    Returns
    -------
    FleetRate
        Of practice where fewer than three skis have an interval between readings.
    """
    taught = columns.intervals > 0
    skis = int(taught.sum())
    scatter, degrees, scatter_basis = _scatter(columns, quantity, practice)
    enough = skis >= LEAST_GROUPS
    if enough:
        own, variance, part = (column[taught] for column in _own(columns, scatter))
        centre = centre_of(own, variance, part, degrees)
    else:
        centre = practice_centre(quantity, practice)
    return FleetRate(
        quantity,
        centre,
        scatter,
        degrees,
        skis,
        int(columns.readings[taught].sum()),
        int(columns.services.sum()),
        "readings" if enough else "practice",
        scatter_basis,
        _sentence(skis, int(columns.services.sum()), enough=enough),
    )


def practice_centre(quantity: MaterialQuantity, practice: Practice) -> Centre:
    """The shop's practice as what rates are scattered about: its limits are k = 2."""
    rate = service_rate(quantity, practice)
    between = ((rate.high_mm - rate.low_mm) / 4.0) ** 2
    return Centre(rate.usual_mm, 0.0, between, 0.0, GUESS_DEGREES, 0)


def shrink_to_fleet(columns: WearColumns, fleet: FleetRate) -> ShrunkRates:
    """What a service takes off each ski, by a rate of the fleet that is known already.

    Parameters
    ----------
    columns : WearColumns
        The skis, n of them, of the fleet or not.
    fleet : FleetRate
        Of the same quantity.

    Returns
    -------
    ShrunkRates
        Arrays of shape (n,).
    """
    own, variance, scatter = _own(columns, fleet.scatter_mm2)
    shrunk = shrink_to(fleet.centre, own, variance, scatter, fleet.scatter_degrees)
    return ShrunkRates(
        shrunk.mean,
        shrunk.variance,
        shrunk.degrees_of_freedom,
        shrunk.weight,
        own,
        -shrunk.weight * _over(columns.shared_variance_mm2, columns.services),
        columns.readings < LEAST_READINGS,
        fleet,
    )


def _own(columns: WearColumns, scatter_mm2: float) -> tuple[Floats, Floats, Floats]:
    """Plain rate, its variance, and the part of that which comes of scatter; NaN without any."""
    taught = columns.intervals > 0
    nothing = np.where(taught, 0.0, np.nan)
    scatter = _over(np.full(columns.count, scatter_mm2), columns.services)
    readings = _over(_over(columns.readings_variance_mm2, columns.services), columns.services)
    own = _over(columns.removed_mm, columns.services) + nothing
    return own, scatter + readings + nothing, scatter + nothing


def _over(value: Floats, count: Floats) -> Floats:
    return value / np.maximum(count, 1.0)


def _scatter(
    columns: WearColumns, quantity: MaterialQuantity, practice: Practice
) -> tuple[float, float, Literal["readings", "practice"]]:
    over = np.maximum(columns.intervals - 1.0, 0.0)
    if over.sum() < LEAST_DEGREES:
        guess = practice_centre(quantity, practice)
        return guess.between_variance, GUESS_DEGREES, "practice"
    mean, degrees = scatter_of(
        columns.scatter_mm2 - columns.scatter_of_readings_mm2, columns.scatter_mm2, over
    )
    return mean, degrees, "readings"


def _sentence(skis: int, services: int, *, enough: bool) -> str:
    if enough:
        return f"Learned from {services} services of {skis} skis between readings."
    have = "1 ski has" if skis == 1 else f"{skis} skis have"
    return (
        f"{have} readings with a service between them; {LEAST_GROUPS} are needed, so the shop's "
        "practice stands in for the fleet."
    )

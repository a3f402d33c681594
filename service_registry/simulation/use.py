"""Simulated use: days out from service to service and in each season, past and to come."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from apps.tuning.wear_pace import SHARED_SEASON

Floats = NDArray[np.float64]
Numbers = NDArray[np.int64]
Number = TypeVar("Number", bound=np.generic)

MOST_SERVICES = 200
MOST_SEASONS = 120
SPANS_SEEN = (2, 12)
SEASONS_SEEN = (2, 6)


@dataclass(frozen=True, slots=True)
class Days:
    """Days of one kind: mean, its spread between skis, and the scatter of a ski [d]."""

    mean: float
    between: float
    scatter: float
    fewest: float


A_SERVICE = Days(mean=12.0, between=2.5, scatter=3.0, fewest=3.0)
A_SEASON = Days(mean=45.0, between=8.0, scatter=8.0, fewest=10.0)


@dataclass(frozen=True, slots=True, eq=False)
class SimulatedUse:
    """Use on record, by the names of the statistics, and the truth; arrays of shape (n,).

    Attributes
    ----------
    counted : mapping of str to array of int
        Use on record.
    seasons_left : array of float
        Seasons until the service is done that each ski isn't good for any more [1].
    """

    counted: Mapping[str, Numbers]
    seasons_left: Floats


def simulate_use(rng: Generator, good_for: Numbers) -> SimulatedUse:
    """Let skis be used.

    Parameters
    ----------
    rng : numpy.random.Generator
        The chance that rules them.
    good_for : array of int, shape (n,)
        Whole services that each is good for from now on; below zero for one that is worn out.
    """
    gap, season = (_means(rng, kind, good_for.size) for kind in (A_SERVICE, A_SEASON))
    spans = _days(rng, gap, A_SERVICE.scatter, MOST_SERVICES)
    snow = np.maximum(rng.normal(1.0, SHARED_SEASON, MOST_SEASONS + SEASONS_SEEN[1]), 0.5)
    years = np.maximum(np.round(_days(rng, season, A_SEASON.scatter, snow.size) * snow), 1.0)
    past, to_come = years[:, : SEASONS_SEEN[1]], years[:, SEASONS_SEEN[1] :]
    since = np.floor(rng.uniform(0.0, 1.0, gap.size) * spans[:, 0])
    due = np.cumsum(spans, axis=1) - since[:, None]
    worn = at(due, np.clip(good_for, 0, MOST_SERVICES - 1))
    seen = _days(rng, gap, A_SERVICE.scatter, SPANS_SEEN[1])
    counted = {"days_since": since.astype(np.int64)}
    counted |= _tallies("span", seen, rng, SPANS_SEEN)
    counted |= _tallies("season", past, rng, SEASONS_SEEN)
    return SimulatedUse(counted, np.where(good_for < 0, 0.0, _seasons(worn, to_come)))


def at(rows: NDArray[Number], numbers: Numbers) -> NDArray[Number]:
    """One value out of each row, (n, m) and (n,) to (n,)."""
    found: NDArray[Number] = np.take_along_axis(rows, numbers[:, None], axis=1)[:, 0]
    return found


def _seasons(days: Floats, years: Floats) -> Floats:
    """Seasons in which so many days go by, the last one in part."""
    ends = np.cumsum(years, axis=1)
    whole = np.minimum((ends < days[:, None]).sum(axis=1), MOST_SEASONS - 1)
    begun = at(np.concatenate([np.zeros((days.size, 1)), ends], axis=1), whole)
    return np.asarray(whole + (days - begun) / at(years, whole))


def _means(rng: Generator, kind: Days, count: int) -> Floats:
    return np.maximum(rng.normal(kind.mean, kind.between, count), kind.fewest)


def _days(rng: Generator, mean: Floats, scatter: float, number: int) -> Floats:
    shape, scale = (mean / scatter) ** 2, scatter**2 / mean
    drawn = rng.gamma(shape[:, None], scale[:, None], (mean.size, number))
    return np.maximum(np.round(drawn), 1.0)


def _tallies(name: str, days: Floats, rng: Generator, seen: tuple[int, int]) -> dict[str, Numbers]:
    counts = rng.integers(seen[0], seen[1] + 1, len(days))
    known = np.where(np.arange(days.shape[1]) < counts[:, None], days, 0.0).astype(np.int64)
    return {
        f"{name}s": counts,
        f"{name}_days": known.sum(axis=1),
        f"{name}_squares": (known**2).sum(axis=1),
    }

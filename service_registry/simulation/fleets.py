"""Simulated fleets: what is true of each ski, and what its readings and use come down to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from apps.tuning.wear_statistics import FIELDS, UM_A_MM, WearColumns, columns_of
from service_registry.simulation.scenarios import Scenario
from service_registry.simulation.use import Numbers, SimulatedUse, at, simulate_use

Floats = NDArray[np.float64]

LEAST_MM = 0.8
RESERVE_MM = (0.15, 0.7)
SLOWEST_MM = 0.012
FUTURE_SERVICES = 200


@dataclass(frozen=True, slots=True, eq=False)
class SimulatedFleet:
    """A fleet as its node sees it, and as it is; arrays of shape (n,).

    Attributes
    ----------
    columns : WearColumns
        What a node keeps of it.
    rate_mm : array of float
        What a service truly takes off each ski on the mean, as before [mm].
    services_left : array of float
        Services that each is truly good for from now on, a part of the last one counted [1].
    seasons_left : array of float
        Seasons until the service that truly takes it below the least [1].
    """

    columns: WearColumns
    rate_mm: Floats
    services_left: Floats
    seasons_left: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Past:
    """What was read; arrays of shape (n, m).

    Attributes
    ----------
    read_mm : array of float
        Levels read, in order of time [mm].
    services : array of int
        Services before each.
    levels : array of int, shape (n,)
        How many of them each ski has.
    """

    read_mm: Floats
    services: Numbers
    levels: Numbers


def simulate(scenario: Scenario, rng: Generator) -> SimulatedFleet:
    """Let a fleet live, and give what is known and what is true of it."""
    rate = _rates(scenario, rng)
    reserve = rng.uniform(*RESERVE_MM, rate.size)
    past = _past(scenario, rng, rate, LEAST_MM + reserve)
    since = rng.integers(0, 3, rate.size)
    to_come = _amounts(scenario, rng, rate, FUTURE_SERVICES)
    to_come[:, 2:] *= scenario.next_stone
    good_for = _good_for(reserve, to_come)
    use = simulate_use(rng, np.floor(good_for).astype(np.int64) - since)
    columns = _columns(scenario, past, since, use)
    left = np.maximum(good_for - since, 0.0)
    return SimulatedFleet(columns, rate, left, use.seasons_left)


def _rates(scenario: Scenario, rng: Generator) -> Floats:
    if scenario.two_kinds:
        kind = rng.choice([-1.0, 1.0], scenario.skis)
        return np.asarray(scenario.rate_mm + kind * scenario.between_mm)
    spread = rng.normal(scenario.rate_mm, scenario.between_mm, scenario.skis)
    return np.maximum(spread, SLOWEST_MM)


def _amounts(scenario: Scenario, rng: Generator, rate: Floats, services: int) -> Floats:
    """What each service takes [mm], (n, services): never below zero, and uneven."""
    scale = scenario.scatter_mm**2 / rate
    shape = (rate / scenario.scatter_mm) ** 2
    return rng.gamma(shape[:, None], scale[:, None], (rate.size, services))


def _past(scenario: Scenario, rng: Generator, rate: Floats, last_mm: Floats) -> Past:
    fewest, most = scenario.levels
    levels = rng.integers(fewest, most + 1, rate.size)
    gaps = rng.integers(1, scenario.gap + 1, (rate.size, most))
    gaps[:, 0] = 0
    services = np.cumsum(gaps, axis=1)
    amounts = _amounts(scenario, rng, rate, int(services.max()))
    gone = np.concatenate([np.zeros((rate.size, 1)), np.cumsum(amounts, axis=1)], axis=1)
    gone = np.take_along_axis(gone, services, axis=1)
    true = (last_mm + at(gone, levels - 1))[:, None] - gone
    wrong = rng.normal(0.0, scenario.reading_mm * scenario.misread, true.shape)
    return Past(np.round(true + wrong, 3), services, levels)


def _good_for(reserve: Floats, amounts: Floats) -> Floats:
    """Services until the reserve is gone, the last one in part."""
    left = reserve[:, None] - np.cumsum(amounts, axis=1)
    whole = np.minimum((left >= 0.0).sum(axis=1), FUTURE_SERVICES - 1)
    before = np.concatenate([reserve[:, None], left], axis=1)
    return np.asarray(whole + at(before, whole) / at(amounts, whole))


def _columns(scenario: Scenario, past: Past, since: Numbers, use: SimulatedUse) -> WearColumns:
    """Bring readings and use down to the whole numbers that a node keeps."""
    counts = {"readings": past.levels, "services_since": since, **use.counted}
    named = counts | read_statistics(past, scenario.reading_mm)
    rows = zip(*(named[name].tolist() for name in FIELDS), strict=True)
    return columns_of(rows)


def read_statistics(past: Past, reading_mm: float) -> dict[str, Numbers]:
    """What readings come down to: the sums of `apps.tuning.wear`, for all skis at once."""
    seen = np.arange(past.read_mm.shape[1] - 1) < past.levels[:, None] - 1
    removed = np.where(seen, -np.diff(past.read_mm, axis=1), 0.0)
    services = np.where(seen, np.diff(past.services, axis=1), 0)
    each, total, number = np.maximum(services, 1), removed.sum(axis=1), services.sum(axis=1)
    variance = np.full(total.size, reading_mm**2)
    noise = 2.0 * variance
    squares = {
        "scatter_um2": (removed**2 / each).sum(axis=1) - total**2 / number,
        "scatter_of_readings_um2": noise * ((seen / each).sum(axis=1) - 1.0 / number),
        "readings_variance_um2": noise,
        "level_variance_um2": variance,
        "shared_variance_um2": variance,
    }
    lengths = {"removed_um": total, "level_um": at(past.read_mm, past.levels - 1)}
    found: dict[str, Numbers] = {"intervals": past.levels - 1, "services": number}
    found |= {name: _whole(one * UM_A_MM) for name, one in lengths.items()}
    return found | {name: _whole(one * UM_A_MM**2) for name, one in squares.items()}


def _whole(values: Floats) -> Numbers:
    return np.round(values).astype(np.int64)

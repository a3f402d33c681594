"""How often the intervals hold the truth, and how far the estimates lie from it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray
from scipy import special

from apps.tuning.outlook import Fleet, outlook
from apps.tuning.practice import Practice
from apps.tuning.wear_left import SURE, Left, seasons_left_of, services_left_of
from apps.tuning.wear_pace import pace_of
from apps.tuning.wear_rates import ShrunkRates, shrink
from service_registry.simulation.fleets import LEAST_MM, SimulatedFleet, simulate
from service_registry.simulation.scenarios import SCENARIOS, Scenario

Floats = NDArray[np.float64]
Held = NDArray[np.bool_]

CASES = 1000
SEASONS_AHEAD = (0.5, 1.0, 2.0, 3.0)
LOWEST, HIGHEST = 0.85, 0.95


@dataclass(frozen=True, slots=True)
class Figures:
    """What came of one scenario.

    Attributes
    ----------
    scenario : Scenario
        What the fleets were like.
    cases : int
        Skis it was tried on.
    rate, services, whole_services, exhaustion : float
        Share of 90 % intervals that hold the truth [1]: of the rate, of the services left, of
        them as whole numbers, of the date of exhaustion.
    outlook : float
        Share of the outlook's intervals that hold the true number of skis [1].
    error_mm, plain_error_mm : float
        Root mean square error of the rate, and of the plain average of each ski's own readings
        [mm].
    """

    scenario: Scenario
    cases: int
    rate: float
    services: float
    whole_services: float
    exhaustion: float
    outlook: float
    error_mm: float
    plain_error_mm: float

    @property
    def holds(self) -> bool:
        """Whether rate, services left and date of exhaustion keep what 90 % promises."""
        kept = (self.rate, self.services, self.exhaustion)
        return all(LOWEST <= share <= HIGHEST for share in kept)

    @property
    def surer(self) -> bool:
        """Whether the rate is nearer to the truth than the plain average."""
        return self.error_mm < self.plain_error_mm


@dataclass(frozen=True, slots=True, eq=False)
class _Tried:
    """What came of one fleet: truths held, and errors [mm]."""

    rate: Held
    services: Held
    whole: Held
    exhaustion: Held
    outlook: Held
    error: Floats
    plain: Floats


def try_scenario(scenario: Scenario, seed: int, cases: int = CASES) -> Figures:
    """Try the model on as many fleets of a scenario as have the cases.

    Parameters
    ----------
    scenario : Scenario
        What the fleets are like.
    seed : int
        Of the chance; the same seed gives the same figures.
    cases : int
        Skis to try it on.
    """
    rng = np.random.default_rng([seed, SCENARIOS.index(scenario)])
    tried = [_try(scenario, rng) for _ in range(-(-cases // scenario.skis))]

    def share(name: str) -> float:
        return float(np.concatenate([getattr(one, name) for one in tried]).mean())

    return Figures(
        scenario,
        len(tried) * scenario.skis,
        share("rate"),
        share("services"),
        share("whole"),
        share("exhaustion"),
        share("outlook"),
        float(np.sqrt(share("error"))),
        float(np.sqrt(share("plain"))),
    )


def _try(scenario: Scenario, rng: Generator) -> _Tried:
    fleet = simulate(scenario, rng)
    rates = shrink(fleet.columns, "edge_height", Practice())
    pace = pace_of(fleet.columns)
    services = services_left_of(fleet.columns, rates, LEAST_MM)
    seasons = seasons_left_of(fleet.columns, rates, pace, LEAST_MM)
    return _Tried(
        _rate_held(fleet, rates),
        _held(services, fleet.services_left),
        _held(services.whole, np.floor(fleet.services_left)),
        _held(seasons, fleet.seasons_left),
        _outlook_held(Fleet(fleet.columns, rates, pace, LEAST_MM), fleet.seasons_left),
        (rates.mean_mm - fleet.rate_mm) ** 2,
        (rates.own_mm - fleet.rate_mm) ** 2,
    )


def _rate_held(fleet: SimulatedFleet, rates: ShrunkRates) -> Held:
    k = special.stdtrit(rates.degrees_of_freedom, (1.0 + SURE) / 2.0)
    far = np.abs(rates.mean_mm - fleet.rate_mm)
    return np.asarray(far <= k * np.sqrt(rates.variance_mm2))


def _held(left: Left, truth: Floats) -> Held:
    return np.asarray((left.low <= truth) & (truth <= left.high))


def _outlook_held(fleet: Fleet, seasons_left: Floats) -> Held:
    below = outlook(fleet, SEASONS_AHEAD).below
    truth = (seasons_left[:, None] <= np.array(SEASONS_AHEAD)).sum(axis=0)
    return np.asarray((below.low <= truth) & (truth <= below.high))

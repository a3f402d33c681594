"""What the simulated fleets are like; every amount is invented within the trade's usual limits."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Scenario:
    """One kind of fleet.

    Attributes
    ----------
    name : str
        What it is called.
    rate_mm, between_mm : float
        Mean of what a service takes off a ski, and its standard deviation between skis [mm].
    scatter_mm : float
        Standard deviation between services of one ski [mm]; what one takes is gamma-distributed.
    reading_mm : float
        Standard uncertainty of a reading as stated [mm].
    levels : tuple of int
        Fewest and most levels read on a ski.
    gap : int
        Most services between two levels.
    skis : int
        Skis in one fleet.
    two_kinds : bool
        Half of the skis wear by `between_mm` less and half by as much more, in place of a normal
        spread.
    misread : float
        How much worse the gauge is than stated [1].
    next_stone : float
        What services take from now on over what they took [1].
    strays : str
        Why the intervals are not expected to hold here, "" where they are.
    """

    name: str
    rate_mm: float = 0.045
    between_mm: float = 0.009
    scatter_mm: float = 0.015
    reading_mm: float = 0.015
    levels: tuple[int, int] = (2, 6)
    gap: int = 3
    skis: int = 40
    two_kinds: bool = False
    misread: float = 1.0
    next_stone: float = 1.0
    strays: str = ""


SCENARIOS: tuple[Scenario, ...] = (
    Scenario("a usual fleet"),
    Scenario("few readings", levels=(2, 3), gap=2),
    Scenario("many readings", levels=(12, 25), gap=2),
    Scenario("heavy scatter between services", scatter_mm=0.035, skis=100),
    Scenario("skis very unlike", between_mm=0.018),
    Scenario("a coarse gauge", reading_mm=0.04),
    Scenario("one large fleet", skis=1000),
    Scenario("fleets of ten skis", skis=10),
    Scenario("two kinds of ski in one fleet", between_mm=0.02, two_kinds=True),
    Scenario(
        "no difference between skis",
        between_mm=0.0,
        strays="the rate is surer than its limits: no fleet can show that its skis are all alike",
    ),
    Scenario(
        "fleets of four skis, few readings",
        skis=4,
        levels=(2, 3),
        strays="too wide: practice stands in for the scatter, with few degrees of freedom",
    ),
    Scenario(
        "a gauge three times worse than stated",
        misread=3.0,
        strays="too wide: what the gauge adds is taken for scatter between services",
    ),
    Scenario(
        "a new stone that takes half as much again",
        next_stone=1.5,
        strays="too late: the model reckons that services go on as before",
    ),
)

"""Limits of what a service takes off a fleet, and how much of its skis' rates is their own."""

from __future__ import annotations

import numpy as np
from scipy import special

from apps.tuning.wear_left import SURE
from apps.tuning.wear_rates import FleetRate, ShrunkRates


def fleet_limits_mm(fleet: FleetRate) -> tuple[float, float]:
    """Limits of the fleet's rate [mm].

    Parameters
    ----------
    fleet : FleetRate
        What a service takes.

    Returns
    -------
    tuple of float
        90 % between both by readings, with Student's t. By practice, which states its limits
        itself, two standard deviations between skis to either side, none below zero.
    """
    centre = fleet.centre
    if fleet.basis == "practice":
        half = 2.0 * float(np.sqrt(centre.between_variance))
        return max(0.0, centre.mean - half), centre.mean + half
    k = special.stdtrit(centre.degrees_of_freedom, (1.0 + SURE) / 2.0)
    half = float(k) * float(np.sqrt(centre.variance))
    return centre.mean - half, centre.mean + half


def own_weight(rates: ShrunkRates) -> float | None:
    """How much of a ski's rate is its own [1], on the mean; None where no ski has one."""
    taught = np.isfinite(rates.own_mm)
    return float(rates.weight[taught].mean()) if taught.any() else None

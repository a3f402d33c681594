"""How a base leans across the ski, and its twist from one station to the next."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from apps.tuning.errors import require_not_negative, require_points, require_rising
from apps.tuning.profile import Profile
from apps.tuning.uncertainty import Estimate

UM_A_MM = 1000.0
MM_A_M = 1000.0


@dataclass(frozen=True, slots=True)
class Station:
    """The cross slope at one place along the ski.

    Attributes
    ----------
    position_mm : float
        Distance from the tail [mm].
    slope_deg : Estimate
        Cross slope with its standard uncertainty [deg].
    """

    position_mm: float
    slope_deg: Estimate


@dataclass(frozen=True, slots=True)
class Twist:
    """How the cross slope changes between two stations.

    Attributes
    ----------
    from_mm, to_mm : float
        The stations [mm from the tail].
    deg_per_m : Estimate
        Change of the cross slope for each metre towards the tip, with its standard uncertainty
        [deg/m]; positive where the right side rises towards the tip.
    """

    from_mm: float
    to_mm: float
    deg_per_m: Estimate


def cross_slope_deg(profile: Profile, gap_standard_uncertainty_um: float) -> Estimate:
    """Slope of the least-squares line across a base, against the bar.

    Parameters
    ----------
    profile : Profile
        Heights across the ski, without the centre groove.
    gap_standard_uncertainty_um : float
        Standard uncertainty of one height [um], independent from point to point.

    Returns
    -------
    Estimate
        Slope and its standard uncertainty [deg], positive where the right side is higher.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the uncertainty is negative or not a number.

    Notes
    -----
    Source: ISO 12780-1 (least squares reference line); its slope has the standard uncertainty
    ``u / sqrt(sum((x - mean)**2))`` (JCGM 100:2008, H.3). It tells the lie of the base only when
    the bar is held to one common plane; a bar that rests on the base takes its own lie from it.
    """
    require_not_negative(gap_standard_uncertainty_um, "gap_standard_uncertainty_um")
    x, height = np.array(profile.x_mm), np.array(profile.height_um)
    centred = x - x.mean()
    spread = float(centred @ centred)
    slope = float(centred @ (height - height.mean())) / spread / UM_A_MM
    uncertainty = gap_standard_uncertainty_um / math.sqrt(spread) / UM_A_MM
    turn = math.degrees(1.0 / (1.0 + slope**2))
    return Estimate(math.degrees(math.atan(slope)), turn * uncertainty)


def twist_along(stations: Sequence[Station]) -> tuple[Twist, ...]:
    """Twist between neighbouring stations, and over all of them where there are more than two.

    Parameters
    ----------
    stations : sequence of Station, shape (n,)
        At least two, rising in position.

    Returns
    -------
    tuple of Twist
        From the tail to the tip; the whole length last.

    Raises
    ------
    ProfileTooShortError, ProfileNotOrderedError
        If there are fewer than two stations, or two at one place.

    Notes
    -----
    Source: derived; the two slopes are taken as independent (JCGM 100:2008, equation 10).
    """
    require_points(stations, "stations", 2)
    require_rising([station.position_mm for station in stations], "position_mm")
    neighbours = [_between(first, second) for first, second in pairwise(stations)]
    whole = [_between(stations[0], stations[-1])] if len(stations) > 2 else []
    return (*neighbours, *whole)


def _between(first: Station, second: Station) -> Twist:
    metres = (second.position_mm - first.position_mm) / MM_A_M
    change = second.slope_deg.value - first.slope_deg.value
    off = math.hypot(first.slope_deg.standard_uncertainty, second.slope_deg.standard_uncertainty)
    return Twist(first.position_mm, second.position_mm, Estimate(change / metres, off / metres))

"""How straight a row of heights is: minimum zone, least squares and end points.

Heights are micrometres over positions in millimetres, so distances are taken along the height
and not square to the line; on a ski base the two differ by less than a millionth.
"""

from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import ConvexHull

from apps.tuning.profile import Profile

Array = NDArray[np.float64]
Reference = Literal["minimum-zone", "least-squares", "end-points"]


@dataclass(frozen=True, slots=True)
class Straightness:
    """Width of the zone between two parallel lines that holds a whole profile.

    Attributes
    ----------
    zone_um : float
        Distance of the two lines along the height [um].
    reference : {"minimum-zone", "least-squares", "end-points"}
        What fixed the direction of the lines.
    slope_um_per_mm : float
        Their slope [um/mm].
    lower_um, upper_um : float
        Their heights at x = 0 [um].
    """

    zone_um: float
    reference: Reference
    slope_um_per_mm: float
    lower_um: float
    upper_um: float


class _Sides(NamedTuple):
    slope: Array
    start: Array
    upper: NDArray[np.bool_]


def minimum_zone_straightness(profile: Profile) -> Straightness:
    """Straightness by the narrowest zone there is.

    Parameters
    ----------
    profile : Profile
        Heights over positions.

    Returns
    -------
    Straightness
        Never wider than by any other reference.

    Notes
    -----
    Source: ISO 1101 and ISO 12780-1 (minimum zone reference lines). Exact: the width is convex
    in the slope and bends only at slopes of the convex hull's sides.
    """
    x, y = _arrays(profile)
    level, sides = _hull_sides(x, y)
    spreads = np.ptp(level[:, None] - np.outer(x - x[0], sides.slope), axis=0)
    slope = float(sides.slope[spreads.argmin()])
    return _zone(x, y, _end_slope(x, y) + slope, "minimum-zone")


def least_squares_straightness(profile: Profile) -> Straightness:
    """Straightness beside the least-squares line.

    Parameters
    ----------
    profile : Profile
        Heights over positions.

    Returns
    -------
    Straightness
        Highest minus lowest deviation from that line.

    Notes
    -----
    Source: ISO 12780-1 (least squares reference line).
    """
    x, y = _arrays(profile)
    centred = x - x.mean()
    slope = float(centred @ (y - y.mean()) / (centred @ centred))
    return _zone(x, y, slope, "least-squares")


def end_point_straightness(profile: Profile) -> Straightness:
    """Straightness beside the line through the first and the last point.

    Parameters
    ----------
    profile : Profile
        Heights over positions.

    Returns
    -------
    Straightness
        Highest minus lowest deviation from that line.

    Notes
    -----
    Source: common practice of the straightedge; not one of the references of ISO 12780-1.
    """
    x, y = _arrays(profile)
    return _zone(x, y, _end_slope(x, y), "end-points")


def hollow_and_crown_um(profile: Profile) -> tuple[float, float]:
    """Depth below a string drawn tight over a profile, height above one drawn tight under it.

    Parameters
    ----------
    profile : Profile
        Heights over positions.

    Returns
    -------
    hollow_um, crown_um : float
        Greatest distance from the upper and from the lower side of the convex hull [um].

    Notes
    -----
    Source: derived; a profile without hollow is domed all over, one without crown dished.
    """
    x, y = _arrays(profile)
    level, sides = _hull_sides(x, y)
    lines = np.outer(x - x[0], sides.slope) + sides.start
    hollow = float((lines[:, sides.upper].min(axis=1) - level).max())
    crown = float((level - lines[:, ~sides.upper].max(axis=1)).max())
    return max(0.0, hollow), max(0.0, crown)


def _arrays(profile: Profile) -> tuple[Array, Array]:
    return np.array(profile.x_mm, dtype=float), np.array(profile.height_um, dtype=float)


def _end_slope(x: Array, y: Array) -> float:
    return float((y[-1] - y[0]) / (x[-1] - x[0]))


def _hull_sides(x: Array, y: Array) -> tuple[Array, _Sides]:
    """Return heights above the end-to-end line, and the sides of their convex hull."""
    level = y - y[0] - _end_slope(x, y) * (x - x[0])
    # Rounding can leave the last point just off the line through itself.
    level[-1] = 0.0
    scale = float(np.abs(level).max())
    if scale == 0:
        flat = np.zeros(2)
        return level, _Sides(flat, flat, np.array([True, False]))
    # Scaled to a box of one by one the points can never lie on one line, which the hull
    # routine would refuse: the ends lie at zero and another point at plus or minus one.
    hull = ConvexHull(np.column_stack([(x - x[0]) / (x[-1] - x[0]), level / scale]))
    first, second = hull.simplices.T
    slope = (level[second] - level[first]) / (x[second] - x[first])
    start = level[first] - slope * (x[first] - x[0])
    return level, _Sides(slope, start, hull.equations[:, 1] > 0)


def _zone(x: Array, y: Array, slope: float, reference: Reference) -> Straightness:
    offsets = y - slope * x
    lower, upper = float(offsets.min()), float(offsets.max())
    return Straightness(upper - lower, reference, slope, lower, upper)

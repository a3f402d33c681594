"""Sidecut depth and radius of a ski, each way of reckoning it under its own name.

Widths and lengths are millimetres and radii metres. The same ski gives different radii by
different ways, so every answer carries the way it was found.
"""

import math
from dataclasses import dataclass
from typing import Literal

from apps.tuning.errors import (
    OutOfRangeError,
    SidecutImpossibleError,
    require_positive,
    require_rising,
)

MIN_WIDTH_MM = 30.0
MAX_WIDTH_MM = 250.0
MAX_LENGTH_MM = 3000.0

Method = Literal["chord", "exact-chord", "three-point", "racing-rule"]


@dataclass(frozen=True, slots=True)
class SidecutRadius:
    """A sidecut radius and the way it was found.

    Attributes
    ----------
    radius_m : float
        Radius [m].
    method : str
        Name of the formula.
    """

    radius_m: float
    method: Method


def sidecut_depth_mm(shovel_mm: float, waist_mm: float, tail_mm: float) -> float:
    """Depth of the sidecut at the waist, mean of both ends.

    Parameters
    ----------
    shovel_mm, waist_mm, tail_mm : float
        Widths [mm].

    Returns
    -------
    float
        ``(S - 2 W + T) / 4`` [mm].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If a width is not a number or not that of a ski.
    SidecutImpossibleError
        If the waist is not narrower than the mean of the ends.

    Notes
    -----
    Source: Lind and Sanders, The Physics of Skiing (form as published; page not seen).
    """
    shovel = require_ski_width(shovel_mm, "shovel_mm")
    waist = require_ski_width(waist_mm, "waist_mm")
    tail = require_ski_width(tail_mm, "tail_mm")
    depth = (shovel - 2.0 * waist + tail) / 4.0
    if depth <= 0:
        raise SidecutImpossibleError(
            f"waist_mm is {waist:g}, not narrower than the mean of shovel_mm {shovel:g} and "
            f"tail_mm {tail:g}. Such a ski has no sidecut radius; check the three widths.",
            field="waist_mm",
        )
    return depth


def radius_chord_m(
    shovel_mm: float, waist_mm: float, tail_mm: float, chord_mm: float
) -> SidecutRadius:
    """Sidecut radius by the usual short form.

    Parameters
    ----------
    shovel_mm, waist_mm, tail_mm : float
        Widths [mm].
    chord_mm : float
        Length between the widest points [mm].

    Returns
    -------
    SidecutRadius
        ``C**2 / (8 SC)``, method "chord".

    Raises
    ------
    NotFiniteError, OutOfRangeError, SidecutImpossibleError
        As `sidecut_depth_mm`, and for a chord that is not that of a ski.

    Notes
    -----
    Source: Lind and Sanders, The Physics of Skiing (form as published; page not seen).
    """
    depth = sidecut_depth_mm(shovel_mm, waist_mm, tail_mm)
    chord = require_ski_length(chord_mm, "chord_mm")
    return SidecutRadius(chord**2 / (8.0 * depth) / 1000.0, "chord")


def radius_exact_chord_m(
    shovel_mm: float, waist_mm: float, tail_mm: float, chord_mm: float
) -> SidecutRadius:
    """Sidecut radius of the circle with this chord and depth, nothing neglected.

    Parameters
    ----------
    shovel_mm, waist_mm, tail_mm : float
        Widths [mm].
    chord_mm : float
        Length between the widest points [mm].

    Returns
    -------
    SidecutRadius
        ``C**2 / (8 SC) + SC / 2``, method "exact-chord".

    Raises
    ------
    NotFiniteError, OutOfRangeError, SidecutImpossibleError
        As `radius_chord_m`.

    Notes
    -----
    Source: geometry of the circular segment.
    """
    depth = sidecut_depth_mm(shovel_mm, waist_mm, tail_mm)
    short = radius_chord_m(shovel_mm, waist_mm, tail_mm, chord_mm)
    return SidecutRadius(short.radius_m + depth / 2.0 / 1000.0, "exact-chord")


def depth_for_radius_mm(radius_m: float, chord_mm: float) -> float:
    """Sidecut depth of a given radius and chord, the inverse of `radius_exact_chord_m`.

    Parameters
    ----------
    radius_m : float
        Sidecut radius [m].
    chord_mm : float
        Length between the widest points [mm].

    Returns
    -------
    float
        Depth [mm].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If an input is not a number or not above zero.
    SidecutImpossibleError
        If the chord is longer than the circle is wide.

    Notes
    -----
    Source: geometry of the circular segment.
    """
    radius_mm = require_positive(radius_m, "radius_m") * 1000.0
    half = require_ski_length(chord_mm, "chord_mm") / 2.0
    if half > radius_mm:
        raise SidecutImpossibleError(
            f"radius_m is {radius_m:g}, too small a circle for a chord of {chord_mm:g} mm. "
            "Check the two.",
            field="radius_m",
        )
    # R - sqrt(R**2 - C**2/4) would cancel most digits of a shallow arc; this form keeps them.
    return half**2 / (radius_mm + math.sqrt((radius_mm - half) * (radius_mm + half)))


def radius_three_point_m(
    shovel_mm: float,
    waist_mm: float,
    tail_mm: float,
    tail_to_shovel_mm: float,
    tail_to_waist_mm: float,
) -> SidecutRadius:
    """Sidecut radius of the circle through three points of one edge.

    Parameters
    ----------
    shovel_mm, waist_mm, tail_mm : float
        Widths [mm].
    tail_to_shovel_mm, tail_to_waist_mm : float
        Distances of shovel and waist from where the tail width was taken [mm].

    Returns
    -------
    SidecutRadius
        Circumradius, method "three-point".

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If an input is not a number or not that of a ski.
    ProfileNotOrderedError
        If the waist does not lie between tail and shovel.
    SidecutImpossibleError
        If the edge is straight or bulges at the waist.

    Notes
    -----
    Source: circle through three points, with half widths as the second coordinate.
    """
    shovel_at = require_ski_length(tail_to_shovel_mm, "tail_to_shovel_mm")
    waist_at = require_ski_length(tail_to_waist_mm, "tail_to_waist_mm")
    require_rising((0.0, waist_at, shovel_at), "tail_to_waist_mm")
    to_shovel = (shovel_at, (require_ski_width(shovel_mm, "shovel_mm") - tail_mm) / 2.0)
    to_waist = (waist_at, (require_ski_width(waist_mm, "waist_mm") - tail_mm) / 2.0)
    require_ski_width(tail_mm, "tail_mm")
    twice_area = to_waist[0] * to_shovel[1] - to_waist[1] * to_shovel[0]
    require_waisted(twice_area)
    sides = math.hypot(*to_shovel) * math.hypot(*to_waist) * math.dist(to_shovel, to_waist)
    return SidecutRadius(sides / (2.0 * twice_area) / 1000.0, "three-point")


def require_ski_width(width_mm: float, field: str) -> float:
    """Return a width [mm] when a ski can have it, 30 to 250.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If it is not a number or outside.
    """
    require_positive(width_mm, field, MAX_WIDTH_MM)
    if width_mm < MIN_WIDTH_MM:
        raise OutOfRangeError(
            f"{field} is {width_mm:g}, narrower than any ski. Give the width in millimetres.",
            field=field,
        )
    return width_mm


def require_ski_length(length_mm: float, field: str) -> float:
    """Return a length [mm] when it lies on a ski, above 0 and up to 3000.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If it is not a number or outside.
    """
    return require_positive(length_mm, field, MAX_LENGTH_MM)


def require_waisted(hollow: float) -> None:
    """Refuse an edge that is not hollow; `hollow` is above zero where the waist is narrower.

    Raises
    ------
    SidecutImpossibleError
        If it is zero or below.
    """
    if hollow <= 0:
        raise SidecutImpossibleError(
            "waist_mm is not narrower than the straight line between the ends. "
            "Such an edge has no sidecut radius; check the widths and positions.",
            field="waist_mm",
        )

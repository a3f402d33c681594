"""A declared sidecut radius beside those that the widths of the ski give.

Makers don't print how they found their radius. Most print widths at the widest and narrowest
places, from which the chord formula follows; racing skis are declared by the racing rule.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from apps.tuning.errors import require_not_negative, require_positive
from apps.tuning.sidecut import require_ski_length, sidecut_depth_mm
from apps.tuning.sidecut_fit import RadiusLimits, radius_limits
from apps.tuning.uncertainty import USUAL_COVERAGE_FACTOR

WHOLE_METRES_HALF_STEP_M = 0.5
TENTHS_HALF_STEP_M = 0.05
# Practice, no source: a tape along a ski repeats within 2 mm (k = 2).
USUAL_CHORD_UNCERTAINTY_MM = 2.0


@dataclass(frozen=True, slots=True)
class FoundRadius:
    """A radius found from widths, with its way and its limits.

    Attributes
    ----------
    method : str
        The way it was found.
    radius_m : float
        Radius [m].
    limits : RadiusLimits
        Its limits, k = 2.
    """

    method: str
    radius_m: float
    limits: RadiusLimits


@dataclass(frozen=True, slots=True)
class RadiusComparison:
    """A declared radius beside one that was found.

    Attributes
    ----------
    method : str
        The way the other was found.
    difference_m : float
        Found less declared [m].
    normalized_error : float or None
        That difference over both uncertainties together [1]; None where the found radius has no
        limit on the side of the declared one.
    agrees : bool
        True where it is 1 or less, or has no limit there.
    """

    method: str
    difference_m: float
    normalized_error: float | None
    agrees: bool


@dataclass(frozen=True, slots=True)
class DeclaredRadius:
    """A declared radius beside all that were found.

    Attributes
    ----------
    declared_m : float
        As printed [m].
    half_step_m : float
        Half a step of its print [m]: 0.5 for whole metres, else 0.05.
    comparisons : tuple of RadiusComparison
        One for each way.
    nearest : str or None
        The way whose radius lies nearest; None where there is none.
    sentence : str
        For a person.
    """

    declared_m: float
    half_step_m: float
    comparisons: tuple[RadiusComparison, ...]
    nearest: str | None
    sentence: str


def declared_half_step_m(declared_m: float) -> float:
    """Half a step of a printed radius [m]: of whole metres where it is whole, else of tenths.

    Notes
    -----
    Source: practice, no source. A whole number may have been printed to tenths; the wider step
    is the safe reading.
    """
    require_positive(declared_m, "declared_radius_m")
    return WHOLE_METRES_HALF_STEP_M if declared_m == round(declared_m) else TENTHS_HALF_STEP_M


def compare_declared(declared_m: float, found: Sequence[FoundRadius]) -> DeclaredRadius:
    """Say with which of the radii found from widths a declared one agrees.

    Parameters
    ----------
    declared_m : float
        As printed on the ski [m].
    found : sequence of FoundRadius
        Radii by their ways.

    Returns
    -------
    DeclaredRadius
        Each comparison, and the way that lies nearest.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the declared radius is not a number above zero.

    Notes
    -----
    Source: normalized error E_n as in ISO 13528 and ISO/IEC 17043 (recalled): the difference
    over the root of both squared expanded uncertainties, agreeing up to 1. The uncertainty of
    the found radius is that on the side of the declared one.
    """
    half_step = declared_half_step_m(declared_m)
    compared = tuple(_compare(declared_m, half_step, one) for one in found)
    nearest = min(compared, key=lambda one: abs(one.difference_m), default=None)
    return DeclaredRadius(
        declared_m,
        half_step,
        compared,
        nearest.method if nearest else None,
        _sentence(declared_m, compared),
    )


def chord_radius_limits(
    radius_m: float,
    widths_mm: tuple[float, float, float],
    widths_uncertainty_mm: tuple[float, float, float],
    chord_mm: float,
    chord_uncertainty_mm: float = USUAL_CHORD_UNCERTAINTY_MM,
) -> RadiusLimits:
    """Limits of a radius by the chord formula.

    Parameters
    ----------
    radius_m : float
        By `apps.tuning.sidecut.radius_chord_m` or its exact form [m].
    widths_mm : tuple of float, shape (3,)
        Shovel, waist and tail [mm].
    widths_uncertainty_mm : tuple of float, shape (3,)
        Expanded uncertainty of each, k = 2 [mm].
    chord_mm, chord_uncertainty_mm : float
        Chord and its expanded uncertainty, k = 2 [mm].

    Returns
    -------
    RadiusLimits
        k = 2.

    Raises
    ------
    NotFiniteError, OutOfRangeError, SidecutImpossibleError
        If a width or length is not that of a ski, or an uncertainty is negative.

    Notes
    -----
    Source: JCGM 100:2008, equation 10, on ``8 SC / C**2`` with ``SC = (S - 2 W + T) / 4``.
    """
    shovel, waist, tail = (
        require_not_negative(off, "widths_uncertainty_mm") for off in widths_uncertainty_mm
    )
    depth_off = math.hypot(shovel, 2.0 * waist, tail) / 4.0
    chord_off = require_not_negative(chord_uncertainty_mm, "chord_uncertainty_mm")
    relative = math.hypot(
        depth_off / sidecut_depth_mm(*widths_mm),
        2.0 * chord_off / require_ski_length(chord_mm, "chord_mm"),
    )
    return radius_limits(radius_m, relative)


def printed_uncertainty_mm(width_mm: float) -> float:
    """Expanded uncertainty (k = 2) of a printed width [mm]: of whole millimetres, or of tenths.

    Notes
    -----
    Source: JCGM 100:2008, 4.3.7 (rectangular); that a whole number was rounded to whole
    millimetres is practice, no source.
    """
    half_step = 0.5 if width_mm == round(width_mm) else 0.05
    return USUAL_COVERAGE_FACTOR * half_step / math.sqrt(3.0)


def _compare(declared_m: float, half_step: float, found: FoundRadius) -> RadiusComparison:
    difference = found.radius_m - declared_m
    side = found.limits.low_m if difference > 0 else found.limits.high_m
    if side is None:
        return RadiusComparison(found.method, difference, None, agrees=True)
    error = abs(difference) / math.hypot(side - found.radius_m, half_step)
    return RadiusComparison(found.method, difference, error, agrees=error <= 1)


def _sentence(declared_m: float, compared: Sequence[RadiusComparison]) -> str:
    told = f"The declared {declared_m:g} m"
    if not compared:
        return f"{told} can't be checked: no widths give a radius."
    agreeing = [one.method for one in compared if one.agrees]
    if not agreeing:
        return f"{told} agrees with no radius that the widths give."
    return f"{told} agrees with the radius by {' and '.join(agreeing)}."

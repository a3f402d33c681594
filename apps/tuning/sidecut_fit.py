"""The circle nearest to many widths of a ski, how sure its radius is, and if it fits at all."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from apps.tuning.circle import fit_circle_geometric
from apps.tuning.coverage import USUAL_CONFIDENCE
from apps.tuning.errors import require_positive
from apps.tuning.quantiles import chi_squared_quantile
from apps.tuning.sidecut import require_waisted
from apps.tuning.uncertainty import USUAL_COVERAGE_FACTOR, coverage_factor
from apps.tuning.width_profile import require_widths

MM_A_M = 1000.0
# Practice, no source: a caliper across a ski repeats within 0.1 mm (k = 2).
USUAL_WIDTH_UNCERTAINTY_MM = 0.1
# How rarely a sidecut of one radius may be taken for another: once in a hundred.
SURENESS = 0.99


@dataclass(frozen=True, slots=True)
class RadiusLimits:
    """Limits of a radius, reckoned on its curvature.

    Attributes
    ----------
    low_m : float
        Lower limit [m].
    high_m : float or None
        Upper limit [m]; None where even a straight edge lies within the uncertainty.
    """

    low_m: float
    high_m: float | None


@dataclass(frozen=True, slots=True)
class SidecutFit:
    """A circle through many widths.

    Attributes
    ----------
    from_mm, to_mm : float
        First and last position [mm].
    points : int
        Widths it rests on.
    radius_m : float
        Radius [m].
    limits : RadiusLimits
        Expanded by `coverage_factor`.
    residual_rms_mm : float
        Root mean square distance of the half widths from the circle [mm].
    explained : bool
        True where the uncertainty of the widths explains those distances.
    coverage_factor : float
        k [1]: 2 where it does; by Student's t where the distances themselves had to tell.
    degrees_of_freedom : int
        Widths less the three unknowns of a circle [1].
    """

    from_mm: float
    to_mm: float
    points: int
    radius_m: float
    limits: RadiusLimits
    residual_rms_mm: float
    explained: bool
    coverage_factor: float
    degrees_of_freedom: int


def fit_sidecut(
    positions_mm: Sequence[float],
    widths_mm: Sequence[float],
    width_standard_uncertainty_mm: float = USUAL_WIDTH_UNCERTAINTY_MM / USUAL_COVERAGE_FACTOR,
) -> SidecutFit:
    """Circle of least squared distance to half widths along a ski, with limits of its radius.

    Parameters
    ----------
    positions_mm : sequence of float, shape (n,)
        Positions along the ski, rising [mm]; leave out the rounded tip and tail.
    widths_mm : sequence of float, shape (n,)
        Width at each [mm].
    width_standard_uncertainty_mm : float
        Standard uncertainty of one width [mm], independent from width to width.

    Returns
    -------
    SidecutFit
        Radius, limits, residual, and if the uncertainty of the widths explains it.

    Raises
    ------
    WrongCountError, ProfileTooShortError, ProfileNotOrderedError, NotFiniteError, OutOfRangeError
        If the lists don't pair up, are shorter than 3, out of order or hold what is not a ski's,
        or the uncertainty is not above zero.
    CircleImpossibleError, SidecutImpossibleError
        If the edge is straight or bulges.

    Notes
    -----
    Source: geometric fit of Gander, Golub and Strebel, BIT 34 (1994) 558-578; covariance of a
    least-squares fit (JCGM 100:2008, H.3); chi-square test of the residuals. The limits are even
    in the curvature 1 / R, which the widths measure, and so uneven in the radius.
    """
    require_widths(positions_mm, widths_mm, least=3)
    half_off = require_positive(width_standard_uncertainty_mm, "width_standard_uncertainty_mm") / 2
    points = [(at, width / 2.0) for at, width in zip(positions_mm, widths_mm, strict=True)]
    circle = fit_circle_geometric(points)
    require_waisted(circle.centre_y - max(widths_mm) / 2.0)
    freedom = len(points) - 3
    squares = circle.residual_rms**2 * len(points)
    explained = squares_explained(squares, half_off, freedom)
    factor = USUAL_COVERAGE_FACTOR
    if not explained:
        half_off = math.sqrt(squares / freedom)
        factor = coverage_factor(freedom, USUAL_CONFIDENCE)
    off = factor * half_off * circle.radius_sensitivity / circle.radius
    return SidecutFit(
        positions_mm[0],
        positions_mm[-1],
        len(points),
        circle.radius / MM_A_M,
        radius_limits(circle.radius / MM_A_M, off),
        circle.residual_rms,
        explained,
        factor,
        freedom,
    )


def squares_explained(sum_of_squares: float, standard_uncertainty: float, freedom: int) -> bool:
    """Whether residuals are no larger than their uncertainty makes likely, 99 times in 100.

    Notes
    -----
    Source: chi-square test; with no degrees of freedom left nothing speaks against the fit.
    """
    if freedom < 1:
        return True
    return sum_of_squares / standard_uncertainty**2 <= chi_squared_quantile(SURENESS, freedom)


def radius_limits(radius_m: float, relative_expanded: float) -> RadiusLimits:
    """Limits of a radius from the relative expanded uncertainty of its curvature [1]."""
    high = radius_m / (1.0 - relative_expanded) if relative_expanded < 1 else None
    return RadiusLimits(radius_m / (1.0 + relative_expanded), high)

"""How sure the edge geometry is: the formulas of `bevel` and `edge_steel` with uncertainty.

First-order propagation of independent inputs (JCGM 100:2008, equation 10). Values come from the
plain formulas, so an estimate never disagrees with them.
"""

import math
from dataclasses import dataclass

from apps.tuning.bevel import bevel_from_gap_deg, corner_drop_mm
from apps.tuning.edge_steel import facet_margin_mm, least_grind_to_close_mm
from apps.tuning.uncertainty import Estimate


@dataclass(frozen=True, slots=True)
class FacetAfterGrind:
    """What a flat grind leaves of a facet.

    Attributes
    ----------
    margin : Estimate
        Width left [mm]; negative when the grind went past the facet, by the width it went past.
        It is kept signed so that how sure "ground away" is can be read from it.
    """

    margin: Estimate

    @property
    def width_mm(self) -> float:
        """Facet width left [mm], 0.0 when none is."""
        return max(0.0, self.margin.value)


def corner_drop_estimate(facet_width: Estimate, base_bevel: Estimate) -> Estimate:
    """`corner_drop_mm` with its standard uncertainty.

    Parameters
    ----------
    facet_width : Estimate
        Width of the facet [mm].
    base_bevel : Estimate
        Base bevel [deg].

    Returns
    -------
    Estimate
        Drop at the corner [mm].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        As `corner_drop_mm`.

    Notes
    -----
    Source: JCGM 100:2008, equation 10, with ``dd = tan(b) dw + w sec(b)**2 db``.
    """
    drop = corner_drop_mm(facet_width.value, base_bevel.value)
    by_width = math.tan(math.radians(base_bevel.value)) * facet_width.standard_uncertainty
    by_bevel = facet_width.value * _tangent_uncertainty(base_bevel)
    return Estimate(drop, math.hypot(by_width, by_bevel))


def bevel_from_gap_estimate(gap: Estimate, facet_width: Estimate) -> Estimate:
    """`bevel_from_gap_deg` with its standard uncertainty.

    Parameters
    ----------
    gap : Estimate
        Thickness of the gauge that just fits [mm].
    facet_width : Estimate
        Width of the facet [mm].

    Returns
    -------
    Estimate
        Base bevel [deg].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        As `bevel_from_gap_deg`.

    Notes
    -----
    Source: JCGM 100:2008, equation 10, with ``db = (w dg - g dw) / (w**2 + g**2)``.
    """
    bevel_deg = bevel_from_gap_deg(gap.value, facet_width.value)
    squared = gap.value**2 + facet_width.value**2
    by_gap = facet_width.value * gap.standard_uncertainty / squared
    by_width = gap.value * facet_width.standard_uncertainty / squared
    return Estimate(bevel_deg, math.degrees(math.hypot(by_gap, by_width)))


def least_grind_to_close_estimate(
    facet_width: Estimate, from_base_bevel: Estimate, to_base_bevel_deg: float
) -> Estimate:
    """`least_grind_to_close_mm` with its standard uncertainty.

    Parameters
    ----------
    facet_width : Estimate
        Width of the facet [mm].
    from_base_bevel : Estimate
        Base bevel now [deg].
    to_base_bevel_deg : float
        Bevel wanted [deg]; a wish is exact.

    Returns
    -------
    Estimate
        Flat grind needed [mm].

    Raises
    ------
    NotFiniteError, OutOfRangeError, WrongDirectionError
        As `least_grind_to_close_mm`.

    Notes
    -----
    Source: JCGM 100:2008, equation 10, with
    ``dg = (tan(b1) - tan(b2)) dw + w sec(b1)**2 db1``.
    """
    grind = least_grind_to_close_mm(facet_width.value, from_base_bevel.value, to_base_bevel_deg)
    tangents = math.tan(math.radians(from_base_bevel.value)) - math.tan(
        math.radians(to_base_bevel_deg)
    )
    by_width = tangents * facet_width.standard_uncertainty
    by_bevel = facet_width.value * _tangent_uncertainty(from_base_bevel)
    return Estimate(grind, math.hypot(by_width, by_bevel))


def facet_after_grind_estimate(
    facet_width: Estimate, base_bevel: Estimate, grind: Estimate
) -> FacetAfterGrind:
    """`facet_after_grind_mm` with its standard uncertainty.

    Parameters
    ----------
    facet_width : Estimate
        Width of the facet before [mm].
    base_bevel : Estimate
        Base bevel [deg], not flat.
    grind : Estimate
        Thickness taken off base and steel alike [mm].

    Returns
    -------
    FacetAfterGrind
        Signed margin with its uncertainty, and the width left.

    Raises
    ------
    NotFiniteError, OutOfRangeError, BevelOutOfRangeError
        As `facet_margin_mm`; a flat edge has no facet.

    Notes
    -----
    Source: JCGM 100:2008, equation 10, with
    ``dw' = dw - dg / tan(b) + g db / sin(b)**2``. The last term grows fast as the bevel gets
    small: at half a degree a tenth of a degree is a fifth of what the grind took.
    """
    margin = facet_margin_mm(facet_width.value, base_bevel.value, grind.value)
    angle = math.radians(base_bevel.value)
    by_grind = grind.standard_uncertainty / math.tan(angle)
    spread = math.radians(base_bevel.standard_uncertainty)
    by_bevel = grind.value * spread / math.sin(angle) ** 2
    combined = math.hypot(facet_width.standard_uncertainty, by_grind, by_bevel)
    return FacetAfterGrind(Estimate(margin, combined))


def _tangent_uncertainty(bevel: Estimate) -> float:
    spread = math.radians(bevel.standard_uncertainty)
    return spread / math.cos(math.radians(bevel.value)) ** 2

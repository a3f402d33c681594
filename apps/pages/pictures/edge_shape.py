"""The cross-section of a steel edge as corners in mm; pure geometry.

The corner where facet and side face meet is at 0 across. Across counts inwards from there, up
counts from the base plane. `slopes` draws each bevel so many times as steep and leaves every
length as it is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from apps.tuning.bevel import corner_drop_mm
from apps.tuning.edge_steel import least_grind_to_close_mm

Spot = tuple[float, float]
"""Across and up [mm]."""

SLOPES = (20, 10, 5, 2, 1)
MOST_LEAN = 0.5
"""A drawn bevel takes up no more of the steel than this, else the eye takes it for the edge."""


@dataclass(frozen=True, slots=True)
class EdgeShape:
    """The steel of one edge.

    Attributes
    ----------
    height_mm, width_mm : float
        Of the side face, and across the base from the corner inwards [mm].
    base_bevel_deg, side_bevel_deg : float
        From square [deg].
    facet_mm : float
        From the corner to where the base plane begins [mm]; may be wider than the steel.
    """

    height_mm: float
    width_mm: float
    base_bevel_deg: float = 0.0
    side_bevel_deg: float = 0.0
    facet_mm: float = 0.0

    @property
    def drop_mm(self) -> float:
        """How far the corner lies above the base plane [mm]."""
        return corner_drop_mm(self.facet_mm, self.base_bevel_deg)

    def corner(self, slopes: float = 1.0) -> Spot:
        """Where facet and side face meet."""
        return (0.0, slopes * self.drop_mm)

    def top(self, slopes: float = 1.0) -> Spot:
        """Upper end of the side face, which leans inwards."""
        lean = self.height_mm * _tan(self.side_bevel_deg)
        return (slopes * lean, slopes * self.drop_mm + self.height_mm)

    def facet_end(self) -> Spot:
        """Where the facet meets the base plane."""
        return (self.facet_mm, 0.0)

    def under(self, across_mm: float, slopes: float = 1.0) -> Spot:
        """The underside at some place: on the facet, or in the base plane past it."""
        rest = max(0.0, self.facet_mm - across_mm)
        return (across_mm, slopes * rest * _tan(self.base_bevel_deg))

    def underside(self, to_mm: float, slopes: float = 1.0) -> tuple[Spot, ...]:
        """From the corner inwards along the facet and the base plane, as far as asked for."""
        bend = (self.facet_end(),) if 0.0 < self.facet_mm < to_mm else ()
        return (self.corner(slopes), *bend, self.under(to_mm, slopes))

    def steel(self, slopes: float = 1.0) -> tuple[Spot, ...]:
        """The steel all round, from its upper outer end."""
        inner_top = (self.width_mm, self.top(slopes)[1])
        return (self.top(slopes), *self.underside(self.width_mm, slopes), inner_top)

    def ground_off(self, before_mm: float) -> float:
        """What was ground off since the facet was so wide [mm], off base and steel alike."""
        return corner_drop_mm(before_mm, self.base_bevel_deg) - self.drop_mm


def slopes_for(*shapes: EdgeShape) -> int:
    """How many times as steep bevels are drawn, alike for all edges that stand side by side."""
    return next(
        number for number in SLOPES if number == 1 or all(_fits(one, number) for one in shapes)
    )


def lost_between(
    shape: EdgeShape, before_mm: float, to_mm: float, slopes: float
) -> tuple[Spot, ...]:
    """What a flat grind took under an edge: the old facet and base plane against those now."""
    depth = slopes * shape.ground_off(before_mm)
    return (shape.facet_end(), (before_mm, -depth), (to_mm, -depth), (to_mm, 0.0))


def wanted(
    now: EdgeShape, base_bevel_deg: float, side_bevel_deg: float, to_mm: float, slopes: float
) -> tuple[Spot, ...]:
    """Outline of an edge with other bevels, by the least that takes it there.

    Parameters
    ----------
    now : EdgeShape
        The edge as it is.
    base_bevel_deg, side_bevel_deg : float
        Bevels wanted [deg].
    to_mm : float
        How far inwards to go [mm].
    slopes : float
        How many times as steep bevels are drawn [1].

    Returns
    -------
    tuple of Spot
        From the upper end of the side face to the corner, the end of the facet and inwards.

    Notes
    -----
    Source: geometry. A base bevel is opened about the inner end of the facet, and closed by a
    grind of ``w (tan b1 - tan b2)``; a side bevel is opened about the corner, and closed by
    moving the corner in.
    """
    grind = 0.0
    if base_bevel_deg < now.base_bevel_deg:
        grind = least_grind_to_close_mm(now.facet_mm, now.base_bevel_deg, base_bevel_deg)
    level, end = slopes * grind, now.facet_mm
    rise, lean = slopes * _tan(base_bevel_deg), slopes * _tan(side_bevel_deg)
    # The new corner is where the new facet meets a side face through the old top: the one that
    # is there, or the one that is wanted where that lies further in at the corner.
    face = min(lean, slopes * _tan(now.side_bevel_deg))
    top_across, top_up = now.top(slopes)
    corner = _meeting(level + end * rise, rise, top_across - top_up * face, face)
    top = (corner[0] + (top_up - corner[1]) * lean, top_up)
    return (top, corner, (end, level), (max(to_mm, end), level))


def _meeting(up_mm: float, rise: float, across_mm: float, lean: float) -> Spot:
    """Where ``up - rise x`` and ``x = across + lean y`` meet."""
    up = (up_mm - across_mm * rise) / (1.0 + lean * rise)
    return (across_mm + lean * up, up)


def _fits(shape: EdgeShape, slopes: int) -> bool:
    lean = slopes * shape.height_mm * _tan(shape.side_bevel_deg)
    drop = slopes * shape.drop_mm
    return lean <= MOST_LEAN * shape.width_mm and drop <= MOST_LEAN * shape.height_mm


def _tan(bevel_deg: float) -> float:
    return math.tan(math.radians(bevel_deg))

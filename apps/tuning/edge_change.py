"""What a wanted bevel asks of one edge whose present bevel is known only within limits."""

from __future__ import annotations

from dataclasses import dataclass

from apps.tuning.bevel import (
    MAX_BASE_BEVEL_DEG,
    MAX_FACET_WIDTH_MM,
    MAX_SIDE_BEVEL_DEG,
    USUAL_BASE_BEVEL_DEG,
    USUAL_SIDE_BEVEL_DEG,
)
from apps.tuning.edge_steel import (
    least_grind_to_close_mm,
    opening_base_bevel,
    steel_off_side_mm,
)
from apps.tuning.plan_amounts import NOTHING_TAKEN, Bounded, Taken, TakenBasis
from apps.tuning.plan_state import BevelState, EdgeState
from apps.tuning.practice import Practice


@dataclass(frozen=True, slots=True)
class Facet:
    """Width of a base facet [mm]; `assumed` when nobody measured it."""

    width_mm: Bounded
    assumed: bool

    @property
    def basis(self) -> TakenBasis:
        """What an amount computed from it rests on."""
        return "practice" if self.assumed else "geometry"


@dataclass(frozen=True, slots=True)
class Demand:
    """What a wanted bevel asks for; not `certain` when that hangs on a bevel nobody knows."""

    taken: Taken
    certain: bool = True


@dataclass(frozen=True, slots=True)
class SideDemand:
    """What a wanted side bevel takes.

    Attributes
    ----------
    corner : Taken
        Edge width lost where the corner itself moves in [mm].
    top : Taken
        Steel off the upper end of the side face, the corner staying [mm].
    known : bool
        False when the edge height is missing, so that neither can be told.
    """

    corner: Taken
    top: Taken
    known: bool = True


def facet_now(edge: EdgeState, practice: Practice) -> Facet:
    """The facet of an edge, or the one that practice assumes between its limits."""
    width = edge.facet_width_mm
    if width is None or width.value <= 0.0:
        width = Bounded.reading(practice.facet_width_mm, practice.facet_width_uncertainty_mm)
        return Facet(width, assumed=True)
    high = min(width.high, MAX_FACET_WIDTH_MM)
    within = Bounded(min(width.value, high), max(0.0, width.low), high)
    return Facet(within, assumed=not edge.facet_measured)


def closing_demand(edge: EdgeState, base_bevel_deg: float, practice: Practice) -> Demand:
    """Least flat grind that a base bevel asks for.

    Parameters
    ----------
    edge : EdgeState
        The edge now.
    base_bevel_deg : float
        Base bevel wanted [deg].
    practice : Practice
        Gives the facet where nobody measured it.

    Returns
    -------
    Demand
        Nothing where the bevel only has to be opened or is set anew on a flat edge. Where the
        bevel now is not known: from nothing to the closing of the steepest it may be.

    Notes
    -----
    Source: geometry, ``w (tan b1 - tan b2)`` at the limits of width and bevel.
    """
    facet = facet_now(edge, practice)
    now = edge.base_bevel.known_deg
    if now is not None and now.value <= base_bevel_deg:
        return Demand(NOTHING_TAKEN)
    if now is not None:
        return Demand(_closing(facet, now, base_bevel_deg))
    steepest = _closing(facet, _possible(edge.base_bevel, USUAL_BASE_BEVEL_DEG), base_bevel_deg)
    if not steepest.possible:
        return Demand(NOTHING_TAKEN)
    return Demand(Taken(0.0, 0.0, steepest.high_mm, "practice"), certain=False)


def opening_steel(edge: EdgeState, base_bevel_deg: float, practice: Practice) -> Taken:
    """Steel off the corner that a base bevel takes by opening.

    Parameters
    ----------
    edge : EdgeState
        The edge now.
    base_bevel_deg : float
        Base bevel wanted [deg].
    practice : Practice
        Gives the facet where nobody measured it.

    Returns
    -------
    Taken
        Nothing where the bevel now is as steep or steeper; from nothing to the whole bevel
        where it is not known.

    Notes
    -----
    Source: geometry, ``w (tan b2 - tan b1)`` at the limits of width and bevel.
    """
    facet = facet_now(edge, practice)
    now = edge.base_bevel.known_deg
    if now is None:
        whole = _opening(facet, Bounded(0.0, 0.0, 0.0), base_bevel_deg)
        return Taken(0.0, 0.0, whole.high_mm, "practice")
    if now.value >= base_bevel_deg:
        return NOTHING_TAKEN
    return _opening(facet, now, base_bevel_deg)


def side_demand(edge: EdgeState, side_bevel_deg: float) -> SideDemand:
    """What a side bevel takes off the corner and off the top of the side face.

    Parameters
    ----------
    edge : EdgeState
        The edge now.
    side_bevel_deg : float
        Side bevel wanted [deg].

    Returns
    -------
    SideDemand
        Both nothing for the bevel that is there already.

    Notes
    -----
    Source: geometry, ``h |tan s2 - tan s1|`` at the limits of height and bevel.
    """
    now = edge.side_bevel.known_deg
    if now is not None and now.value == side_bevel_deg:
        return SideDemand(NOTHING_TAKEN, NOTHING_TAKEN)
    height = edge.edge_height_mm
    if height is None:
        return SideDemand(NOTHING_TAKEN, NOTHING_TAKEN, known=False)
    if now is None:
        return _side_unknown(height, edge.side_bevel, side_bevel_deg)
    if now.value > side_bevel_deg:
        return SideDemand(_side(height, now.low, now, now.high, side_bevel_deg), NOTHING_TAKEN)
    return SideDemand(NOTHING_TAKEN, _side(height, now.high, now, now.low, side_bevel_deg))


def _possible(bevel: BevelState, usual_most_deg: float) -> Bounded:
    if bevel.bevel_deg is not None:
        return Bounded(bevel.bevel_deg.value, 0.0, bevel.bevel_deg.high)
    return Bounded(0.0, 0.0, usual_most_deg)


def _closing(facet: Facet, now: Bounded, wanted_deg: float) -> Taken:
    width = facet.width_mm
    return Taken(
        _close(width.low, now.low, wanted_deg),
        _close(width.value, now.value, wanted_deg),
        _close(width.high, now.high, wanted_deg),
        facet.basis,
    )


def _close(width_mm: float, now_deg: float, wanted_deg: float) -> float:
    now = min(now_deg, MAX_BASE_BEVEL_DEG)
    return least_grind_to_close_mm(width_mm, now, wanted_deg) if now > wanted_deg else 0.0


def _opening(facet: Facet, now: Bounded, wanted_deg: float) -> Taken:
    width = facet.width_mm
    return Taken(
        _open(width.low, now.high, wanted_deg),
        _open(width.value, now.value, wanted_deg),
        _open(width.high, now.low, wanted_deg),
        facet.basis,
    )


def _open(width_mm: float, now_deg: float, wanted_deg: float) -> float:
    if now_deg >= wanted_deg:
        return 0.0
    return opening_base_bevel(width_mm, now_deg, wanted_deg).corner_steel_mm


def _side_unknown(height: Bounded, bevel: BevelState, wanted_deg: float) -> SideDemand:
    stated = 0.0 if bevel.bevel_deg is None else bevel.bevel_deg.high
    steepest = max(stated, USUAL_SIDE_BEVEL_DEG, wanted_deg)
    corner = max(0.0, height.high) * _side_slope(steepest, wanted_deg)
    top = max(0.0, height.high) * _side_slope(0.0, wanted_deg)
    return SideDemand(Taken(0.0, 0.0, corner, "practice"), Taken(0.0, 0.0, top, "practice"))


def _side(
    height: Bounded, least_deg: float, now: Bounded, most_deg: float, wanted_deg: float
) -> Taken:
    # The side of the target on which the bevel lies decides which limit gives less; a limit on
    # the other side of the target takes nothing here.
    closing = now.value > wanted_deg
    least = least_deg if (least_deg > wanted_deg) == closing else wanted_deg
    return Taken(
        max(0.0, height.low) * _side_slope(least, wanted_deg),
        max(0.0, height.value) * _side_slope(now.value, wanted_deg),
        max(0.0, height.high) * _side_slope(most_deg, wanted_deg),
        "geometry",
    )


def _side_slope(now_deg: float, wanted_deg: float) -> float:
    return steel_off_side_mm(1.0, min(now_deg, MAX_SIDE_BEVEL_DEG), wanted_deg).steel_mm

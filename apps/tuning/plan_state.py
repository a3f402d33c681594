"""The state of a ski now, as far as a plan needs it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from apps.tuning.history import Edge, Finding
from apps.tuning.plan_amounts import Bounded, Budget
from apps.tuning.standing import Standing


@dataclass(frozen=True, slots=True)
class BevelState:
    """One bevel of one edge and whether it still stands.

    Attributes
    ----------
    standing : str
        "stands" or "partly_ground_away": the bevel is there; "ground_away": the edge lies in
        the base plane; "uncertain": it may be either; "never_stated": nobody said.
    bevel_deg : Bounded or None
        What was last set or measured [deg].
    """

    standing: Standing = "never_stated"
    bevel_deg: Bounded | None = None

    @property
    def known_deg(self) -> Bounded | None:
        """The bevel that is surely there now [deg], None where that can't be told."""
        if self.standing == "ground_away":
            return Bounded(0.0, 0.0, 0.0)
        return self.bevel_deg if self.standing in ("stands", "partly_ground_away") else None


@dataclass(frozen=True, slots=True)
class EdgeState:
    """One edge now; None is not known.

    Attributes
    ----------
    base_bevel, side_bevel : BevelState
        The two bevels with their standing.
    facet_width_mm : Bounded or None
        Width of the base facet that is left now [mm].
    facet_measured : bool
        False where `facet_width_mm` rests on practice.
    edge_height_mm, edge_width_mm : Bounded or None
        Steel left [mm].
    """

    base_bevel: BevelState = BevelState()
    side_bevel: BevelState = BevelState()
    facet_width_mm: Bounded | None = None
    facet_measured: bool = True
    edge_height_mm: Bounded | None = None
    edge_width_mm: Bounded | None = None


# Of steel that is yet to be fitted, neither material nor bevels of the old edge say anything.
NEW_EDGE = EdgeState(BevelState("uncertain"), BevelState("uncertain"))


@dataclass(frozen=True, slots=True)
class CrossShape:
    """Shape of the base across the ski.

    Attributes
    ----------
    hollow_mm, crown_mm : Bounded
        How far the base lies below and above the line from edge to edge [mm]; a concave base
        has a hollow only, a convex one a crown only.
    """

    hollow_mm: Bounded
    crown_mm: Bounded

    @classmethod
    def concave(cls, hollow_mm: float, expanded_uncertainty_mm: float = 0.0) -> CrossShape:
        """Shape of a base whose edges are high by `hollow_mm`."""
        return cls(Bounded.reading(hollow_mm, expanded_uncertainty_mm), Bounded.reading(0.0))

    @classmethod
    def convex(cls, crown_mm: float, expanded_uncertainty_mm: float = 0.0) -> CrossShape:
        """Shape of a base that is high by `crown_mm`."""
        return cls(Bounded.reading(0.0), Bounded.reading(crown_mm, expanded_uncertainty_mm))


@dataclass(frozen=True, slots=True)
class BenchState:
    """The ski as it lies on the bench; None is not known.

    Attributes
    ----------
    left, right : EdgeState
        The edges, seen from above with the tip forward.
    base_thickness_mm : Bounded or None
        Base left at its thinnest [mm].
    shape : CrossShape or None
        What a true bar showed.
    findings : tuple of Finding
        What was found and is still open.
    centre_groove_width_mm : float or None
        Width of the centre groove [mm]; None or 0 for a base without one.
    """

    left: EdgeState = EdgeState()
    right: EdgeState = EdgeState()
    base_thickness_mm: Bounded | None = None
    shape: CrossShape | None = None
    findings: tuple[Finding, ...] = ()
    centre_groove_width_mm: float | None = None

    def edge(self, edge: Edge) -> EdgeState:
        """One edge."""
        return self.left if edge == "left" else self.right

    def fitted(self, edges: Collection[Edge]) -> BenchState:
        """The ski with new steel, of which nothing is known, on `edges`."""
        return replace(
            self,
            left=NEW_EDGE if "left" in edges else self.left,
            right=NEW_EDGE if "right" in edges else self.right,
        )

    def left_mm(self, budget: Budget) -> Bounded | None:
        """Material left of one budget [mm]."""
        if budget.edge is None:
            return self.base_thickness_mm
        edge = self.edge(budget.edge)
        return edge.edge_height_mm if budget.quantity == "edge_height" else edge.edge_width_mm

"""What a simulated ski really is, which no bench ever knows, and what work and use do to it.

The amounts are invented within the usual limits of the trade (common practice, no source); the
geometry is that of `apps.tuning.bevel`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import radians, tan

from numpy.random import Generator

NEW_FACET_MM = 2.0
HOLLOW_A_DAY_MM = 0.0013
GOUGES_A_DAY = 0.012
FACE_STROKE_MM = 0.006


@dataclass(slots=True)
class TrueEdge:
    """One edge as it is: lengths in mm, bevels in degrees from square."""

    height_mm: float
    width_mm: float
    base_bevel_deg: float = 1.0
    side_bevel_deg: float = 2.0
    facet_mm: float = NEW_FACET_MM

    def lose_plane(self, depth_mm: float) -> None:
        """Lose height to a grind of the whole plane; the facet narrows with it."""
        self.height_mm -= depth_mm
        slope = tan(radians(self.base_bevel_deg))
        self.facet_mm = max(0.0, self.facet_mm - depth_mm / slope) if slope else 0.0

    def bevel_base(self, bevel_deg: float) -> None:
        """Cut the base facet at a bevel, out to the usual width."""
        self.base_bevel_deg = bevel_deg
        self.facet_mm = NEW_FACET_MM

    def file_side(self, bevel_deg: float, depth_mm: float) -> None:
        """File the side face at a bevel."""
        self.side_bevel_deg = bevel_deg
        self.width_mm -= depth_mm


@dataclass(slots=True)
class TrueSki:
    """One ski as it is, with the chance that rules its life.

    Attributes
    ----------
    base_mm : float
        Base left in the middle [mm].
    hollow_mm : float
        How far the middle lies below the edges [mm]: a worn base is concave.
    """

    rng: Generator
    left: TrueEdge
    right: TrueEdge
    base_mm: float
    hollow_mm: float = 0.02
    damage: list[float] = field(default_factory=list)

    @property
    def edges(self) -> tuple[TrueEdge, TrueEdge]:
        """Left and right, seen from above, tip forward."""
        return (self.left, self.right)

    def use(self, days: int, *, hardness: float) -> None:
        """Ski it: the base wears hollow, stones leave gouges, whose depths are kept [mm]."""
        self.hollow_mm += HOLLOW_A_DAY_MM * days * hardness * self.rng.uniform(0.8, 1.2)
        for _ in range(self.rng.poisson(GOUGES_A_DAY * days * hardness)):
            self.damage.append(float(self.rng.uniform(0.2, 1.3)))

    def grind(self, passes: int, depth_a_pass_mm: float = 0.017) -> float:
        """Grind the plane and give what it took off the edges [mm].

        The stone meets the edges first; the middle loses only what is deeper than the hollow.
        """
        depth = depth_a_pass_mm * passes * self.rng.uniform(0.9, 1.1)
        for edge in self.edges:
            edge.lose_plane(depth)
        self.base_mm -= max(0.0, depth - self.hollow_mm)
        self.hollow_mm = max(0.005, self.hollow_mm - depth)
        return depth

    def file_sides(self, bevel_deg: float, passes: int) -> None:
        """File both side faces."""
        for edge in self.edges:
            edge.file_side(bevel_deg, FACE_STROKE_MM * passes * self.rng.uniform(0.8, 1.2))

    def bevel_bases(self, bevel_deg: float) -> None:
        """Cut both base facets."""
        for edge in self.edges:
            edge.bevel_base(bevel_deg)


def new_ski(rng: Generator, *, height_mm: float = 1.80, base_mm: float = 1.40) -> TrueSki:
    """Give a ski as it comes from its maker, within a maker's tolerance."""

    def edge() -> TrueEdge:
        return TrueEdge(
            height_mm=height_mm + rng.normal(0.0, 0.015), width_mm=2.20 + rng.normal(0.0, 0.02)
        )

    return TrueSki(rng, edge(), edge(), base_mm + rng.normal(0.0, 0.02))

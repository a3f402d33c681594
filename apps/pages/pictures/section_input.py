"""What the drawing of one edge rests on, and how it is taken from a ski's condition."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from apps.tuning.condition import Condition
from apps.tuning.edge_steel import LEAST_BASE_BEVEL_DEG
from apps.tuning.figures import Length
from apps.tuning.history import Edge, Target, Visit
from apps.tuning.material import MaterialLeft
from apps.tuning.practice import Practice
from apps.tuning.standing import BevelNow, EdgeBevels

KNOWN = frozenset({"stands", "partly_ground_away"})


@dataclass(frozen=True, slots=True)
class SectionInput:
    """One edge and the steel it is of; whatever is None nobody knows.

    Attributes
    ----------
    bevels : EdgeBevels
        Both bevels, of which those of the whole edge are drawn.
    height, width : Length or None
        Of the steel.
    base_thickness : Length or None
        Of the base beside it.
    facet_before_mm : float or None
        Facet before it was partly ground away [mm].
    target : Target or None
        Bevels wanted, drawn over it.
    """

    bevels: EdgeBevels
    height: Length | None = None
    width: Length | None = None
    base_thickness: Length | None = None
    facet_before_mm: float | None = None
    target: Target | None = None

    @property
    def base_bevel_deg(self) -> float | None:
        """The base bevel as far as it is known [deg]: 0 where it was ground away."""
        now = self.bevels.base_bevel
        return 0.0 if now.standing == "ground_away" else _known_deg(now)

    @property
    def side_bevel_deg(self) -> float | None:
        """The side bevel as far as it is known [deg]."""
        return _known_deg(self.bevels.side_bevel)

    @property
    def facet(self) -> Length | None:
        """The facet left, where the base bevel is known and not flat."""
        bevel_deg = self.base_bevel_deg
        if bevel_deg is None or bevel_deg < LEAST_BASE_BEVEL_DEG:
            return None
        return self.bevels.base_bevel.facet

    @property
    def base_is_known(self) -> bool:
        """Whether the underside of the steel can be drawn: flat, or a bevel with its facet."""
        bevel_deg = self.base_bevel_deg
        if bevel_deg is None:
            return False
        return bevel_deg < LEAST_BASE_BEVEL_DEG or self.facet is not None

    @property
    def is_whole(self) -> bool:
        """Whether nothing of the drawing has to be guessed."""
        return self.is_sized and self.base_is_known and self.side_bevel_deg is not None

    @property
    def wanted_base_deg(self) -> float | None:
        """The base bevel wanted [deg]."""
        return None if self.target is None else self.target.base_bevel_deg

    @property
    def wanted_side_deg(self) -> float | None:
        """The side bevel wanted [deg]."""
        return None if self.target is None else self.target.side_bevel_deg

    @property
    def has_another_target(self) -> bool:
        """Whether a bevel is wanted that isn't there; only then a target is drawn."""
        pairs = (
            (self.wanted_base_deg, self.base_bevel_deg),
            (self.wanted_side_deg, self.side_bevel_deg),
        )
        return any(wanted is not None and wanted != now for wanted, now in pairs)

    @property
    def has_no_bevel(self) -> bool:
        """Whether neither bevel is known, so that none is drawn."""
        return self.base_bevel_deg is None and self.side_bevel_deg is None

    @property
    def is_sized(self) -> bool:
        """Whether the steel can be drawn to scale."""
        return self.height is not None and self.width is not None


def section_of(
    condition: Condition,
    edge: Edge,
    *,
    practice: Practice,
    visits: Iterable[Visit] = (),
    target: Target | None = None,
) -> SectionInput:
    """Take one edge out of a condition, with the scarcest steel of all places measured.

    Parameters
    ----------
    condition : Condition
        The ski now.
    edge : {"left", "right"}
        Seen from above, tip forward.
    practice : Practice
        Stands in for a facet that nobody measured, as it does in the condition.
    visits : iterable of Visit
        The history, for the facet before a grind; left out, what was lost isn't drawn.
    target : Target, optional
        Bevels wanted.
    """
    material = condition.material
    bevels = condition.edge(edge)
    return SectionInput(
        bevels,
        _left(material.least("edge_height", edge)),
        _left(material.least("edge_width", edge)),
        _left(material.least("base_thickness")),
        _facet_before_mm(bevels.base_bevel, visits, practice),
        target,
    )


def _left(found: MaterialLeft | None) -> Length | None:
    return None if found is None else found.left


def _known_deg(now: BevelNow) -> float | None:
    return now.stated.bevel_deg if now.stated is not None and now.standing in KNOWN else None


def _facet_before_mm(now: BevelNow, visits: Iterable[Visit], practice: Practice) -> float | None:
    if now.standing != "partly_ground_away" or now.stated is None or now.facet is None:
        return None
    widths = [
        one.facet_width_mm
        for visit in visits
        if visit.record == now.stated.record
        for one in visit.bevels
        if one.edge == now.edge and one.facet_width_mm is not None
    ]
    if widths:
        return widths[-1]
    return practice.facet_width_mm if now.facet.basis != "readings" else None

"""What each way to a flat base takes off the two edges, and how sure that is.

Three ways: the least grind to flat, the least grind to a tolerance, and filing the edges alone
down to the base between them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from apps.tuning.errors import ProfileTooShortError, require_not_negative, require_positive
from apps.tuning.flatness import BaseShape, base_shape, least_grind_to_flat
from apps.tuning.profile import LEAST_POINTS, Profile
from apps.tuning.straightness import Straightness, minimum_zone_straightness

# Of one micrometre: two heights closer than this lie on the same line.
ON_THE_LINE_UM = 1e-6
# Of the width: a bar on less would be drawn out to the edges further than it is long.
LEAST_BAR_SHARE = 0.5
# Practice: edges are about 2 mm wide where nobody measured them.
USUAL_EDGE_WIDTH_MM = 2.0

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class CutAt:
    """What a cut takes at one place.

    Attributes
    ----------
    height_um : float
        Height of the base above the cut [um]; below zero where the cut passes over it.
    sensitivity : float
        Standard uncertainty of that height for each unit of that of one reading [1].
    """

    height_um: float
    sensitivity: float

    @property
    def taken_um(self) -> float:
        """What is taken off [um], never below zero."""
        return max(0.0, self.height_um)


@dataclass(frozen=True, slots=True)
class Cut:
    """One way to a flatter base.

    Attributes
    ----------
    left_edge, right_edge, greatest : CutAt
        At the first and the last point of the profile, and where it takes most.
    after : BaseShape
        The shape it leaves.
    """

    left_edge: CutAt
    right_edge: CutAt
    greatest: CutAt
    after: BaseShape


def grind_cut(profile: Profile, tolerance_um: float, *, remaining_um: float = 0.0) -> Cut:
    """Least grind of the whole base that leaves a straightness.

    Parameters
    ----------
    profile : Profile
        Heights across the ski, without the centre groove.
    tolerance_um : float
        Straightness up to which the base counts as flat [um].
    remaining_um : float
        Straightness that may remain [um]; 0 for a base touched everywhere.

    Returns
    -------
    Cut
        `apps.tuning.flatness.least_grind_to_flat` with its sensitivities.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If either straightness is negative or not a number.

    Notes
    -----
    Source: derived; uncertainties by JCGM 100:2008, equation 10. The greatest removal is a zone
    less a tolerance, and a zone rests on two points against a third: ``sqrt(2)`` at most.
    """
    require_not_negative(remaining_um, "remaining_um")
    zone = minimum_zone_straightness(profile)
    line = _on_line(profile, zone, zone.lower_um, remaining_um)
    removal = least_grind_to_flat(profile, remaining_um).removal_um
    ground = np.array(profile.height_um) - removal
    return Cut(
        line.under(0),
        line.under(len(removal) - 1),
        CutAt(zone.zone_um - remaining_um, math.sqrt(2.0)),
        base_shape(Profile(profile.x_mm, tuple(ground.tolist())), tolerance_um),
    )


def edges_only_cut(
    profile: Profile, tolerance_um: float, edge_width_mm: float = USUAL_EDGE_WIDTH_MM
) -> Cut:
    """File only the edges, down to a bar laid on the base between them.

    Parameters
    ----------
    profile : Profile
        Heights across the ski, without the centre groove.
    tolerance_um : float
        Straightness up to which the base counts as flat [um].
    edge_width_mm : float
        Width of the steel at either side [mm]; 2 by practice.

    Returns
    -------
    Cut
        Steel taken off either edge, and the shape that is left: the hollow between them stays.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the tolerance is negative, the width not above zero, or one is not a number.
    ProfileTooShortError
        If fewer than two points lie on the base between the edges, or all within less than half
        of the width.

    Notes
    -----
    Source: derived. The bar lies along the upper line of the base's narrowest zone.
    """
    require_positive(edge_width_mm, "edge_width_mm")
    x, height = np.array(profile.x_mm), np.array(profile.height_um)
    on_left, on_right = x < x[0] + edge_width_mm, x > x[-1] - edge_width_mm
    line = _bar_on(profile, np.flatnonzero(~(on_left | on_right)))
    filed = np.where(on_left | on_right, np.minimum(height, line.at(x)), height)
    left, right = (_highest(line, np.flatnonzero(side)) for side in (on_left, on_right))
    greatest = max(left, right, key=lambda cut: cut.height_um)
    after = base_shape(Profile(profile.x_mm, tuple(filed.tolist())), tolerance_um)
    return Cut(left, right, greatest, after)


@dataclass(frozen=True, slots=True)
class _Line:
    """A line over a profile: two points give its slope, one its height."""

    profile: Profile
    first: int
    second: int
    anchor: int
    lift_um: float

    def _lean(self) -> float:
        x, height = self.profile.x_mm, self.profile.height_um
        rise = height[self.second] - height[self.first]
        return rise / (x[self.second] - x[self.first])

    def at(self, x_mm: Array) -> Array:
        start = self.profile.height_um[self.anchor] + self.lift_um
        return start + self._lean() * (x_mm - self.profile.x_mm[self.anchor])

    def under(self, index: int) -> CutAt:
        """What lies above the line at a point, each reading's share taken with its sign."""
        x = self.profile.x_mm
        share = np.zeros(len(x))
        reach = (x[index] - x[self.anchor]) / (x[self.second] - x[self.first])
        np.add.at(share, [index, self.anchor], [1.0, -1.0])
        np.add.at(share, [self.second, self.first], [-reach, reach])
        above = self.profile.height_um[index] - float(self.at(np.array(x[index])))
        return CutAt(above, float(np.linalg.norm(share)))


def _on_line(profile: Profile, zone: Straightness, level_um: float, lift_um: float) -> _Line:
    offsets = np.array(profile.height_um) - zone.slope_um_per_mm * np.array(profile.x_mm)
    sides = [
        np.flatnonzero(np.abs(offsets - side) <= ON_THE_LINE_UM)
        for side in (zone.lower_um, zone.upper_um)
    ]
    # One of the two lines of a narrowest zone lies along a side of the hull, so it holds two; of
    # two such sides the longer one fixes the slope better.
    along = max(sides, key=lambda side: profile.x_mm[side[-1]] - profile.x_mm[side[0]])
    anchor = int(np.abs(offsets - level_um).argmin())
    return _Line(profile, int(along[0]), int(along[-1]), anchor, lift_um)


def _bar_on(profile: Profile, inner: NDArray[np.intp]) -> _Line:
    if len(inner) < 2:
        raise ProfileTooShortError(
            f"{len(inner)} points lie on the base between the edges and at least 2 are needed. "
            "Measure more of the base.",
            field="x_mm",
        )
    x = profile.x_mm
    if x[inner[-1]] - x[inner[0]] < LEAST_BAR_SHARE * (x[-1] - x[0]):
        raise ProfileTooShortError(
            f"The points on the base between the edges span {x[inner[-1]] - x[inner[0]]:g} mm, "
            "and a bar needs half of the width to lie on. Measure more of the base.",
            field="x_mm",
        )
    if len(inner) < LEAST_POINTS:
        return _Line(profile, int(inner[0]), int(inner[1]), int(inner[0]), 0.0)
    base = Profile(
        tuple(profile.x_mm[index] for index in inner),
        tuple(profile.height_um[index] for index in inner),
    )
    zone = minimum_zone_straightness(base)
    line = _on_line(base, zone, zone.upper_um, 0.0)
    first, second, anchor = (int(inner[i]) for i in (line.first, line.second, line.anchor))
    return _Line(profile, first, second, anchor, 0.0)


def _highest(line: _Line, steel: NDArray[np.intp]) -> CutAt:
    return max((line.under(int(index)) for index in steel), key=lambda cut: cut.height_um)

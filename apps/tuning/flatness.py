"""Whether a base is flat, concave or convex, and the least grind that makes it flat."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from apps.tuning.errors import require_not_negative
from apps.tuning.profile import Profile, profile_from_bar_gaps, profile_from_heights
from apps.tuning.straightness import (
    Straightness,
    end_point_straightness,
    hollow_and_crown_um,
    least_squares_straightness,
    minimum_zone_straightness,
)

__all__ = [
    "RACING_TOLERANCE_UM",
    "USUAL_TOLERANCE_UM",
    "BaseShape",
    "LeastGrind",
    "Profile",
    "Straightness",
    "base_shape",
    "end_point_straightness",
    "least_grind_to_flat",
    "least_squares_straightness",
    "minimum_zone_straightness",
    "profile_from_bar_gaps",
    "profile_from_heights",
]

# Recalled practice; no published flatness tolerance was found. A shop sets its own.
RACING_TOLERANCE_UM = 50.0
USUAL_TOLERANCE_UM = 100.0

Shape = Literal["flat", "concave", "convex", "uneven"]


@dataclass(frozen=True, slots=True)
class BaseShape:
    """The shape of a base across the ski, and what it was told from.

    Attributes
    ----------
    shape : {"flat", "concave", "convex", "uneven"}
        "concave": edges high, light in the middle; "convex": base high, light at the sides;
        "uneven": neither alone.
    straightness : Straightness
        Minimum-zone straightness of the profile.
    hollow_um : float
        Deepest place below a string drawn tight over the base [um]; 0 on a pure crown.
    crown_um : float
        Highest place above a string drawn tight along its underside [um]; 0 in a pure hollow.
        The greater of the two is the straightness itself.
    tolerance_um : float
        Straightness up to which the base counts as flat [um].
    """

    shape: Shape
    straightness: Straightness
    hollow_um: float
    crown_um: float
    tolerance_um: float


@dataclass(frozen=True, slots=True)
class LeastGrind:
    """The grind that reaches a flatness and takes the least where it takes most.

    Attributes
    ----------
    greatest_um : float
        Base taken at the highest place [um].
    left_edge_um, right_edge_um : float
        Steel and base taken at the two ends of the profile [um].
    mean_um : float
        Base taken on the average over the width [um].
    removal_um : tuple of float, shape (n,)
        Base taken at each point of the profile [um].
    """

    greatest_um: float
    left_edge_um: float
    right_edge_um: float
    mean_um: float
    removal_um: tuple[float, ...]


def base_shape(profile: Profile, tolerance_um: float = USUAL_TOLERANCE_UM) -> BaseShape:
    """Tell the shape of a base from its profile.

    Parameters
    ----------
    profile : Profile
        Heights across the ski.
    tolerance_um : float
        Minimum-zone straightness up to which it counts as flat [um].

    Returns
    -------
    BaseShape
        Shape, straightness, hollow and crown.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the tolerance is negative or not a number.

    Notes
    -----
    Source: common practice for the words; ISO 12780-1 for the straightness. A base is concave
    or convex only when its other deviation is within the tolerance and at most half as large.
    """
    require_not_negative(tolerance_um, "tolerance_um")
    straightness = minimum_zone_straightness(profile)
    hollow, crown = hollow_and_crown_um(profile)
    shape: Shape = "concave" if hollow > crown else "convex"
    lesser, greater = sorted((hollow, crown))
    if straightness.zone_um <= tolerance_um:
        shape = "flat"
    elif lesser > min(tolerance_um, greater / 2.0):
        shape = "uneven"
    return BaseShape(shape, straightness, hollow, crown, tolerance_um)


def least_grind_to_flat(profile: Profile, tolerance_um: float = 0.0) -> LeastGrind:
    """Least grind that leaves a base flat to a tolerance.

    Parameters
    ----------
    profile : Profile
        Heights across the ski.
    tolerance_um : float
        Straightness allowed to remain [um]; 0 is a base touched everywhere.

    Returns
    -------
    LeastGrind
        All zero when the base is flat enough already. A concave base loses its high edges, a
        convex one its crown and nothing at the edges.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the tolerance is negative or not a number.

    Notes
    -----
    Source: derived. Taking r off the highest place can lessen the minimum-zone straightness by
    r at most, and cutting along the lower line of that zone, raised by the tolerance, does.
    """
    require_not_negative(tolerance_um, "tolerance_um")
    zone = minimum_zone_straightness(profile)
    x, height = np.array(profile.x_mm), np.array(profile.height_um)
    cut = zone.lower_um + zone.slope_um_per_mm * x + tolerance_um
    removal = np.maximum(0.0, height - cut)
    mean = np.trapezoid(removal, x) / (x[-1] - x[0])
    return LeastGrind(
        greatest_um=float(removal.max()),
        left_edge_um=float(removal[0]),
        right_edge_um=float(removal[-1]),
        mean_um=float(mean),
        removal_um=tuple(removal.tolist()),
    )

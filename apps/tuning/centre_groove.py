"""The centre groove of older straight skis: how wide it is, and a bar profile without it.

A groove says nothing of how flat the base is, and read as base it would look like a deep hollow
that only a ruinous grind could take out.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from apps.tuning.errors import ProfileTooShortError, require_not_negative
from apps.tuning.history import Visit
from apps.tuning.profile import LEAST_POINTS, Profile
from apps.tuning.straightness import minimum_zone_straightness

# Practice, no source: grooves are about 6 to 10 mm wide, and some tenths of a millimetre deep.
WIDEST_GROOVE_MM = 20.0
GROOVE_LIKE_UM = 200.0
GROOVE_LIKE_RATIO = 3.0


@dataclass(frozen=True, slots=True)
class CentreGroove:
    """How wide the centre groove is, and who says so.

    Attributes
    ----------
    width_mm : float
        Width [mm]; 0 for a base without a groove.
    measured : bool
        True where a bench measured it, False where a description states it.
    record : str
        Id of that record.
    """

    width_mm: float
    measured: bool
    record: str


def centre_groove_of(ordered: Iterable[Visit]) -> CentreGroove | None:
    """Give the centre groove that a history states, None where nobody said anything of it.

    Parameters
    ----------
    ordered : iterable of Visit
        In order of time. What was measured last counts, else what was described last.
    """
    found: CentreGroove | None = None
    for visit in ordered:
        stated = visit.centre_groove
        if stated is not None and (stated.measured or found is None or not found.measured):
            found = CentreGroove(stated.width_mm, stated.measured, visit.record)
    return found


def beside_groove(
    x_mm: Sequence[float], gap_um: Sequence[float], width_mm: float
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Leave out the readings over a groove that lies in the middle of the row.

    Parameters
    ----------
    x_mm : sequence of float, shape (n,)
        Positions from the left edge [mm]; the middle is half way between the outer two.
    gap_um : sequence of float, shape (n,)
        Reading at each [um].
    width_mm : float
        Width of the groove [mm]; both of its edges count as groove.

    Returns
    -------
    x_mm, gap_um : tuple of float, shape (m,)
        The readings beside it.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the width is negative or not a number.
    ProfileTooShortError
        If fewer than 3 readings remain.

    Notes
    -----
    Source: common practice.
    """
    require_not_negative(width_mm, "centre_groove_width_mm")
    middle = (x_mm[0] + x_mm[-1]) / 2.0 if x_mm else 0.0
    kept = [
        (x, gap)
        for x, gap in zip(x_mm, gap_um, strict=True)
        if width_mm == 0 or abs(x - middle) > width_mm / 2.0
    ]
    if len(kept) < LEAST_POINTS:
        raise ProfileTooShortError(
            f"{len(kept)} of {len(x_mm)} points lie beside the centre groove of {width_mm:g} mm "
            f"and at least {LEAST_POINTS} are needed. Measure more of the base.",
            field="x_mm",
        )
    return tuple(x for x, _ in kept), tuple(gap for _, gap in kept)


def groove_like_depth_um(profile: Profile) -> float:
    """Depth of what looks like a centre groove that nobody stated, 0 where nothing does.

    Parameters
    ----------
    profile : Profile
        The whole profile.

    Returns
    -------
    float
        How far the middle 20 mm lie below a string between the points beside them [um], when
        that is 0.2 mm or more and three times the straightness of the rest; else 0.

    Notes
    -----
    Source: practice, no source. A base hollow all over falls short of it: its middle lies a
    ninth of its depth below such a string, and the rest is bent as well.
    """
    x, height = np.array(profile.x_mm), np.array(profile.height_um)
    near = np.abs(x - (x[0] + x[-1]) / 2.0) <= WIDEST_GROOVE_MM / 2.0
    if not near.any() or np.count_nonzero(~near) < LEAST_POINTS:
        return 0.0
    rest = Profile(tuple(x[~near].tolist()), tuple(height[~near].tolist()))
    string = np.interp(x[near], rest.x_mm, rest.height_um)
    depth = float((string - height[near]).max())
    bent = GROOVE_LIKE_RATIO * minimum_zone_straightness(rest).zone_um
    return depth if depth >= max(GROOVE_LIKE_UM, bent) else 0.0

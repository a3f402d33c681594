"""What a change of bevel or a flat grind takes off an edge, and what it leaves of the facet."""

import math
from dataclasses import dataclass
from typing import Literal

from apps.tuning.bevel import (
    MAX_FACET_WIDTH_MM,
    corner_drop_mm,
    require_base_bevel,
    require_side_bevel,
)
from apps.tuning.errors import (
    BevelOutOfRangeError,
    WrongDirectionError,
    require_not_negative,
    require_positive,
)

MAX_EDGE_HEIGHT_MM = 5.0

# A thousandth of a degree drops 35 nm over a 2 mm facet. No gauge sees it, and dividing by
# its tangent would turn a speck of grinding into metres of facet, so it counts as flat.
LEAST_BASE_BEVEL_DEG = 0.001


@dataclass(frozen=True, slots=True)
class BaseBevelOpening:
    """What filing a steeper base bevel takes, the inner end of the facet staying where it is.

    Attributes
    ----------
    corner_steel_mm : float
        Height lost at the edge corner [mm].
    wedge_area_mm2 : float
        Cross-section of the wedge filed away [mm2].
    """

    corner_steel_mm: float
    wedge_area_mm2: float


@dataclass(frozen=True, slots=True)
class SideSteel:
    """What a new side bevel takes off the side face.

    Attributes
    ----------
    steel_mm : float
        Most steel taken, measured square to a side without bevel [mm].
    taken_at : {"top", "corner", "nowhere"}
        "top": the corner stays and the upper end of the side face loses `steel_mm`.
        "corner": the corner itself moves in and the edge loses `steel_mm` of its width.
    """

    steel_mm: float
    taken_at: Literal["top", "corner", "nowhere"]


def opening_base_bevel(
    facet_width_mm: float, from_base_bevel_deg: float, to_base_bevel_deg: float
) -> BaseBevelOpening:
    """Steel and base taken by filing a steeper base bevel on the same facet.

    Parameters
    ----------
    facet_width_mm : float
        Width of the facet, whose inner end stays [mm].
    from_base_bevel_deg, to_base_bevel_deg : float
        Bevel now and bevel wanted [deg]; the second may not be the smaller.

    Returns
    -------
    BaseBevelOpening
        ``w (tan b2 - tan b1)`` at the corner and half of it times ``w`` as area.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If an input is not a number or outside its range.
    WrongDirectionError
        If the bevel wanted is smaller: that takes a grind.

    Notes
    -----
    Source: geometry.
    """
    _require_change(from_base_bevel_deg, to_base_bevel_deg)
    if to_base_bevel_deg < from_base_bevel_deg:
        raise WrongDirectionError(
            "to_base_bevel_deg is below from_base_bevel_deg. A bevel is closed by a grind of "
            "the whole base; ask for the least grind instead.",
            field="to_base_bevel_deg",
        )
    corner = _corner_change_mm(facet_width_mm, from_base_bevel_deg, to_base_bevel_deg)
    return BaseBevelOpening(corner, corner * facet_width_mm / 2.0)


def least_grind_to_close_mm(
    facet_width_mm: float, from_base_bevel_deg: float, to_base_bevel_deg: float
) -> float:
    """Least flat grind that makes room for a smaller base bevel on a facet as wide as now.

    Parameters
    ----------
    facet_width_mm : float
        Width of the facet, now and after [mm].
    from_base_bevel_deg, to_base_bevel_deg : float
        Bevel now and bevel wanted [deg]; the second may not be the greater.

    Returns
    -------
    float
        ``w (tan b1 - tan b2)`` off base and steel alike [mm].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If an input is not a number or outside its range.
    WrongDirectionError
        If the bevel wanted is greater: that takes a file and no grind.

    Notes
    -----
    Source: geometry.
    """
    _require_change(from_base_bevel_deg, to_base_bevel_deg)
    if to_base_bevel_deg > from_base_bevel_deg:
        raise WrongDirectionError(
            "to_base_bevel_deg is above from_base_bevel_deg. A bevel is opened by filing the "
            "facet; ask for the opening instead.",
            field="to_base_bevel_deg",
        )
    return _corner_change_mm(facet_width_mm, to_base_bevel_deg, from_base_bevel_deg)


def facet_margin_mm(facet_width_mm: float, base_bevel_deg: float, grind_mm: float) -> float:
    """Facet width left after a flat grind, negative by the width the grind went past it.

    Parameters
    ----------
    facet_width_mm : float
        Width of the facet before [mm].
    base_bevel_deg : float
        Base bevel [deg], not flat.
    grind_mm : float
        Thickness taken off base and steel alike [mm].

    Returns
    -------
    float
        ``w - g / tan(b)`` [mm].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If an input is not a number or outside its range.
    BevelOutOfRangeError
        If the bevel is below 0.001 degrees: a flat edge has no facet to lose.

    Notes
    -----
    Source: geometry.
    """
    width = require_not_negative(facet_width_mm, "facet_width_mm", MAX_FACET_WIDTH_MM)
    grind = require_not_negative(grind_mm, "grind_mm")
    if require_base_bevel(base_bevel_deg) < LEAST_BASE_BEVEL_DEG:
        raise BevelOutOfRangeError(
            f"base_bevel_deg is {base_bevel_deg:g}, which is flat and has no facet. "
            "Give a bevel of 0.001 degrees or more.",
            field="base_bevel_deg",
        )
    return width - grind / math.tan(math.radians(base_bevel_deg))


def facet_after_grind_mm(facet_width_mm: float, base_bevel_deg: float, grind_mm: float) -> float:
    """Facet width left after a flat grind.

    Parameters
    ----------
    facet_width_mm : float
        Width of the facet before [mm].
    base_bevel_deg : float
        Base bevel [deg].
    grind_mm : float
        Thickness taken off base and steel alike [mm].

    Returns
    -------
    float
        ``w - g / tan(b)`` [mm], 0.0 when the grind went through the facet. Also 0.0 for a
        bevel of 0, ground or not: such an edge lies in the base plane and has no facet.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If an input is not a number or outside its range.

    See Also
    --------
    bevel_after_grind_deg : the bevel itself, for which a flat edge stays as it is.

    Notes
    -----
    Source: geometry.
    """
    if 0.0 <= base_bevel_deg < LEAST_BASE_BEVEL_DEG:
        require_not_negative(facet_width_mm, "facet_width_mm", MAX_FACET_WIDTH_MM)
        require_not_negative(grind_mm, "grind_mm")
        return 0.0
    return max(0.0, facet_margin_mm(facet_width_mm, base_bevel_deg, grind_mm))


def bevel_after_grind_deg(facet_width_mm: float, base_bevel_deg: float, grind_mm: float) -> float:
    """Give the base bevel [deg] after a flat grind: as before while facet is left, else 0.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If an input is not a number or outside its range.

    Notes
    -----
    Source: geometry; a flat grind never changes the angle of the facet it shortens.
    """
    left = facet_after_grind_mm(facet_width_mm, base_bevel_deg, grind_mm)
    return base_bevel_deg if left > 0 else 0.0


def steel_off_side_mm(
    edge_height_mm: float, from_side_bevel_deg: float, to_side_bevel_deg: float
) -> SideSteel:
    """Steel that a new side bevel takes, and at which end of the side face.

    Parameters
    ----------
    edge_height_mm : float
        Height of the steel's side face [mm].
    from_side_bevel_deg, to_side_bevel_deg : float
        Side bevel now and wanted [deg].

    Returns
    -------
    SideSteel
        ``h |tan s2 - tan s1|``: off the top for more bevel, off the corner for less.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If an input is not a number or outside its range.

    Notes
    -----
    Source: geometry, for the least steel that a full new face takes.
    """
    height = require_positive(edge_height_mm, "edge_height_mm", MAX_EDGE_HEIGHT_MM)
    now = math.tan(math.radians(require_side_bevel(from_side_bevel_deg, "from_side_bevel_deg")))
    then = math.tan(math.radians(require_side_bevel(to_side_bevel_deg, "to_side_bevel_deg")))
    if then == now:
        return SideSteel(0.0, "nowhere")
    return SideSteel(height * abs(then - now), "top" if then > now else "corner")


def _require_change(from_base_bevel_deg: float, to_base_bevel_deg: float) -> None:
    require_base_bevel(from_base_bevel_deg, "from_base_bevel_deg")
    require_base_bevel(to_base_bevel_deg, "to_base_bevel_deg")


def _corner_change_mm(facet_width_mm: float, less_deg: float, more_deg: float) -> float:
    return corner_drop_mm(facet_width_mm, more_deg) - corner_drop_mm(facet_width_mm, less_deg)

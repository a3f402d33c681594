"""The two bevels of an edge: what a bench writes, what a gauge shows, and which are usual.

Both bevels are degrees from square, so 0 and 0 make a right angle. The facet is the strip that
the base bevel leaves beside the edge corner; it may run some millimetres into the base, so its
width is a quantity of its own and not the width of the steel.
"""

import math
import re
from dataclasses import dataclass
from typing import Literal

from apps.tuning.errors import (
    BevelOutOfRangeError,
    NotAnAngleError,
    require_finite,
    require_not_negative,
    require_positive,
)

MAX_BASE_BEVEL_DEG = 5.0
MAX_SIDE_BEVEL_DEG = 10.0
USUAL_BASE_BEVEL_DEG = 1.5
USUAL_SIDE_BEVEL_DEG = 4.0
SQUARE_DEG = 90.0
LEAST_SIDE_ANGLE_DEG = SQUARE_DEG - MAX_SIDE_BEVEL_DEG
MAX_FACET_WIDTH_MM = 30.0

_PLAIN_DECIMAL = re.compile(r"[0-9]{1,3}(\.[0-9]+)?")

WarningCode = Literal["unusual-base-bevel", "unusual-side-bevel", "included-angle-over-90"]


@dataclass(frozen=True, slots=True)
class BevelWarning:
    """Something odd, but possible, about a pair of bevels.

    Attributes
    ----------
    code : str
        Stable name of the warning.
    message : str
        Whole sentence for a person.
    """

    code: WarningCode
    message: str


def require_base_bevel(base_bevel_deg: float, field: str = "base_bevel_deg") -> float:
    """Return a base bevel [deg] when it lies within 0 to 5.

    Raises
    ------
    NotFiniteError, BevelOutOfRangeError
        If it is not a number or lies outside.
    """
    return _require_bevel(base_bevel_deg, MAX_BASE_BEVEL_DEG, field)


def require_side_bevel(side_bevel_deg: float, field: str = "side_bevel_deg") -> float:
    """Return a side bevel [deg] when it lies within 0 to 10.

    Raises
    ------
    NotFiniteError, BevelOutOfRangeError
        If it is not a number or lies outside.
    """
    return _require_bevel(side_bevel_deg, MAX_SIDE_BEVEL_DEG, field)


def included_angle_deg(base_bevel_deg: float, side_bevel_deg: float) -> float:
    """Angle of the steel between the base facet and the side face.

    Parameters
    ----------
    base_bevel_deg, side_bevel_deg : float
        Bevels from square [deg].

    Returns
    -------
    float
        ``90 + base - side`` [deg]; the smaller, the keener the edge.

    Raises
    ------
    NotFiniteError, BevelOutOfRangeError
        If a bevel is not a number or outside its range.

    Notes
    -----
    Source: common practice; it follows from the two definitions.
    """
    base = require_base_bevel(base_bevel_deg)
    return SQUARE_DEG + base - require_side_bevel(side_bevel_deg)


def side_bevel_from_angle_deg(side_angle_deg: float) -> float:
    """Side bevel of an edge whose side is given as an angle.

    Parameters
    ----------
    side_angle_deg : float
        Angle between side face and base plane [deg], 80 to 90.

    Returns
    -------
    float
        ``90 - angle`` [deg].

    Raises
    ------
    NotFiniteError, NotAnAngleError
        If the angle is not a number or outside 80 to 90.

    Notes
    -----
    Source: common practice ("88" and "2" are the same edge).
    """
    require_finite(side_angle_deg, "side_angle_deg")
    if not LEAST_SIDE_ANGLE_DEG <= side_angle_deg <= SQUARE_DEG:
        raise NotAnAngleError(
            f"side_angle_deg is {side_angle_deg:g}. A side angle lies between 80 and 90 degrees.",
            field="side_angle_deg",
        )
    return SQUARE_DEG - side_angle_deg


def read_side_deg(value: float | str) -> float:
    """Read what a bench writes for the side, as a bevel or as an angle.

    Parameters
    ----------
    value : float or str
        A number or plain decimal word [deg]: 0 to 10 is a bevel, 80 to 90 an angle.

    Returns
    -------
    float
        Side bevel [deg].

    Raises
    ------
    NotFiniteError, NotAnAngleError
        If it is neither; nothing in between is ever guessed.

    Notes
    -----
    Source: common practice ("88" and "2" are the same edge).
    """
    number = _plain_number(value) if isinstance(value, str) else require_finite(value, "value")
    if 0.0 <= number <= MAX_SIDE_BEVEL_DEG:
        return number
    if LEAST_SIDE_ANGLE_DEG <= number <= SQUARE_DEG:
        return side_bevel_from_angle_deg(number)
    raise NotAnAngleError(
        f"value is {number:g}, neither a side bevel of 0 to 10 degrees nor a side angle of "
        "80 to 90. Give one of the two, such as 2 or 88.",
        field="value",
    )


def bevel_judgement(base_bevel_deg: float, side_bevel_deg: float) -> tuple[BevelWarning, ...]:
    """Warn of a pair of bevels that a bench would hardly ever set.

    Parameters
    ----------
    base_bevel_deg, side_bevel_deg : float
        Bevels from square [deg].

    Returns
    -------
    tuple of BevelWarning
        Empty when nothing is odd.

    Raises
    ------
    NotFiniteError, BevelOutOfRangeError
        If the base is not within 0 to 5 or the side not within 0 to 10.

    Notes
    -----
    Source: common practice, no source; the limits are far outside the usual tunes.
    """
    angle = included_angle_deg(base_bevel_deg, side_bevel_deg)
    found: list[BevelWarning] = []
    if base_bevel_deg > USUAL_BASE_BEVEL_DEG:
        text = f"A base bevel of {base_bevel_deg:g} degrees is unusual; most are 0.5 to 1.5."
        found.append(BevelWarning("unusual-base-bevel", text))
    if side_bevel_deg > USUAL_SIDE_BEVEL_DEG:
        text = f"A side bevel of {side_bevel_deg:g} degrees is unusual; most are 1 to 4."
        found.append(BevelWarning("unusual-side-bevel", text))
    if angle > SQUARE_DEG:
        text = f"The edge is blunter than square: its angle is {angle:g} degrees."
        found.append(BevelWarning("included-angle-over-90", text))
    return tuple(found)


def corner_drop_mm(facet_width_mm: float, base_bevel_deg: float) -> float:
    """How far the edge corner lies above the base plane of a ski that stands on it.

    Parameters
    ----------
    facet_width_mm : float
        Width of the facet along the base [mm].
    base_bevel_deg : float
        Base bevel [deg].

    Returns
    -------
    float
        ``w * tan(b)`` [mm].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If an input is not a number or outside its range.

    Notes
    -----
    Source: geometry of the right triangle under the facet.
    """
    width = require_not_negative(facet_width_mm, "facet_width_mm", MAX_FACET_WIDTH_MM)
    return width * math.tan(math.radians(require_base_bevel(base_bevel_deg)))


def bevel_from_gap_deg(gap_mm: float, facet_width_mm: float) -> float:
    """Turn a feeler gauge between the corner and a true bar on the base into a base bevel.

    Parameters
    ----------
    gap_mm : float
        Thickness of the gauge that just fits [mm].
    facet_width_mm : float
        Width of the facet [mm].

    Returns
    -------
    float
        ``atan(gap / w)`` [deg].

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If an input is not a number or outside its range.
    BevelOutOfRangeError
        If the two make a bevel above 5: the gap was most likely in micrometres.

    Notes
    -----
    Source: geometry; the trade's gauge tables are this formula at 2 mm.
    """
    gap = require_not_negative(gap_mm, "gap_mm")
    width = require_positive(facet_width_mm, "facet_width_mm", MAX_FACET_WIDTH_MM)
    return _slope_deg(gap / width, "gap_mm")


def bevel_from_bar_rise_deg(rise_mm: float, at_mm: float) -> float:
    """Turn the rise of a bar that lies on the facet and reaches across the base into a bevel.

    Parameters
    ----------
    rise_mm : float
        Height of the bar above the base plane [mm].
    at_mm : float
        Distance from the inner end of the facet, along the base, to where it was read [mm].

    Returns
    -------
    float
        ``atan(rise / at)`` [deg]. The trade's rule of one degree a millimetre at 60 mm is
        close to it, not equal: a rise of 1.00 mm is 0.955.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If an input is not a number, the rise is negative or the distance not above zero.
    BevelOutOfRangeError
        If the two make a bevel above 5.

    Notes
    -----
    Source: geometry; the 60 mm rule is common practice.
    """
    rise = require_not_negative(rise_mm, "rise_mm")
    return _slope_deg(rise / require_positive(at_mm, "at_mm"), "rise_mm")


def bar_rise_mm(base_bevel_deg: float, at_mm: float) -> float:
    """Height [mm] of a bar on the facet at `at_mm` [mm], the inverse of `bevel_from_bar_rise_deg`.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If the bevel is outside 0 to 5 or the distance not above zero.

    Notes
    -----
    Source: geometry.
    """
    tangent = math.tan(math.radians(require_base_bevel(base_bevel_deg)))
    return require_positive(at_mm, "at_mm") * tangent


def _require_bevel(bevel_deg: float, most_deg: float, field: str) -> float:
    require_finite(bevel_deg, field)
    if not 0.0 <= bevel_deg <= most_deg:
        raise BevelOutOfRangeError(
            f"{field} is {bevel_deg:g}. Give the bevel from square, 0 to {most_deg:g} degrees.",
            field=field,
        )
    return bevel_deg


def _plain_number(word: str) -> float:
    text = word.strip()
    if not _PLAIN_DECIMAL.fullmatch(text):
        raise NotAnAngleError(
            f"value is {word!r}. Give plain degrees, such as 2, 88 or 89.25.", field="value"
        )
    return float(text)


def _slope_deg(slope: float, field: str) -> float:
    bevel_deg = math.degrees(math.atan(slope))
    if bevel_deg > MAX_BASE_BEVEL_DEG:
        raise BevelOutOfRangeError(
            f"{field} makes a base bevel of {bevel_deg:.3g} degrees, and 5 is the most there is. "
            "Check whether it is in millimetres.",
            field=field,
        )
    return bevel_deg

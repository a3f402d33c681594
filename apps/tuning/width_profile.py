"""What a row of widths along a ski says of its waist."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from apps.tuning.errors import (
    require_not_negative,
    require_points,
    require_rising,
    require_same_length,
)
from apps.tuning.sidecut import MAX_LENGTH_MM, require_ski_width


@dataclass(frozen=True, slots=True)
class Waist:
    """The narrowest place of a ski.

    Attributes
    ----------
    position_mm : float
        Where it is, in the positions given [mm].
    width_mm : float
        How wide it is there [mm].
    method : {"parabola", "plain-minimum"}
        "parabola": smoothed through the three widths around it; "plain-minimum": a width as
        measured, since it lies at an end of the row and the true waist may lie beyond.
    """

    position_mm: float
    width_mm: float
    method: Literal["parabola", "plain-minimum"]


def waist_from_widths(positions_mm: Sequence[float], widths_mm: Sequence[float]) -> Waist:
    """Find the narrowest place from widths measured along a ski.

    Parameters
    ----------
    positions_mm : sequence of float, shape (n,)
        Positions along the ski, rising [mm].
    widths_mm : sequence of float, shape (n,)
        Width at each [mm].

    Returns
    -------
    Waist
        Place, width and how it was found.

    Raises
    ------
    WrongCountError, ProfileTooShortError, ProfileNotOrderedError, NotFiniteError, OutOfRangeError
        If the lists don't pair up, are empty, are out of order or hold what is not a ski's.

    Notes
    -----
    Source: vertex of the parabola through three points (Lagrange's form). Steps much longer
    than the waist is straight make the parabola dip too low; a step of 100 mm does not.
    """
    require_widths(positions_mm, widths_mm, least=1)
    least = min(range(len(widths_mm)), key=widths_mm.__getitem__)
    if 0 < least < len(widths_mm) - 1:
        around = slice(least - 1, least + 2)
        return Waist(*_vertex(positions_mm[around], widths_mm[around]), "parabola")
    return Waist(positions_mm[least], widths_mm[least], "plain-minimum")


def _vertex(x: Sequence[float], y: Sequence[float]) -> tuple[float, float]:
    # The first of equal least widths is the middle one, so the left side falls and the curve
    # is never zero.
    before, after = x[1] - x[0], x[2] - x[1]
    falling, rising = (y[1] - y[0]) / before, (y[2] - y[1]) / after
    curve = (rising - falling) / (before + after)
    slope = falling + curve * before
    return x[1] - slope / (2.0 * curve), y[1] - slope**2 / (4.0 * curve)


def require_widths(positions_mm: Sequence[float], widths_mm: Sequence[float], least: int) -> None:
    """Refuse a row of widths that no ski can have, or with fewer than `least` of them.

    Raises
    ------
    WrongCountError, ProfileTooShortError, ProfileNotOrderedError, NotFiniteError, OutOfRangeError
        If the lists don't pair up, are too short, out of order or hold what is not a ski's.
    """
    require_same_length(positions_mm, widths_mm, "positions_mm", "widths_mm")
    require_points(positions_mm, "positions_mm", least)
    for position, width in zip(positions_mm, widths_mm, strict=True):
        require_not_negative(position, "positions_mm", MAX_LENGTH_MM)
        require_ski_width(width, "widths_mm")
    require_rising(positions_mm, "positions_mm")

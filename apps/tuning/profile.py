"""A true-bar profile across the base, and the one sign convention for it.

The ski lies base up. A height is how far the base surface lies above any straight line from
edge to edge, so a base that is high in the middle (convex) has greater heights there and one
with high edges (concave, railed) has smaller ones. A bar rests on the highest points; a gap is
the light below it, so a gap is a height with its sign turned.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from apps.tuning.errors import (
    require_finite,
    require_not_negative,
    require_points,
    require_rising,
    require_same_length,
)

LEAST_POINTS = 3
MAX_POSITION_MM = 300.0
MAX_HEIGHT_UM = 20_000.0


@dataclass(frozen=True, slots=True)
class Profile:
    """Heights of the base across the ski.

    Attributes
    ----------
    x_mm : tuple of float, shape (n,)
        Positions from the left edge, rising [mm]; the first and last are at the edges.
    height_um : tuple of float, shape (n,)
        Height of the base at each [um], higher where it stands out more.

    Raises
    ------
    WrongCountError, ProfileTooShortError, ProfileNotOrderedError
        If the lists don't pair up, hold fewer than 3 points or are out of order.
    NotFiniteError, OutOfRangeError
        If a value is not a number, a position is outside 0 to 300 mm or a height beyond 20 mm.
    """

    x_mm: tuple[float, ...]
    height_um: tuple[float, ...]

    def __post_init__(self) -> None:
        require_same_length(self.x_mm, self.height_um, "x_mm", "height_um")
        require_points(self.x_mm, "x_mm", LEAST_POINTS)
        for position, height in zip(self.x_mm, self.height_um, strict=True):
            require_not_negative(position, "x_mm", MAX_POSITION_MM)
            require_not_negative(
                abs(require_finite(height, "height_um")), "height_um", MAX_HEIGHT_UM
            )
        require_rising(self.x_mm, "x_mm")


def profile_from_heights(x_mm: Sequence[float], height_um: Sequence[float]) -> Profile:
    """Make a profile from heights of the base [um] at positions from the left edge [mm].

    Raises
    ------
    WrongCountError, ProfileTooShortError, ProfileNotOrderedError, NotFiniteError, OutOfRangeError
        As `Profile`.
    """
    return Profile(tuple(x_mm), tuple(height_um))


def profile_from_bar_gaps(x_mm: Sequence[float], gap_um: Sequence[float]) -> Profile:
    """Make a profile from the light below a true bar.

    Parameters
    ----------
    x_mm : sequence of float, shape (n,)
        Positions from the left edge, rising [mm].
    gap_um : sequence of float, shape (n,)
        Gap between bar and base at each [um].

    Returns
    -------
    Profile
        Heights are the gaps with their sign turned.

    Raises
    ------
    OutOfRangeError
        If a gap is negative: no base reaches through the bar.
    WrongCountError, ProfileTooShortError, ProfileNotOrderedError, NotFiniteError
        As `Profile`.

    Notes
    -----
    Source: common practice (light in the middle is concave, light at the sides is convex).
    """
    gaps = [require_not_negative(gap, "gap_um", MAX_HEIGHT_UM) for gap in gap_um]
    return Profile(tuple(x_mm), tuple(0.0 - gap for gap in gaps))

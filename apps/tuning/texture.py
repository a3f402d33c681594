"""Roughness of a base structure from a trace of heights, by ISO 21920-2:2021.

The trace has to be a roughness profile already: an instrument that has removed form and
waviness. Only its mean is taken out here. A least-squares line is not, since even whole periods
of a sine have a sloping one and would come out too smooth.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from apps.tuning.errors import (
    OutOfRangeError,
    UnevenSpacingError,
    require_finite,
    require_points,
    require_positive,
    require_rising,
    require_same_length,
)

STANDARD = "ISO 21920-2:2021"
USUAL_SECTIONS = 5
# Our own floor: with fewer points a section's highest and lowest place are mostly missed.
LEAST_POINTS_PER_SECTION = 10
SPACING_TOLERANCE = 0.01
MAX_HEIGHT_UM = 5_000.0


@dataclass(frozen=True, slots=True)
class Trace:
    """Heights along a line at even spacing.

    Attributes
    ----------
    spacing_um : float
        Distance from point to point [um].
    height_um : tuple of float, shape (n,)
        Heights [um] from any straight level.

    Raises
    ------
    ProfileTooShortError, NotFiniteError, OutOfRangeError
        If there are fewer than 10 points, a value is not a number or larger than 5 mm.
    """

    spacing_um: float
    height_um: tuple[float, ...]

    def __post_init__(self) -> None:
        require_positive(self.spacing_um, "spacing_um")
        require_points(self.height_um, "height_um", LEAST_POINTS_PER_SECTION)
        for height in self.height_um:
            if abs(require_finite(height, "height_um")) > MAX_HEIGHT_UM:
                raise OutOfRangeError(
                    f"height_um holds {height:g}. Check that it is in micrometres.",
                    field="height_um",
                )


@dataclass(frozen=True, slots=True)
class Texture:
    """Height parameters of a trace.

    Attributes
    ----------
    ra_um, rq_um, rz_um : float
        Arithmetic mean height, root mean square height, maximum height [um].
    sections : int
        Sections that Rz is the mean of.
    section_length_mm : float
        Length of each [mm]; results compare only at equal section length.
    standard : str
        The standard whose definitions were used.
    """

    ra_um: float
    rq_um: float
    rz_um: float
    sections: int
    section_length_mm: float
    standard: str = STANDARD


def trace_from_positions(x_um: Sequence[float], height_um: Sequence[float]) -> Trace:
    """Make a trace from heights at stated positions.

    Parameters
    ----------
    x_um : sequence of float, shape (n,)
        Positions, rising [um].
    height_um : sequence of float, shape (n,)
        Height at each [um].

    Returns
    -------
    Trace
        The same heights with their mean spacing.

    Raises
    ------
    UnevenSpacingError
        If a step differs from the mean step by more than 1 %.
    WrongCountError, ProfileTooShortError, ProfileNotOrderedError, NotFiniteError, OutOfRangeError
        If the lists don't pair up, are too short or out of order, or hold what is no number.

    Notes
    -----
    Source: common practice; the sums of ISO 21920-2 stand for integrals at even spacing only.
    """
    require_same_length(x_um, height_um, "x_um", "height_um")
    require_points(x_um, "x_um", LEAST_POINTS_PER_SECTION)
    for position in x_um:
        require_finite(position, "x_um")
    require_rising(x_um, "x_um")
    steps = np.diff(np.array(x_um, dtype=float))
    if float(np.abs(steps - steps.mean()).max()) > SPACING_TOLERANCE * float(steps.mean()):
        raise UnevenSpacingError(
            "x_um is not evenly spaced. Give a trace with one step from point to point.",
            field="x_um",
        )
    return Trace(float(steps.mean()), tuple(height_um))


def mean_height_ra_um(trace: Trace) -> float:
    """Arithmetic mean height Ra: mean distance from the mean line [um].

    Notes
    -----
    Source: ISO 21920-2:2021, arithmetic mean height.
    """
    return float(np.abs(about_mean(trace)).mean())


def root_mean_square_height_rq_um(trace: Trace) -> float:
    """Root mean square height Rq: root of the mean squared distance from the mean line [um].

    Notes
    -----
    Source: ISO 21920-2:2021, root mean square height.
    """
    return math.sqrt(float((about_mean(trace) ** 2).mean()))


def maximum_height_rz_um(trace: Trace, sections: int = USUAL_SECTIONS) -> float:
    """Maximum height Rz: peak height plus pit depth of a section, as mean over the sections.

    Parameters
    ----------
    trace : Trace
        Roughness profile over the evaluation length.
    sections : int
        Sections it is cut into [1]; 5 by default, fewer for a short trace.

    Returns
    -------
    float
        Rz [um].

    Raises
    ------
    OutOfRangeError
        If `sections` is below one.
    ProfileTooShortError
        If a section would hold fewer than 10 points.

    Notes
    -----
    Source: ISO 21920-2:2021, maximum height: of each section the highest hill whose peak lies in
    it plus the deepest dale whose pit does. A hill cut by the border of two sections counts in
    the one where its peak is, and not again with its flank in the other.
    """
    heights = [peak + pit for peak, pit in section_peaks_um(trace, sections)]
    return float(np.mean(heights))


def section_peaks_um(
    trace: Trace, sections: int = USUAL_SECTIONS
) -> tuple[tuple[float, float], ...]:
    """Peak height Rp and pit depth Rv of each section.

    Parameters
    ----------
    trace : Trace
        Roughness profile over the evaluation length.
    sections : int
        Sections it is cut into [1].

    Returns
    -------
    tuple of (float, float), shape (sections, 2)
        Height of the highest peak and depth of the deepest pit in each [um]; 0 where a section
        holds none.

    Raises
    ------
    OutOfRangeError, ProfileTooShortError
        As `maximum_height_rz_um`.

    Notes
    -----
    Source: ISO 21920-2:2021.
    """
    if sections < 1:
        raise OutOfRangeError(f"sections is {sections}. Give one or more.", field="sections")
    count = len(trace.height_um)
    require_points(trace.height_um, "height_um", sections * LEAST_POINTS_PER_SECTION)
    found = [[0.0, 0.0] for _ in range(sections)]
    height = about_mean(trace)
    for extreme in _extremes(height):
        side = 0 if height[extreme] > 0 else 1
        section = found[extreme * sections // count]
        section[side] = max(section[side], abs(float(height[extreme])))
    return tuple((peak, pit) for peak, pit in found)


def _extremes(height: NDArray[np.float64]) -> list[int]:
    """Give the peak of each hill and the pit of each dale, as places in the trace."""
    borders = np.flatnonzero(np.diff(np.sign(height))) + 1
    starts = [0, *borders.tolist()]
    runs = np.split(np.abs(height), borders)
    return [start + int(run.argmax()) for start, run in zip(starts, runs, strict=True)]


def texture(trace: Trace, sections: int = USUAL_SECTIONS) -> Texture:
    """Ra, Rq and Rz of a trace, with the section length they hold for.

    Parameters
    ----------
    trace : Trace
        Roughness profile over the evaluation length.
    sections : int
        Sections for Rz [1].

    Returns
    -------
    Texture
        The parameters and the standard used.

    Raises
    ------
    OutOfRangeError, ProfileTooShortError
        As `maximum_height_rz_um`.

    Notes
    -----
    Source: ISO 21920-2:2021.
    """
    rz_um = maximum_height_rz_um(trace, sections)
    length_mm = trace.spacing_um * len(trace.height_um) / sections / 1000.0
    return Texture(
        mean_height_ra_um(trace), root_mean_square_height_rq_um(trace), rz_um, sections, length_mm
    )


def about_mean(trace: Trace) -> NDArray[np.float64]:
    """Heights of a trace from their mean line [um], shape (n,)."""
    heights = np.array(trace.height_um, dtype=np.float64)
    about_mean: NDArray[np.float64] = heights - heights.mean()
    return about_mean

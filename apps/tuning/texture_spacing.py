"""Mean spacing of the profile elements of a roughness trace, RSm, by ISO 21920-2:2021."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from apps.tuning.texture import USUAL_SECTIONS, Trace, about_mean, section_peaks_um

# Of the mean peak height and the mean pit depth: less counts as no hill and no dale.
LEAST_HEIGHT_SHARE = 0.1
UM_A_MM = 1000.0

Array = NDArray[np.float64]


def element_spacings_mm(trace: Trace, sections: int = USUAL_SECTIONS) -> tuple[float, ...]:
    """Lengths of the profile elements, each a hill with the dale after it or the other way.

    Parameters
    ----------
    trace : Trace
        Roughness profile over the evaluation length.
    sections : int
        Sections that the mean peak height Rp and pit depth Rv are taken over [1].

    Returns
    -------
    tuple of float, shape (n,)
        Spacings [mm] of the elements counted from the left, then of those counted from the
        right; empty where the trace holds no whole element.

    Raises
    ------
    OutOfRangeError, ProfileTooShortError
        If there are no sections, or one would hold fewer than 10 points.

    Notes
    -----
    Source: ISO 21920-2:2021, mean profile element spacing, by crossing-the-line segmentation
    from both directions; thresholds of 10 % of Rp and of Rv. Read from
    public descriptions of the standard, its own text not seen.
    """
    height = about_mean(trace)
    high, deep = LEAST_HEIGHT_SHARE * np.mean(section_peaks_um(trace, sections), axis=0)
    crossings = _crossings(height, _sides(height, high, deep)) * trace.spacing_um / UM_A_MM
    forwards = [second - first for first, second in pairwise(crossings[::2].tolist())]
    backwards = [first - second for first, second in pairwise(crossings[::-2].tolist())]
    return (*forwards, *backwards)


def mean_element_spacing_rsm_mm(trace: Trace, sections: int = USUAL_SECTIONS) -> float | None:
    """Mean spacing of profile elements RSm [mm]; None where the trace holds no whole element.

    Raises
    ------
    OutOfRangeError, ProfileTooShortError
        As `element_spacings_mm`.

    Notes
    -----
    Source: as `element_spacings_mm`.
    """
    spacings = element_spacings_mm(trace, sections)
    return float(np.mean(spacings)) if spacings else None


def _sides(height: Array, high: float, deep: float) -> NDArray[np.int8]:
    """1 on a hill, -1 in a dale, 0 in what is too low or too shallow to be either."""
    sides = np.zeros(len(height), dtype=np.int8)
    sides[height > high] = 1
    sides[height < -deep] = -1
    return sides


def _crossings(height: Array, sides: NDArray[np.int8]) -> Array:
    """Where the mean line is crossed between a hill and a dale, in steps of the trace."""
    told = np.flatnonzero(sides)
    turns = np.flatnonzero(np.diff(sides[told]))
    found = [_crossing(height, int(told[turn]), int(told[turn + 1])) for turn in turns]
    return np.array(found, dtype=np.float64)


def _crossing(height: Array, before: int, after: int) -> float:
    """Middle of the crossings between the last point of one and the first of the next.

    Ripples too small to be hills may cross the line several times there. From the left the
    first crossing would bound the element and from the right the last; this is their mean.
    """
    above = height[before : after + 1] > 0
    flips = np.flatnonzero(np.diff(above)) + before
    ends = [_zero(height, int(flips[0])), _zero(height, int(flips[-1]))]
    return float(np.mean(ends))


def _zero(height: Array, index: int) -> float:
    fall = height[index] - height[index + 1]
    return index + float(height[index] / fall)

"""Whether one radius describes a sidecut, and where not, the radii of its stretches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from apps.tuning.errors import CircleImpossibleError, SidecutImpossibleError
from apps.tuning.sidecut_fit import (
    USUAL_WIDTH_UNCERTAINTY_MM,
    SidecutFit,
    fit_sidecut,
    squares_explained,
)
from apps.tuning.uncertainty import USUAL_COVERAGE_FACTOR

MOST_ARCS = 3
LEAST_POINTS_AN_ARC = 4
# Places where one arc may end; more would not tell them apart, and their pairs grow as a square.
MOST_BORDERS = 24

Form = Literal["one-radius", "several-radii", "no-arcs"]
Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Arc:
    """One stretch of an edge.

    Attributes
    ----------
    from_mm, to_mm : float
        First and last width of it [mm].
    fit : SidecutFit or None
        Its circle; None where the stretch is straight or bulges.
    """

    from_mm: float
    to_mm: float
    fit: SidecutFit | None


@dataclass(frozen=True, slots=True)
class SidecutForm:
    """How an edge is curved along the ski.

    Attributes
    ----------
    form : {"one-radius", "several-radii", "no-arcs"}
        "no-arcs": not even three arcs lie as near to the widths as their uncertainty asks.
    whole : SidecutFit
        The one circle nearest to all widths, whatever the form.
    arcs : tuple of Arc
        From the tail to the tip: the least number of arcs that explains the widths; empty where
        none does.
    """

    form: Form
    whole: SidecutFit
    arcs: tuple[Arc, ...]


def sidecut_form(
    positions_mm: Sequence[float],
    widths_mm: Sequence[float],
    width_standard_uncertainty_mm: float = USUAL_WIDTH_UNCERTAINTY_MM / USUAL_COVERAGE_FACTOR,
) -> SidecutForm:
    """Tell how many radii a sidecut has, as far as its widths can tell.

    Parameters
    ----------
    positions_mm : sequence of float, shape (n,)
        Positions along the ski, rising [mm]; leave out the rounded tip and tail.
    widths_mm : sequence of float, shape (n,)
        Width at each [mm].
    width_standard_uncertainty_mm : float
        Standard uncertainty of one width [mm], independent from width to width.

    Returns
    -------
    SidecutForm
        One radius where the uncertainty of the widths explains what is left beside one circle;
        else two or three, each arc of at least four widths.

    Raises
    ------
    TuningError
        As `apps.tuning.sidecut_fit.fit_sidecut`.

    Notes
    -----
    Source: derived. Chi-square test of the residuals for one, two and three arcs; the borders
    are those with the least squares, each arc taken as a parabola, which differs from a circle
    by a micrometre over 0.8 m at 14 m.
    """
    whole = fit_sidecut(positions_mm, widths_mm, width_standard_uncertainty_mm)
    if whole.explained:
        arc = Arc(whole.from_mm, whole.to_mm, whole)
        return SidecutForm("one-radius", whole, (arc,))
    x, half = np.array(positions_mm, dtype=float), np.array(widths_mm, dtype=float) / 2.0
    for count in range(2, MOST_ARCS + 1):
        squares, borders = _best_borders(x, half, count)
        freedom = len(x) - 3 * count
        if borders and squares_explained(squares, width_standard_uncertainty_mm / 2, freedom):
            off = width_standard_uncertainty_mm
            arcs = [_arc(x[a:b], 2.0 * half[a:b], off) for a, b in pairwise(borders)]
            return SidecutForm("several-radii", whole, tuple(arcs))
    return SidecutForm("no-arcs", whole, ())


def _best_borders(x: Array, half: Array, count: int) -> tuple[float, tuple[int, ...]]:
    """Least sum of squares of so many arcs, and where they end; none where they don't fit in."""
    inner = np.unique(np.linspace(0, len(x), min(len(x), MOST_BORDERS) + 1).astype(int))[1:-1]
    squares = _Squares(x, half)
    best: tuple[float, tuple[int, ...]] = (np.inf, ())
    for chosen in combinations(inner.tolist(), count - 1):
        borders = (0, *chosen, len(x))
        if min(np.diff(borders)) >= LEAST_POINTS_AN_ARC:
            best = min(best, (squares.of(borders), borders))
    return best


class _Squares:
    """Squares left beside a parabola over each stretch, each reckoned once."""

    def __init__(self, x: Array, half: Array) -> None:
        self._x, self._half = x, half
        self._known: dict[tuple[int, int], float] = {}

    def of(self, borders: Sequence[int]) -> float:
        return sum(self._one(a, b) for a, b in pairwise(borders))

    def _one(self, start: int, end: int) -> float:
        if (start, end) not in self._known:
            x, half = self._x[start:end], self._half[start:end]
            local = (x - x.mean()) / (x[-1] - x[0])
            design = np.column_stack([np.ones_like(local), local, local**2])
            solved = np.linalg.lstsq(design, half, rcond=None)[0]
            self._known[start, end] = float(((half - design @ solved) ** 2).sum())
        return self._known[start, end]


def _arc(x: Array, widths: Array, off_mm: float) -> Arc:
    fit: SidecutFit | None
    try:
        fit = fit_sidecut(x.tolist(), widths.tolist(), off_mm)
    except (CircleImpossibleError, SidecutImpossibleError):
        # A straight stretch is a finding about the ski, not a mistake of the reader.
        fit = None
    return Arc(float(x[0]), float(x[-1]), fit)

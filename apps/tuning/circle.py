"""Circles fitted to points, by the distance to the circle or by its equation."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from apps.tuning.errors import CircleImpossibleError, require_finite, require_points

# Of the points' own spread: beyond this a circle can't be told from a straight line.
STRAIGHT_RADIUS = 1e6
STRAIGHT_WIDTH = 1e-9
SOLVER_TOLERANCE = 1e-14

Points = Sequence[tuple[float, float]]
Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class CircleFit:
    """A fitted circle, everything in the unit of its points.

    Attributes
    ----------
    centre_x, centre_y, radius : float
        The circle.
    residual_rms : float
        Root mean square distance of the points from it.
    method : {"geometric", "algebraic"}
        Which error was made least.
    radius_sensitivity : float
        Standard uncertainty of the radius for each unit of that of one point's distance [1],
        the points being independent; of the geometric fit.
    """

    centre_x: float
    centre_y: float
    radius: float
    residual_rms: float
    method: Literal["geometric", "algebraic"]
    radius_sensitivity: float


def fit_circle_algebraic(points: Points) -> CircleFit:
    """Circle whose equation the points miss by least, its four coefficients of unit length.

    Parameters
    ----------
    points : sequence of (float, float), shape (n, 2)
        At least three points [one unit].

    Returns
    -------
    CircleFit
        Quick, but it depends on where the origin is and favours small circles.

    Raises
    ------
    ProfileTooShortError, NotFiniteError
        If there are fewer than three points or one is not a number.
    CircleImpossibleError
        If the points lie on a straight line, or no circle is nearest.

    Notes
    -----
    Source: Gander, Golub and Strebel, BIT 34 (1994) 558-578, section 2.
    """
    data = _as_array(points)
    return _describe(data, _algebraic(data), "algebraic")


def fit_circle_geometric(points: Points) -> CircleFit:
    """Circle with the least sum of squared distances to the points.

    Parameters
    ----------
    points : sequence of (float, float), shape (n, 2)
        At least three points [one unit].

    Returns
    -------
    CircleFit
        The fit to trust; moving or turning the points moves or turns it with them.

    Raises
    ------
    ProfileTooShortError, NotFiniteError
        If there are fewer than three points or one is not a number.
    CircleImpossibleError
        If the points lie on a straight line, or a straight line fits them better.

    Notes
    -----
    Source: Gander, Golub and Strebel, BIT 34 (1994) 558-578, section 3; solved by the
    Levenberg-Marquardt method of SciPy.
    """
    data = _as_array(points)
    middle = data.mean(axis=0)
    # In the points' own size around their middle: a ski's radius is 40 times its half length,
    # and in raw millimetres the three unknowns differ too much for the solver's tolerances.
    spread = float(np.abs(data - middle).max())
    local = (data - middle) / spread
    solved = least_squares(
        _distances,
        _linear(local),
        args=(local,),
        method="lm",
        xtol=SOLVER_TOLERANCE,
        ftol=SOLVER_TOLERANCE,
        gtol=SOLVER_TOLERANCE,
    )
    if not solved.success or abs(solved.x[2]) > STRAIGHT_RADIUS:
        raise _straight()
    centre = solved.x[:2] * spread + middle
    return _describe(data, np.array([*centre, abs(solved.x[2]) * spread]), "geometric")


def _as_array(points: Points) -> Array:
    require_points(points, "points", 3)
    for x, y in points:
        require_finite(x, "points")
        require_finite(y, "points")
    data = np.array(points, dtype=np.float64)
    widths = np.linalg.svd(data - data.mean(axis=0), compute_uv=False)
    if widths[1] <= STRAIGHT_WIDTH * widths[0]:
        raise _straight()
    return data


def _algebraic(data: Array) -> Array:
    square = (data**2).sum(axis=1)
    rows = np.column_stack([square, data, np.ones(len(data))])
    # The full matrix of right singular vectors: three points give three singular values only,
    # and the wanted vector is the fourth.
    a, b, c, d = (float(term) for term in np.linalg.svd(rows, full_matrices=True)[2][-1])
    squared = b * b + c * c - 4 * a * d
    # Compared before dividing, since a straight line makes the square term exactly zero.
    if not 0 < squared < (2 * a * STRAIGHT_RADIUS * float(np.ptp(data))) ** 2:
        raise _straight()
    return np.array([-b / (2 * a), -c / (2 * a), math.sqrt(squared) / (2 * abs(a))])


def _linear(data: Array) -> Array:
    # Only a start for the solver: this fit exists for any points off a straight line.
    rows = np.column_stack([2.0 * data, np.ones(len(data))])
    x, y, rest = np.linalg.lstsq(rows, (data**2).sum(axis=1), rcond=None)[0]
    return np.array([x, y, math.sqrt(rest + x * x + y * y)])


def _distances(circle: Array, data: Array) -> Array:
    distances: Array = np.hypot(data[:, 0] - circle[0], data[:, 1] - circle[1]) - circle[2]
    return distances


def _describe(data: Array, circle: Array, method: Literal["geometric", "algebraic"]) -> CircleFit:
    residual = math.sqrt(float((_distances(circle, data) ** 2).mean()))
    x, y, radius = (float(number) for number in circle)
    return CircleFit(x, y, radius, residual, method, _radius_sensitivity(data, circle))


def _radius_sensitivity(data: Array, circle: Array) -> float:
    """Root of the radius term of the covariance for points of unit variance."""
    outwards = data - circle[:2]
    directions = outwards / np.hypot(outwards[:, 0], outwards[:, 1])[:, None]
    design = np.column_stack([directions, np.ones(len(data))])
    # By singular values: on a shallow arc the normal equations would lose half of the digits.
    return float(np.linalg.norm(np.linalg.pinv(design)[2]))


def _straight() -> CircleImpossibleError:
    return CircleImpossibleError(
        "The points fit a straight line as well as any circle. Give points along a curve.",
        field="points",
    )

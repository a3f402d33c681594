"""Parallel strokes across a shape, computed and not left to a pattern of the browser."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from apps.pages.pictures.picture import Hatch, Look, Point

SPACING = 4.0


def hatched(
    shape: Sequence[Point], look: Look, *, slant_deg: float = 45.0, spacing: float = SPACING
) -> Hatch:
    """Fill a closed shape with parallel strokes.

    Parameters
    ----------
    shape : sequence of Point
        Corners in order; the shape may be hollow on a side.
    look : str
        How the strokes are drawn.
    slant_deg : float
        Direction of the strokes [deg]; two slants tell two shapes apart.
    spacing : float
        From stroke to stroke [units of the picture].

    Returns
    -------
    Hatch
        Strokes that end on the outline of the shape.

    Notes
    -----
    The strokes lie on lines that are fixed to the picture, so that shapes side by side match.
    Source: scan lines by the even-odd rule.
    """
    angle = math.radians(slant_deg)
    along, across = (math.cos(angle), math.sin(angle)), (-math.sin(angle), math.cos(angle))
    turned = [(_dot(point, along), _dot(point, across)) for point in shape]
    levels = [level for _, level in turned]
    first, last = math.ceil(min(levels) / spacing), math.floor(max(levels) / spacing)
    return Hatch(
        tuple(
            (_back(start, level, along, across), _back(end, level, along, across))
            for level in (spacing * number for number in range(first, last + 1))
            for start, end in _spans(turned, level)
        ),
        look,
    )


def _spans(turned: Sequence[Point], level: float) -> Iterator[tuple[float, float]]:
    crossings = sorted(_crossings(turned, level))
    return zip(crossings[::2], crossings[1::2], strict=False)


def _crossings(turned: Sequence[Point], level: float) -> Iterator[float]:
    for (x1, y1), (x2, y2) in pairwise([*turned, turned[0]]):
        # Half open, so that a line through a corner meets each of its two sides once.
        if (y1 <= level) != (y2 <= level):
            yield x1 + (x2 - x1) * (level - y1) / (y2 - y1)


def _dot(point: Point, direction: Point) -> float:
    return point[0] * direction[0] + point[1] * direction[1]


def _back(at: float, level: float, along: Point, across: Point) -> Point:
    return (at * along[0] + level * across[0], at * along[1] + level * across[1])

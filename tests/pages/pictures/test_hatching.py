"""Strokes across a shape begin and end on its outline and lie inside."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.pages.pictures.hatching import hatched
from apps.pages.pictures.picture import Point

SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
HOLLOW = (
    (0.0, 0.0),
    (9.0, 0.0),
    (9.0, 9.0),
    (6.0, 9.0),
    (6.0, 3.0),
    (3.0, 3.0),
    (3.0, 9.0),
    (0.0, 9.0),
)


def off_outline(point: Point, shape: tuple[Point, ...]) -> float:
    return min(off_side(point, *side) for side in pairwise([*shape, shape[0]]))


def off_side(point: Point, start: Point, end: Point) -> float:
    along = (end[0] - start[0], end[1] - start[1])
    to = (point[0] - start[0], point[1] - start[1])
    share = (to[0] * along[0] + to[1] * along[1]) / (along[0] ** 2 + along[1] ** 2)
    near = min(1.0, max(0.0, share))
    return math.hypot(to[0] - near * along[0], to[1] - near * along[1])


def test_a_square_is_hatched_level() -> None:
    lines = hatched(SQUARE, "lost", slant_deg=0.0, spacing=4.0).lines
    assert [(start[1], end[1]) for start, end in lines] == [(0.0, 0.0), (4.0, 4.0), (8.0, 8.0)]
    assert all((start[0], end[0]) == (0.0, 10.0) for start, end in lines)


def test_a_hollow_shape_is_hatched_on_both_sides_of_its_hollow() -> None:
    lines = hatched(HOLLOW, "lost", slant_deg=0.0, spacing=4.0).lines
    spans = [(start[0], end[0]) for start, end in lines if start[1] == 8.0]
    assert spans == [(0.0, 3.0), (6.0, 9.0)]


def test_a_shape_without_room_has_no_strokes() -> None:
    flat = ((0.5, 0.5), (1.0, 0.5), (1.5, 0.5))
    assert hatched(flat, "lost", slant_deg=0.0).lines == ()


@given(
    slant_deg=st.floats(-80.0, 80.0),
    spacing=st.floats(0.5, 5.0),
    across=st.floats(1.0, 50.0),
    up=st.floats(1.0, 50.0),
)
def test_every_stroke_runs_from_outline_to_outline(
    slant_deg: float, spacing: float, across: float, up: float
) -> None:
    shape = ((0.0, 0.0), (across, 0.0), (across, up))
    for start, end in hatched(shape, "lost", slant_deg=slant_deg, spacing=spacing).lines:
        assert off_outline(start, shape) == pytest.approx(0.0, abs=1e-6)
        assert off_outline(end, shape) == pytest.approx(0.0, abs=1e-6)


def test_two_slants_cross() -> None:
    one, other = hatched(SQUARE, "lost"), hatched(SQUARE, "lost", slant_deg=-45.0)
    slopes = [
        (end[1] - start[1]) / (end[0] - start[0]) for start, end in (one.lines[1], other.lines[1])
    ]
    assert slopes == pytest.approx([1.0, -1.0])

"""Read a picture back: from what is drawn to the figures it was drawn from."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TypeVar

from apps.pages.pictures.picture import (
    Area,
    Dot,
    Hatch,
    Line,
    Look,
    Part,
    Path,
    Picture,
    Point,
    Text,
)
from apps.pages.pictures.scales import Scale

T = TypeVar("T", Area, Dot, Hatch, Line, Path, Text)

NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?")


def parts(picture: Picture, kind: type[T], look: Look | None = None) -> list[T]:
    """All parts of a kind, and of a look if one is named."""
    return [
        one for one in picture.parts if isinstance(one, kind) and (look is None or one.look == look)
    ]


def points_of(part: Part) -> Iterator[Point]:
    """Every place that a part names."""
    if isinstance(part, Line):
        yield from (part.start, part.end)
    elif isinstance(part, Path | Area):
        yield from part.points
    elif isinstance(part, Hatch):
        for start, end in part.lines:
            yield from (start, end)
    else:
        yield part.at


def figures_in(picture: Picture) -> set[str]:
    """Numbers written into the drawing, without those of the axes."""
    return {
        number
        for text in parts(picture, Text)
        if text.look != "caption"
        for number in NUMBER.findall(text.words)
    }


def figures_said(picture: Picture) -> set[str]:
    """Numbers in the rows."""
    return {number for row in picture.rows for number in NUMBER.findall(f"{row.label} {row.value}")}


def row(picture: Picture, label: str) -> str:
    """The value of the only row with a label."""
    (value,) = (one.value for one in picture.rows if one.label == label)
    return value


def words(picture: Picture, look: Look) -> list[str]:
    """Texts of one look."""
    return [one.words for one in parts(picture, Text, look)]


def figure_at(scale: Scale, place: float) -> float:
    """Which figure a scale draws at a place."""
    share = (place - scale.low_at) / (scale.high_at - scale.low_at)
    return scale.low + share * (scale.high - scale.low)

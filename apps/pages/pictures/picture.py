"""What a picture is: parts with computed coordinates, and rows of words that say the same."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import chain
from typing import Literal

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]

Look = Literal[
    "axis",
    "band",
    "bar",
    "bar-assumed",
    "base",
    "board",
    "caption",
    "expected",
    "figure",
    "fit",
    "gauge",
    "least",
    "leftover",
    "lost",
    "mark",
    "mended",
    "note",
    "now",
    "number",
    "outline",
    "planned",
    "question",
    "reading",
    "renewed",
    "rise",
    "steel",
    "stretch",
    "target",
    "unsure",
    "work",
]
"""Names of the ways to draw; `static/pages/pictures.css` has a rule for each."""

LEADING = 15.0
"""From one line of text to the next [units of the picture]."""


@dataclass(frozen=True, slots=True)
class Line:
    """A straight stroke."""

    start: Point
    end: Point
    look: Look


@dataclass(frozen=True, slots=True)
class Path:
    """A stroke through points, open at its ends."""

    points: tuple[Point, ...]
    look: Look


@dataclass(frozen=True, slots=True)
class Area:
    """A closed shape."""

    points: tuple[Point, ...]
    look: Look


@dataclass(frozen=True, slots=True)
class Hatch:
    """Parallel strokes that fill a shape, so that it is told apart without colour."""

    lines: tuple[tuple[Point, Point], ...]
    look: Look


@dataclass(frozen=True, slots=True)
class Dot:
    """A round mark."""

    at: Point
    radius: float
    look: Look


@dataclass(frozen=True, slots=True)
class Text:
    """A short text, set on its base line."""

    at: Point
    words: str
    look: Look = "figure"
    anchor: Anchor = "start"


Part = Line | Path | Area | Hatch | Dot | Text


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the text that says what the picture shows."""

    label: str
    value: str


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing and the words that say the same.

    Attributes
    ----------
    name : str
        Letters, digits and dashes; once on a page, since the parts of the drawing are named by it.
    width, height : float
        Of the drawing, in its own units; the style sheet scales it.
    title, description : str
        What it is, and what it shows, in the page's language.
    parts : tuple of Part
        In the order in which they are laid over each other.
    rows : tuple of Row
        Every figure of the drawing in words, for a list beside it.
    """

    name: str
    width: float
    height: float
    title: str
    description: str
    parts: tuple[Part, ...]
    rows: tuple[Row, ...]


def together(*groups: Iterable[Part]) -> tuple[Part, ...]:
    """Parts of several groups, one after the other."""
    return tuple(chain.from_iterable(groups))

"""From a picture to inline SVG; nothing is computed here but the text of a number."""

from __future__ import annotations

from collections.abc import Iterable
from functools import singledispatch

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from apps.pages.pictures.picture import Area, Dot, Hatch, Line, Part, Path, Picture, Point, Text

_SVG = (
    '<svg class="{shape}" role="img" aria-labelledby="{name}-title {name}-says" '
    'viewBox="0 0 {width} {height}" width="{width}" height="{height}" '
    'xmlns="http://www.w3.org/2000/svg">'
    '<title id="{name}-title">{title}</title><desc id="{name}-says">{says}</desc>{parts}</svg>'
)


def svg_of(picture: Picture) -> SafeString:
    """Write a picture as an inline SVG element.

    Parameters
    ----------
    picture : Picture
        What to draw.

    Returns
    -------
    SafeString
        Without any style attribute; all words escaped.
    """
    return format_html(
        _SVG,
        shape="picture picture-tall" if picture.height > picture.width else "picture",
        name=picture.name,
        width=number(picture.width),
        height=number(picture.height),
        title=picture.title,
        says=picture.description,
        parts=_joined(picture.parts),
    )


def number(value: float) -> str:
    """Write a coordinate, to a hundredth and never by the locale."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _joined(parts: Iterable[Part]) -> SafeString:
    return format_html_join("", "{}", ((_written(one),) for one in parts))


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


@singledispatch
def _written(part: Part) -> SafeString:
    raise TypeError(f"{type(part).__name__} is no part of a picture.")


@_written.register
def _(part: Line) -> SafeString:
    (x1, y1), (x2, y2) = part.start, part.end
    return format_html(
        '<line class="draw-{}" x1="{}" y1="{}" x2="{}" y2="{}"/>',
        part.look,
        *map(number, (x1, y1, x2, y2)),
    )


@_written.register
def _(part: Path) -> SafeString:
    return format_html('<polyline class="draw-{}" points="{}"/>', part.look, _points(part.points))


@_written.register
def _(part: Area) -> SafeString:
    return format_html('<polygon class="draw-{}" points="{}"/>', part.look, _points(part.points))


@_written.register
def _(part: Hatch) -> SafeString:
    strokes = " ".join(f"M{_points([start])} L{_points([end])}" for start, end in part.lines)
    return format_html('<path class="draw-{}" d="{}"/>', part.look, strokes)


@_written.register
def _(part: Dot) -> SafeString:
    return format_html(
        '<circle class="draw-{}" cx="{}" cy="{}" r="{}"/>',
        part.look,
        *map(number, (*part.at, part.radius)),
    )


@_written.register
def _(part: Text) -> SafeString:
    return format_html(
        '<text class="draw-{}" x="{}" y="{}" text-anchor="{}">{}</text>',
        part.look,
        *map(number, part.at),
        part.anchor,
        part.words,
    )

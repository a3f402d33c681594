"""The two views of an edge: where its corners, its hatching and its figures are drawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from apps.pages.numbers import Unit, degrees, length
from apps.pages.pictures.edge_shape import EdgeShape, Spot, lost_between, wanted
from apps.pages.pictures.hatching import hatched
from apps.pages.pictures.picture import (
    LEADING,
    Anchor,
    Area,
    Line,
    Look,
    Part,
    Path,
    Point,
    Text,
    together,
)
from apps.pages.pictures.section_input import SectionInput
from apps.tuning.figures import Length

WIDTH, HEIGHT = 360.0, 198.0
VIEW, GUTTER = 176.0, 70.0
CAPTION_AT, BASE_AT, ROOM_ABOVE = 14.0, 136.0, 108.0
BEYOND_MM, LEAST_TALL_MM = 0.3, 0.1
OFF, REACH, LIFT = 9.0, 4.0, 4.0


@dataclass(frozen=True, slots=True)
class View:
    """Where an edge is drawn: `corner_at` is the place of its outermost point on the base plane.

    ``inwards`` is 1.0 where the ski lies to the right of the edge and -1.0 where to the left.
    """

    shape: EdgeShape
    slopes: int
    units_a_mm: float
    corner_at: Point
    inwards: float
    to_mm: float

    def at(self, spot: Spot) -> Point:
        """Where a spot of the edge is drawn."""
        x, y = self.corner_at
        return (x + self.inwards * spot[0] * self.units_a_mm, y - spot[1] * self.units_a_mm)

    def all_at(self, spots: Sequence[Spot]) -> tuple[Point, ...]:
        """Where several are drawn."""
        return tuple(self.at(one) for one in spots)

    def outside(self, up: float, by: float = OFF) -> Point:
        """A place beside the edge, at some height of the picture."""
        return (self.corner_at[0] - self.inwards * by, up)

    @property
    def outer(self) -> Anchor:
        """How a text beside the edge is set, so that it ends or begins there."""
        return "end" if self.inwards > 0.0 else "start"


def true_view(section: SectionInput, shape: EdgeShape, slopes: int, unit: Unit) -> tuple[Part, ...]:
    """Draw the edge to scale with its height and width."""
    view = _view(section, shape, slopes, 0.0)
    true = replace(view, slopes=1)
    return together(
        _body(true, section),
        _questions(true, section),
        _height(true, section.height, unit),
        _span(true, shape.width_mm, section.width, unit, 0.0),
        [_caption(0.0, _true_caption(section))],
    )


def steep_view(
    section: SectionInput, shape: EdgeShape, slopes: int, unit: Unit
) -> tuple[Part, ...]:
    """Draw the edge with steeper bevels, its facet, what of it is lost, and a target."""
    view = _view(section, shape, slopes, WIDTH - VIEW)
    return together(
        _body(view, section),
        _facet_left(view, section),
        _facet_lost(view, section),
        _target(view, section),
        _questions(view, section),
        _bevels(view, section),
        _facet_span(view, section, unit),
        [_caption(WIDTH - VIEW, _steep_caption(section, slopes))],
    )


def _true_caption(section: SectionInput) -> str:
    if section.is_sized:
        return _("to scale")
    if section.height is not None:
        return _("height to scale")
    return _("size unknown") if section.width is None else _("width to scale")


def _steep_caption(section: SectionInput, slopes: int) -> str:
    if section.has_no_bevel:
        return _("bevels unknown")
    if slopes == 1:
        return _("bevels as they are")
    # Translators: at most 28 letters with the number, since it stands over a drawing.
    return _("bevels %(times)d times as steep") % {"times": slopes}


def _view(section: SectionInput, shape: EdgeShape, slopes: int, left_at: float) -> View:
    widths = [shape.width_mm, shape.facet_mm, section.facet_before_mm or 0.0]
    facet = section.facet
    to_mm = max(widths if facet is None else [*widths, facet.high_mm]) + BEYOND_MM
    # Steel that is ground to nothing has no height to scale by.
    tall = max(shape.top(slopes)[1], LEAST_TALL_MM)
    scale = min((VIEW - GUTTER) / to_mm, ROOM_ABOVE / tall)
    if section.bevels.edge == "left":
        return View(shape, slopes, scale, (left_at + GUTTER, BASE_AT), 1.0, to_mm)
    return View(shape, slopes, scale, (left_at + VIEW - GUTTER, BASE_AT), -1.0, to_mm)


def _body(view: View, section: SectionInput) -> Iterator[Part]:
    shape, slopes = view.shape, view.slopes
    yield from _base(view, section.base_thickness)
    yield Area(view.all_at(shape.steel(slopes)), "steel")
    top, corner = shape.top(slopes), shape.corner(slopes)
    inner_top = (shape.width_mm, top[1])
    beyond = shape.under(view.to_mm, slopes)
    yield _stroke(view, (top, corner), known=section.side_bevel_deg is not None)
    yield _stroke(view, (top, inner_top), known=section.height is not None)
    inner = shape.under(shape.width_mm, slopes)
    yield _stroke(view, (inner_top, inner), known=section.width is not None)
    worked = shape.underside(max(shape.width_mm, shape.facet_mm), slopes)
    yield _stroke(view, worked, known=section.base_is_known)
    yield _stroke(view, (worked[-1], beyond), known=True)


def _base(view: View, thickness: Length | None) -> Iterator[Part]:
    if thickness is None:
        return
    start, up = view.shape.width_mm, thickness.value_mm
    under = [spot for spot in view.shape.underside(view.to_mm, view.slopes) if spot[0] > start]
    spots = (view.shape.under(start, view.slopes), *under, (view.to_mm, up), (start, up))
    yield Area(view.all_at(spots), "base")


def _stroke(view: View, spots: Sequence[Spot], *, known: bool) -> Path:
    return Path(view.all_at(spots), "outline" if known else "unsure")


def _facet_left(view: View, section: SectionInput) -> Iterator[Part]:
    if section.facet is not None:
        corner, end = view.shape.corner(view.slopes), view.shape.facet_end()
        yield hatched(view.all_at(((0.0, 0.0), corner, end)), "leftover", spacing=3.0)


def _facet_lost(view: View, section: SectionInput) -> Iterator[Part]:
    before = section.facet_before_mm
    if before is not None and before > view.shape.facet_mm:
        spots = lost_between(view.shape, before, view.to_mm, view.slopes)
        yield hatched(view.all_at(spots), "lost", slant_deg=-45.0, spacing=3.0)


def _target(view: View, section: SectionInput) -> Iterator[Part]:
    if not section.has_another_target:
        return
    now = view.shape
    # A flat edge has no facet yet; the new one goes across the steel.
    now = now if now.facet_mm > 0.0 else replace(now, facet_mm=now.width_mm)
    base = _or(section.wanted_base_deg, now.base_bevel_deg)
    side = _or(section.wanted_side_deg, now.side_bevel_deg)
    yield Path(view.all_at(wanted(now, base, side, view.to_mm, view.slopes)), "target")


def _or(wanted_deg: float | None, now_deg: float) -> float:
    return now_deg if wanted_deg is None else wanted_deg


def _questions(view: View, section: SectionInput) -> Iterator[Part]:
    shape, slopes = view.shape, view.slopes
    x, _up = view.at((shape.width_mm / 2.0, 0.0))
    if section.side_bevel_deg is None:
        yield Text(view.at((0.12 * shape.width_mm, shape.top(slopes)[1] / 2.0)), "?", "question")
    if not section.base_is_known:
        yield Text((x, view.corner_at[1] - LIFT), "?", "question", "middle")
    if section.height is None:
        yield Text((x, view.at(shape.top(slopes))[1] + LEADING), "?", "question", "middle")
    if section.width is None:
        yield Text(
            view.at((0.8 * shape.width_mm, shape.height_mm / 2.0)), "?", "question", "middle"
        )


def _height(view: View, height: Length | None, unit: Unit) -> Iterator[Part]:
    top, foot = view.at(view.shape.top())[1], view.at(view.shape.corner())[1]
    if height is None:
        return
    yield from _gauge(view.outside(top), view.outside(foot), "gauge")
    middle = (top + foot) / 2.0 + LIFT
    words = length(height.value_mm, unit)
    yield Text(view.outside(middle, OFF + REACH), words, "figure", view.outer)


def _span(
    view: View, span_mm: float, shown: Length | None, unit: Unit, below: float
) -> Iterator[Part]:
    if shown is None:
        return
    up = view.corner_at[1] + below + OFF
    start, end = (view.at((across, 0.0))[0] for across in (0.0, span_mm))
    yield from _gauge((start, up), (end, up), "gauge")
    words = length(shown.value_mm, unit)
    yield Text(((start + end) / 2.0, up + LEADING), words, "figure", "middle")


def _facet_span(view: View, section: SectionInput, unit: Unit) -> Iterator[Part]:
    facet = section.facet
    if facet is None:
        return
    before = section.facet_before_mm or 0.0
    lost = view.slopes * max(0.0, view.shape.ground_off(max(before, view.shape.facet_mm)))
    below = lost * view.units_a_mm
    yield from _span(view, facet.value_mm, facet, unit, below)
    up = view.corner_at[1] + below + OFF
    low, high = (view.at((across, 0.0))[0] for across in (facet.low_mm, facet.high_mm))
    yield Line((low, up), (high, up), "bar")
    if facet.basis != "readings":
        start, end = view.at((0.0, 0.0))[0], view.at((facet.value_mm, 0.0))[0]
        yield Text(((start + end) / 2.0, up + 2 * LEADING), _("practice"), "note", "middle")


def _bevels(view: View, section: SectionInput) -> Iterator[Part]:
    base, side = section.base_bevel_deg, section.side_bevel_deg
    middle = view.at((0.0, view.shape.top(view.slopes)[1] / 2.0))[1]
    if side is not None:
        yield Text(view.outside(middle), degrees(side), "figure", view.outer)
    if base is not None:
        foot = view.corner_at[1] + LIFT
        yield Text(view.outside(foot), degrees(base), "figure", view.outer)


def _gauge(start: Point, end: Point, look: Look) -> Iterator[Part]:
    """A line from end to end with a short stroke across each."""
    level = start[1] == end[1]
    yield Line(start, end, look)
    for x, y in (start, end):
        across = ((x, y - REACH), (x, y + REACH)) if level else ((x - REACH, y), (x + REACH, y))
        yield Line(*across, look)


def _caption(left_at: float, words: str) -> Text:
    return Text((left_at + VIEW / 2.0, CAPTION_AT), words, "caption", "middle")

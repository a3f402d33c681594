"""A ski from above and from below, with what was found and mended along it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from apps.pages.numbers import plain
from apps.pages.pictures.map_labels import column_places
from apps.pages.pictures.marks import Mark
from apps.pages.pictures.picture import (
    Area,
    Dot,
    Line,
    Look,
    Part,
    Path,
    Picture,
    Point,
    Row,
    Text,
    together,
)
from apps.pages.pictures.scales import Scale
from apps.pages.pictures.ski_places import Seen, across, seen_from
from apps.pages.pictures.ski_shape import Outline, SkiShape
from apps.tuning.history import Place

WIDTH, HEIGHT = 360.0, 560.0
TIP_AT, TAIL_AT = 44.0, 520.0
ABOVE_AT, BELOW_AT = 104.0, 256.0
COLUMNS: dict[Seen, float] = {"above": 22.0, "either": 180.0, "below": 338.0}
MOST_HALF = 40.0
WIDER = (3, 2, 1)
"""How many times as wide as long a ski may be drawn; the sidecut of a true one can't be seen."""

CAPTION_AT, FOOT_AT = 18.0, 544.0
RADIUS, DIGIT, SIDE_AT = 9.0, 4.0, 34.0
LOOKS: dict[str, Look] = {"open": "mark", "mended": "mended", "work": "work"}


def ski_map(shape: SkiShape, marks: Sequence[Mark] = (), *, name: str = "map") -> Picture:
    """Draw a ski with what was found and mended along it.

    Parameters
    ----------
    shape : SkiShape
        Its widths; `ski_shape_of` takes them from its records.
    marks : sequence of Mark
        In the order in which they are numbered; `marks_of` gives them. One without a place
        along the ski gets its number and its row, and no place in the drawing.
    name : str
        Names the picture: letters, digits and dashes, once on a page.

    Returns
    -------
    Picture
        Tip up: at the left as seen from above, at the right as seen from below, where left and
        right change sides. Widths are drawn some times as wide as lengths, and the rows say how
        many. Without widths it is a plain dotted bar.
    """
    outline = Outline(shape)
    drawn = _Map(outline, _wider(outline))
    placed = [(number, mark) for number, mark in enumerate(marks, start=1) if _has_spot(mark.place)]
    return Picture(
        name,
        WIDTH,
        HEIGHT,
        _("The ski with what was found and mended along it"),
        _says(shape, len(marks) - len(placed)),
        together(
            _body(drawn, "above"),
            _body(drawn, "below"),
            _captions(),
            *(_column(drawn, seen, placed) for seen in COLUMNS),
        ),
        tuple(_rows(drawn, marks)),
    )


@dataclass(frozen=True, slots=True)
class _Map:
    outline: Outline
    wider: int

    @property
    def along(self) -> Scale:
        return Scale(0.0, self.outline.length_mm, TAIL_AT, TIP_AT)

    def at(self, seen: Seen, position_mm: float, share: float) -> Point:
        """Where a place is drawn; `share` is 1 at the right edge as seen from above."""
        y = self.along.at(position_mm)
        if seen == "either":
            return (COLUMNS["either"], y)
        half = self.outline.half_width_mm(position_mm) * self.units_a_mm
        middle, side = (ABOVE_AT, 1.0) if seen == "above" else (BELOW_AT, -1.0)
        return (middle + side * share * half, y)

    @property
    def units_a_mm(self) -> float:
        """Across the ski."""
        return self.wider * (TAIL_AT - TIP_AT) / self.outline.length_mm

    def reach_mm(self, place: Place) -> tuple[float, float]:
        """From where to where along the ski; one and the same for a spot."""
        if place.position_mm is None:
            at = self.outline.stations_mm[place.station or "waist"]
            return at, at
        end = place.position_mm + (place.length_mm or 0)
        longest = self.outline.length_mm
        return min(float(place.position_mm), longest), min(float(end), longest)


def _has_spot(place: Place) -> bool:
    return place.position_mm is not None or place.station is not None


def _wider(outline: Outline) -> int:
    widest = max(outline.half_width_mm(place) for place in outline.places_mm())
    true = (TAIL_AT - TIP_AT) / outline.length_mm
    return next(times for times in WIDER if times == 1 or widest * true * times <= MOST_HALF)


def _body(drawn: _Map, seen: Seen) -> Iterator[Part]:
    places = drawn.outline.places_mm()
    left = [drawn.at(seen, place, -1.0) for place in places]
    right = [drawn.at(seen, place, 1.0) for place in reversed(places)]
    around = (*left, *right)
    yield Area(around, "board")
    known = drawn.outline.shape.basis != "unknown"
    yield Path((*around, around[0]), "outline" if known else "unsure")
    if not known:
        yield Text(drawn.at(seen, 0.7 * drawn.outline.length_mm, 0.0), "?", "question", "middle")


def _captions() -> Iterator[Part]:
    for seen, words in (("above", _("from above")), ("below", _("from below"))):
        middle = ABOVE_AT if seen == "above" else BELOW_AT
        yield Text((middle, CAPTION_AT), words, "caption", "middle")
    for middle, sides in ((ABOVE_AT, (_("left"), _("right"))), (BELOW_AT, (_("right"), _("left")))):
        for side, words in zip((-1.0, 1.0), sides, strict=True):
            yield Text((middle + side * SIDE_AT, FOOT_AT), words, "note", "middle")


def _column(drawn: _Map, seen: Seen, placed: Sequence[tuple[int, Mark]]) -> Iterator[Part]:
    here = [(number, mark) for number, mark in placed if seen_from(mark.place) == seen]
    wished = [sum(map(drawn.along.at, drawn.reach_mm(mark.place))) / 2.0 for _, mark in here]
    labels = column_places(wished, TIP_AT, TAIL_AT, 2.0 * RADIUS + 2.0)
    for (number, mark), label in zip(here, labels, strict=True):
        yield from _mark(drawn, seen, number, mark, (COLUMNS[seen], label))


def _mark(drawn: _Map, seen: Seen, number: int, mark: Mark, label: Point) -> Iterator[Part]:
    look = LOOKS[mark.kind]
    start, end = (drawn.at(seen, place, across(mark.place)) for place in drawn.reach_mm(mark.place))
    middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
    if start != end:
        yield Line(start, end, "stretch")
    if seen != "either":
        yield Line(middle, label, "gauge")
        yield Dot(middle, RADIUS / 3.0, look)
    yield Dot(label, RADIUS, look)
    yield Text((label[0], label[1] + DIGIT), str(number), "number", "middle")


def _says(shape: SkiShape, unplaced: int) -> str:
    said = [_("Tip up, from above and from below; from below, left and right change sides.")]
    if shape.basis == "unknown":
        said.append(_("The widths are not on record, so the outline is a plain bar."))
    elif not shape.is_placed:
        said.append(_("Where along the ski the widths are is not on record; practice stands in."))
    if unplaced:
        said.append(_("What has no place on record is in the list only."))
    return " ".join(said)


def _rows(drawn: _Map, marks: Sequence[Mark]) -> Iterator[Row]:
    kinds = {"open": _("%(number)d, open"), "mended": _("%(number)d, repaired")}
    for number, mark in enumerate(marks, start=1):
        label = kinds.get(mark.kind, _("%(number)d, work")) % {"number": number}
        parts = {"what": mark.words, "where": mark.where}
        yield Row(label, _("%(what)s: %(where)s") % parts)
    yield from _outline_rows(drawn)


def _outline_rows(drawn: _Map) -> Iterator[Row]:
    shape = drawn.outline.shape
    if shape.basis == "unknown":
        yield Row(_("Outline"), _("unknown, drawn as a plain bar"))
        return
    if shape.row is None:
        known = {"shovel": shape.shovel_mm, "waist": shape.waist_mm, "tail": shape.tail_mm}
        widths = {name: plain(width, 1) for name, width in known.items() if width is not None}
        yield Row(_("Widths"), _("%(shovel)s, %(waist)s, %(tail)s mm") % widths)
    wider = _("widths drawn %(times)d times as large as lengths") % {"times": drawn.wider}
    yield Row(_("Outline"), _("to scale") if drawn.wider == 1 else wider)

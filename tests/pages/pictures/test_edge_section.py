"""The drawing of an edge, read back: sizes and bevels, and nothing drawn that nobody knows."""

from __future__ import annotations

import math

import pytest
from django.utils import translation

from apps.pages.pictures import Picture, SectionInput, edge_section, edge_sections, section_of
from apps.pages.pictures.edge_section import shape_of
from apps.pages.pictures.edge_views import WIDTH
from apps.pages.pictures.picture import Area, Hatch, Line, Path, Point, Text
from apps.tuning.edge_steel import facet_after_grind_mm
from apps.tuning.history import Edge, MaterialQuantity, Step, Target
from tests.pages.pictures.reading_back import (
    figures_in,
    figures_said,
    parts,
    points_of,
    row,
    words,
)
from tests.pages.pictures.skis import (
    PRACTICE,
    TARGET,
    condition,
    grind,
    known_edges,
    section,
    worn_edge,
)
from tests.tuning.visits import base, height, side, visit


def steels(picture: Picture) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    true, steep = (one.points for one in parts(picture, Area, "steel"))
    return true, steep


def units_a_mm(picture: Picture, width_mm: float) -> float:
    (_top, corner, *_rest, inner, _inner_top), _ = steels(picture)
    return abs(inner[0] - corner[0]) / width_mm


def bevels_deg(steel: tuple[Point, ...], slopes: float) -> tuple[float, float]:
    top, corner, end, *_rest = steel
    base_slope = (end[1] - corner[1]) / abs(end[0] - corner[0])
    side_slope = abs(top[0] - corner[0]) / (corner[1] - top[1])
    return tuple(math.degrees(math.atan(one / slopes)) for one in (base_slope, side_slope))  # type: ignore[return-value]


@pytest.mark.parametrize("edge", ["left", "right"])
def test_the_first_view_is_to_scale(edge: Edge) -> None:
    drawn = edge_section(section(known_edges(), edge))
    true, _steep = steels(drawn)
    units = units_a_mm(drawn, 2.1)
    top, corner, end, *_rest = true
    assert (corner[1] - top[1]) / units == pytest.approx(1.85)
    assert abs(end[0] - corner[0]) / units == pytest.approx(2.0)
    assert bevels_deg(true, 1.0) == pytest.approx((1.0, 2.0))
    # Published corner drop for 1 degree on 2 mm, 0.034910 (see test_edge_shape).
    assert (end[1] - corner[1]) / units == pytest.approx(0.034910, abs=1e-6)


@pytest.mark.parametrize("edge", ["left", "right"])
def test_the_second_view_has_the_same_lengths_and_steeper_bevels(edge: Edge) -> None:
    drawn = edge_section(section(known_edges(), edge))
    _true, steep = steels(drawn)
    units = units_a_mm(drawn, 2.1)
    top, corner, end, *_rest = steep
    assert bevels_deg(steep, 10.0) == pytest.approx((1.0, 2.0))
    assert (corner[1] - top[1]) / units == pytest.approx(1.85)
    assert abs(end[0] - corner[0]) / units == pytest.approx(2.0)
    assert row(drawn, "Bevels in the second view") == "10 times as steep"
    assert "bevels 10 times as steep" in words(drawn, "caption")


def test_the_left_edge_has_its_side_at_the_left_and_the_right_one_mirrors_it() -> None:
    left, right = edge_sections(section(known_edges()), section(known_edges(), "right"))
    for of_left, of_right in zip(steels(left), steels(right), strict=True):
        outer, inner = of_left[1][0], of_left[-1][0]
        assert outer < inner
        ups = [[point[1] for point in of] for of in (of_left, of_right)]
        assert ups[0] == pytest.approx(ups[1])
        turned = [-(point[0] - of_right[1][0]) for point in of_right]
        assert turned == pytest.approx([point[0] - outer for point in of_left])
    assert (left.name, right.name) == ("edge-left", "edge-right")
    assert left.title != right.title


def test_two_edges_share_their_steepness() -> None:
    steep = [visit(0, bevels=(base(1.0, edge="right", facet=2.0), side(8.0, edge="right")))]
    alone = edge_section(section(known_edges()))
    left, right = edge_sections(section(known_edges()), section(steep, "right"))
    said = [row(one, "Bevels in the second view") for one in (alone, left, right)]
    assert said[0] != said[1] == said[2]


def test_a_grind_leaves_less_facet_and_what_it_took_is_hatched_the_other_way() -> None:
    drawn = edge_section(worn_edge())
    left_mm = facet_after_grind_mm(2.0, 1.0, 0.01)
    units = units_a_mm(drawn, 2.1)
    _true, (_top, corner, end, *_rest) = steels(drawn)
    assert abs(end[0] - corner[0]) / units == pytest.approx(left_mm)
    (kept,), (lost,) = (parts(drawn, Hatch, "leftover"), parts(drawn, Hatch, "lost"))
    depth = max(one[1] for stroke in lost.lines for one in stroke) - end[1]
    assert depth / units == pytest.approx(10 * 0.01, abs=0.02)
    slopes = [
        (stroke[1][1] - stroke[0][1]) * (stroke[1][0] - stroke[0][0])
        for hatch in (kept, lost)
        for stroke in hatch.lines[:1]
    ]
    assert slopes[0] * slopes[1] < 0
    assert row(drawn, "Facet lost to a grind") == "0.57\u202fmm"
    assert row(drawn, "Ground off under it, hatched the other way") == "0.010\u202fmm"


def test_the_whisker_of_the_facet_reaches_to_its_limits() -> None:
    known = worn_edge()
    drawn = edge_section(known)
    facet = known.facet
    assert facet is not None
    (bar,) = parts(drawn, Line, "bar")
    units = units_a_mm(drawn, 2.1)
    _true, (_top, corner, *_rest) = steels(drawn)
    reach = [abs(end[0] - corner[0]) / units for end in (bar.start, bar.end)]
    assert reach == pytest.approx([facet.low_mm, facet.high_mm])


def test_without_the_history_nothing_is_drawn_as_lost() -> None:
    visits = known_edges(0.01)
    known = section_of(condition(visits), "left", practice=PRACTICE)
    assert known.facet_before_mm is None
    assert parts(edge_section(known), Hatch, "lost") == []


def test_a_facet_by_practice_says_so() -> None:
    drawn = edge_section(section(known_edges(0.01, facet_mm=None)))
    assert words(drawn, "note") == ["practice"]
    assert row(drawn, "Facet left, hatched").endswith("practice)")
    assert row(drawn, "Facet lost to a grind") == "0.57\u202fmm"
    assert words(edge_section(worn_edge()), "note") == []


# A bevel measured after a grind on a facet that nobody measured since: what it lost can't be told.
def test_a_facet_that_was_wider_before_than_anyone_stated_has_lost_nothing_to_show() -> None:
    visits = [
        *known_edges(0.01),
        visit(20, bevels=(base(1.0, basis="measured"),)),
        visit(30, steps=(grind(0.001),)),
    ]
    known = section(visits)
    assert known.facet is not None
    drawn = edge_section(known)
    assert (known.facet_before_mm is None) == (parts(drawn, Hatch, "lost") == [])


def test_nothing_known_is_a_dotted_outline_with_questions_and_no_figure() -> None:
    drawn = edge_section(section([]))
    known = parts(drawn, Path, "outline")
    assert len(known) == 2, "only the base plane beside the steel"
    assert all(start[1] == end[1] for start, end in (one.points for one in known))
    assert len(words(drawn, "question")) == 8
    assert words(drawn, "figure") == []
    assert not parts(drawn, Hatch)
    assert not parts(drawn, Line)
    assert words(drawn, "caption") == ["size unknown", "bevels unknown"]
    assert "scale" not in drawn.description
    assert "times" not in drawn.description
    assert "question mark" in drawn.description
    assert row(drawn, "Base bevel") == "never stated"
    assert row(drawn, "Height of the steel").startswith("unknown")


def test_each_thing_unknown_has_its_own_dotted_line() -> None:
    whole = edge_section(section(known_edges()))
    assert parts(whole, Path, "unsure") == []
    assert words(whole, "question") == []
    assert "question" not in whole.description
    without_side = known_edges()[0].bevels[:2]
    drawn = edge_section(
        section([visit(0, bevels=without_side, readings=known_edges()[0].readings)])
    )
    assert words(drawn, "question") == ["?", "?"]
    assert len(parts(drawn, Path, "unsure")) == 2
    assert row(drawn, "Side bevel") == "never stated"


def test_a_base_bevel_in_doubt_is_not_drawn_and_its_last_word_is_told() -> None:
    visits = [*known_edges(), visit(10, steps=(grind(),))]
    drawn = edge_section(section(visits))
    _true, steep = steels(drawn)
    assert steep[1][1] == pytest.approx(steep[2][1]), "flat, dotted"
    assert row(drawn, "Base bevel") == "uncertain; last stated as 1.0°"
    assert "1.0°" not in words(drawn, "figure")
    assert "?" in words(drawn, "question")


def test_a_base_bevel_ground_away_is_flat_and_known() -> None:
    drawn = edge_section(section(known_edges(0.2)))
    assert row(drawn, "Base bevel") == "0.0°, ground away"
    assert words(drawn, "question") == []
    assert parts(drawn, Hatch) == []


def test_an_edge_set_flat_has_no_facet_and_no_question() -> None:
    visits = [visit(0, bevels=(base(0.0), side(2.0)), readings=known_edges()[0].readings)]
    drawn = edge_section(section(visits))
    assert words(drawn, "question") == []
    assert [one.label for one in drawn.rows if "acet" in one.label] == []


@pytest.mark.parametrize(
    "target",
    [None, Target(flatness_tolerance_mm=0.1), Target(0.5, 3.0), Target(1.5), Target(None, 1.0)],
)
def test_a_target_is_dashed_and_told(target: Target | None) -> None:
    drawn = edge_section(worn_edge(target))
    asked = target is not None and (target.base_bevel_deg or target.side_bevel_deg)
    assert len(parts(drawn, Path, "target")) == (1 if asked else 0)
    told = [one.label for one in drawn.rows if "wanted" in one.label]
    wanted = [] if target is None else [target.base_bevel_deg, target.side_bevel_deg]
    assert len(told) == sum(one is not None for one in wanted)


def test_a_target_that_is_there_already_is_told_and_not_drawn() -> None:
    drawn = edge_section(section(known_edges(), target=Target(1.0, 2.0)))
    assert parts(drawn, Path, "target") == []
    assert row(drawn, "Base bevel wanted") == "1.0°, as it is"
    assert row(drawn, "Side bevel wanted") == "2.0°, as it is"
    half = edge_section(section(known_edges(), target=Target(1.0, 3.0)))
    assert len(parts(half, Path, "target")) == 1
    assert row(half, "Base bevel wanted, dashed") == "1.0°, as it is"
    assert row(half, "Side bevel wanted, dashed") == "3.0°"


@pytest.mark.parametrize(
    ("quantities", "caption"),
    [
        (("edge_height", "edge_width"), "to scale"),
        (("edge_height",), "height to scale"),
        (("edge_width",), "width to scale"),
        ((), "size unknown"),
    ],
)
def test_only_what_is_known_is_said_to_be_to_scale(
    quantities: tuple[MaterialQuantity, ...], caption: str
) -> None:
    readings = tuple(height(1.9, quantity=one) for one in quantities)
    drawn = edge_section(section([visit(0, readings=readings)]))
    assert words(drawn, "caption")[0] == caption


def test_a_new_bevel_on_a_flat_edge_goes_across_its_steel() -> None:
    visits = [visit(0, bevels=(base(0.0), side(2.0)), readings=known_edges()[0].readings)]
    drawn = edge_section(section(visits, target=Target(base_bevel_deg=1.0)))
    (dashed,) = parts(drawn, Path, "target")
    _top, corner, end, _far = dashed.points
    _true, (_old_top, old_corner, *_rest) = steels(drawn)
    assert (end[0] - old_corner[0]) / units_a_mm(drawn, 2.1) == pytest.approx(2.1)
    assert end[1] > corner[1]


def test_no_target_lies_outside_its_edge() -> None:
    drawn = edge_section(worn_edge(TARGET, "right"))
    (dashed,) = parts(drawn, Path, "target")
    _true, steep = steels(drawn)
    outer = steep[1][0]
    assert all(x <= outer + 1e-6 for x, _ in dashed.points)


@pytest.mark.parametrize(
    "known",
    [
        section(known_edges()),
        section(known_edges(), "right", TARGET),
        worn_edge(TARGET),
        section(known_edges(0.01, facet_mm=None)),
        section([]),
        section([visit(0, bevels=(base(2.0, facet=6.0), side(10.0)), readings=(height(1.2),))]),
    ],
)
@pytest.mark.parametrize("language", ["en-gb", "de"])
def test_every_figure_is_in_the_rows(known: SectionInput, language: str) -> None:
    with translation.override(language):
        for unit in ("mm", "um"):
            drawn = edge_section(known, unit=unit)
            assert figures_in(drawn) <= figures_said(drawn)


def test_figures_follow_unit_and_language() -> None:
    assert "1850\u202fµm" in words(edge_section(section(known_edges()), unit="um"), "figure")
    with translation.override("de"):
        figures = words(edge_section(section(known_edges())), "figure")
    assert "1,85\u202fmm" in figures
    assert "1,0°" in figures


def test_figures_stay_on_the_outer_side_and_inside_the_picture() -> None:
    sides: tuple[tuple[Edge, str], ...] = (("left", "start"), ("right", "end"))
    for edge, other in sides:
        drawn = edge_section(section(known_edges(), edge))
        beside = [one for one in parts(drawn, Text, "figure") if one.anchor != "middle"]
        assert len(beside) == 3
        assert {one.anchor for one in beside} == {"end" if edge == "left" else "start"}
        assert other not in {one.anchor for one in beside}
        assert all(40.0 <= one.at[0] <= WIDTH - 40.0 for one in beside)


def test_a_new_edge_is_unknown_again() -> None:
    visits = [*known_edges(), visit(10, steps=(Step("replace_edge", edges=("left",)),))]
    known = section(visits)
    assert (known.base_bevel_deg, known.side_bevel_deg, known.height) == (None, None, None)
    assert shape_of(known).drop_mm == 0.0


def test_bevels_too_steep_to_be_drawn_steeper_are_drawn_as_they_are() -> None:
    drawn = edge_section(section(known_edges()), slopes=1)
    assert row(drawn, "Bevels in the second view") == "as steep as they are"
    assert "bevels as they are" in words(drawn, "caption")
    assert "times" not in drawn.description


# Later work may take, by practice, more than was ever measured: then nothing is left.
@pytest.mark.parametrize("quantity", ["edge_height", "edge_width"])
def test_steel_that_is_ground_to_nothing_can_still_be_drawn(quantity: MaterialQuantity) -> None:
    visits = [
        visit(0, bevels=(base(0.0), side(0.0)), readings=(height(0.01, quantity=quantity),)),
        visit(1, steps=(grind(), Step("side_bevel"))),
    ]
    known = section(visits)
    left = known.height if quantity == "edge_height" else known.width
    assert left is not None
    assert left.value_mm == 0.0
    drawn = edge_section(known)
    assert "0.00\u202fmm" in words(drawn, "figure")
    assert all(math.isfinite(x + y) for part in drawn.parts for x, y in points_of(part))

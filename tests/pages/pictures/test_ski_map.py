"""The map of a ski: left is right from below, and numbers tie each mark to its list."""

from __future__ import annotations

from itertools import pairwise

import pytest
from django.utils import translation
from hypothesis import given
from hypothesis import strategies as st

from apps.pages.pictures import Mark, Picture, SkiShape, marks_of, ski_map
from apps.pages.pictures.map_labels import column_places
from apps.pages.pictures.picture import Area, Dot, Line, Path, Point, Text
from apps.pages.pictures.ski_map import ABOVE_AT, BELOW_AT, HEIGHT, TAIL_AT, TIP_AT, WIDTH
from apps.pages.pictures.ski_places import across, seen_from
from apps.tuning.history import Edge, Place, Step
from tests.pages.pictures.reading_back import figures_in, figures_said, parts, row, words
from tests.pages.pictures.skis import DESCRIBED, MEASURED, condition, damaged, finding
from tests.tuning.visits import visit


def marks() -> tuple[Mark, ...]:
    return marks_of(condition(damaged()).open_findings, damaged())


def one(place: Place) -> Mark:
    return Mark("open", place, "gouge", "r000")


def spot(picture: Picture) -> Point:
    """The only mark on the ski itself."""
    (small,) = [dot for dot in parts(picture, Dot) if dot.radius < 4.0]
    return small.at


def test_the_outline_has_the_widths_at_the_scale_that_is_told() -> None:
    drawn = ski_map(DESCRIBED)
    above, below = parts(drawn, Area, "board")
    assert row(drawn, "Outline") == "widths drawn 2 times as large as lengths"
    units = 2 * (TAIL_AT - TIP_AT) / 1700.0
    for body, middle in ((above, ABOVE_AT), (below, BELOW_AT)):
        widest = max(x for x, _ in body.points) - middle
        assert widest / units == pytest.approx(61.0)
        assert min(y for _, y in body.points) == pytest.approx(TIP_AT)
        assert max(y for _, y in body.points) == pytest.approx(TAIL_AT)
    assert row(drawn, "Widths") == "122.0, 68.0, 104.0 mm"
    with translation.override("de"):
        assert row(ski_map(DESCRIBED), "Breiten") == "122,0 / 68,0 / 104,0 mm"


@pytest.mark.parametrize(("edge", "side"), [("left", -1.0), ("right", 1.0)])
def test_from_above_left_is_left_and_from_below_it_is_right(edge: Edge, side: float) -> None:
    surface = f"{edge}_side"
    from_above = spot(ski_map(DESCRIBED, [one(Place(surface=surface, station="waist"))]))
    from_below = spot(ski_map(DESCRIBED, [one(Place(edge=edge, station="waist"))]))
    half = 34.0 * 2 * (TAIL_AT - TIP_AT) / 1700.0
    assert from_above[0] - ABOVE_AT == pytest.approx(side * half)
    assert from_below[0] - BELOW_AT == pytest.approx(-side * half)
    assert from_above[1] == from_below[1]


def test_the_captions_name_the_sides_the_same_way() -> None:
    named = [(text.words, text.at[0]) for text in parts(ski_map(DESCRIBED), Text, "note")]
    assert [name for name, _ in sorted(named, key=lambda pair: pair[1])] == [
        "left",
        "right",
        "right",
        "left",
    ]


@pytest.mark.parametrize(
    ("place", "seen", "share"),
    [
        (Place(surface="base", position_mm=10), "below", 0.0),
        (Place(surface="top", position_mm=10), "above", 0.0),
        (Place(surface="top", edge="left", position_mm=10), "above", -0.5),
        (Place(surface="base", edge="right", position_mm=10), "below", 0.5),
        (Place(edge="right", position_mm=10), "below", 1.0),
        (Place(surface="left_side", position_mm=10), "above", -1.0),
        (Place(surface="right_side", edge="right", position_mm=10), "above", 1.0),
        (Place(position_mm=10), "either", 0.0),
    ],
)
def test_each_place_is_seen_from_its_own_face(place: Place, seen: str, share: float) -> None:
    assert (seen_from(place), across(place)) == (seen, share)


def test_a_position_counts_from_the_tail() -> None:
    low, high = (
        spot(ski_map(DESCRIBED, [one(Place(edge="left", position_mm=at))])) for at in (0, 1700)
    )
    assert (low[1], high[1]) == pytest.approx((TAIL_AT, TIP_AT))
    past = spot(ski_map(DESCRIBED, [one(Place(edge="left", position_mm=2600))]))
    assert past[1] == pytest.approx(TIP_AT)


def test_a_stretch_is_drawn_as_long_as_it_is() -> None:
    drawn = ski_map(DESCRIBED, [one(Place(surface="base", position_mm=420, length_mm=160))])
    (stretch,) = parts(drawn, Line, "stretch")
    units = (TAIL_AT - TIP_AT) / 1700.0
    assert (TAIL_AT - stretch.start[1]) / units == pytest.approx(420.0)
    assert (TAIL_AT - stretch.end[1]) / units == pytest.approx(580.0)
    assert spot(drawn)[1] == pytest.approx((stretch.start[1] + stretch.end[1]) / 2.0)


def test_a_face_that_nobody_named_is_shown_between_the_two() -> None:
    drawn = ski_map(DESCRIBED, [one(Place(station="tip"))])
    (dot,) = parts(drawn, Dot)
    assert ABOVE_AT < dot.at[0] < BELOW_AT
    assert parts(drawn, Line, "gauge") == []


def test_what_has_no_place_along_the_ski_is_in_the_list_only() -> None:
    drawn = ski_map(DESCRIBED, [one(Place(surface="base")), one(Place())])
    assert parts(drawn, Dot) == []
    assert row(drawn, "1, open") == "gouge: base"
    assert row(drawn, "2, open") == "gouge: no place on record"
    assert "in the list only" in drawn.description
    assert "in the list only" not in ski_map(DESCRIBED).description


def test_numbers_tie_marks_to_their_rows() -> None:
    drawn = ski_map(DESCRIBED, marks())
    assert sorted(words(drawn, "number")) == ["1", "2", "3", "4", "5", "7", "8"]
    labels = [one.label for one in drawn.rows][:8]
    assert labels == [f"{n}, open" for n in range(1, 7)] + ["7, repaired", "8, work"]
    assert figures_in(drawn) <= figures_said(drawn)
    looks = {text.words: dot.look for text, dot in _numbered(drawn)}
    assert (looks["1"], looks["7"], looks["8"]) == ("mark", "mended", "work")


def _numbered(drawn: Picture) -> list[tuple[Text, Dot]]:
    texts = parts(drawn, Text, "number")
    return [
        (text, dot)
        for text in texts
        for dot in parts(drawn, Dot)
        if dot.radius > 4.0 and dot.at[0] == text.at[0] and abs(dot.at[1] - text.at[1]) < 5.0
    ]


def test_every_mark_says_what_where_and_since_when() -> None:
    told = [one.value for one in ski_map(DESCRIBED, marks()).rows][:8]
    assert told[0] == ("gouge, moderate, open since 1 Jan 2024: base, 420 to 580 mm from the tail")
    assert told[1].endswith(": left edge, waist")
    assert told[3].endswith(": right side face, forebody")
    assert told[6] == ("core shot, repaired on 1 Jan 2024: base, left edge, 900 mm from the tail")
    assert told[7] == "patch the base, on 31 Jan 2024: base, tail"


def test_a_repair_is_told_once_by_the_damage_it_mended() -> None:
    place = Place(surface="base", position_mm=300)
    mended = visit(
        5,
        findings=(finding("r005", 0, "gouge", place, still_open=False),),
        steps=(
            Step("fill_gouge", place=place),
            Step("patch_base", place=Place(surface="base", position_mm=900)),
            Step("patch_base"),
            Step("stone_grind", place=place),
        ),
    )
    assert [(one.kind, one.place.position_mm) for one in marks_of((), [mended])] == [
        ("mended", 300),
        ("work", 900),
    ]


@pytest.mark.parametrize(
    ("shape", "says"),
    [
        (SkiShape(), "plain bar"),
        (DESCRIBED, "practice stands in"),
        (MEASURED, None),
    ],
)
def test_the_picture_says_what_its_outline_rests_on(shape: SkiShape, says: str | None) -> None:
    drawn = ski_map(shape)
    if says is None:
        assert "outline" not in drawn.description
        assert "practice" not in drawn.description
    else:
        assert says in drawn.description


def test_unknown_widths_are_a_dotted_bar_with_a_question() -> None:
    drawn = ski_map(SkiShape(1700.0))
    assert parts(drawn, Path, "outline") == []
    assert len(parts(drawn, Path, "unsure")) == 2
    assert words(drawn, "question") == ["?", "?"]
    assert row(drawn, "Outline") == "unknown, drawn as a plain bar"
    for body in parts(drawn, Area, "board"):
        assert len({round(x, 6) for x, _ in body.points}) == 2


def test_a_very_wide_ski_is_drawn_to_scale() -> None:
    wide = ski_map(SkiShape(600.0, 240.0, 200.0, 235.0, 480.0))
    assert row(wide, "Outline") == "to scale"


def test_all_of_it_lies_inside_the_picture() -> None:
    many = [one(Place(edge="left", position_mm=800)) for _ in range(60)]
    drawn = ski_map(MEASURED, [*marks(), *many])
    for dot in parts(drawn, Dot):
        assert dot.radius <= dot.at[0] <= WIDTH - dot.radius
        assert dot.radius <= dot.at[1] <= HEIGHT - dot.radius


@pytest.mark.parametrize(
    ("place", "said"),
    [
        (Place(), "no place on record"),
        (Place(edge="left"), "left edge"),
        (Place("right", "base", "tail", 120, None), "base, right edge, tail, 120 mm from the tail"),
    ],
)
def test_a_place_in_words(place: Place, said: str) -> None:
    assert one(place).where == said


@given(wished=st.lists(st.floats(0.0, 100.0), max_size=12))
def test_numbers_of_a_column_keep_their_distance_and_their_order(wished: list[float]) -> None:
    found = column_places(wished, 0.0, 100.0, 10.0)
    step = min(10.0, 100.0 / max(1, len(wished) - 1))
    ordered = sorted(found)
    assert all(later - earlier >= step - 1e-6 for earlier, later in pairwise(ordered))
    assert all(-1e-6 <= place <= 100.0 + 1e-6 for place in found)
    order = sorted(range(len(wished)), key=wished.__getitem__)
    assert [found[number] for number in order] == ordered


def test_a_number_with_room_stays_where_it_belongs() -> None:
    assert column_places([80.0, 20.0, 50.0], 0.0, 100.0, 10.0) == (80.0, 20.0, 50.0)
    assert column_places([50.0, 50.0], 0.0, 100.0, 10.0) == (50.0, 60.0)
    assert column_places([100.0, 100.0], 0.0, 100.0, 10.0) == (90.0, 100.0)

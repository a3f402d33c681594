"""A picture as SVG: well formed, escaped, without styles, never written by the locale."""

from __future__ import annotations

import re
from pathlib import Path as File
from typing import cast, get_args
from xml.etree import ElementTree

import pytest
from django.template import Context, Template
from django.utils import translation

from apps.pages.pictures.picture import (
    Area,
    Dot,
    Hatch,
    Line,
    Look,
    Part,
    Path,
    Picture,
    Row,
    Text,
    together,
)
from apps.pages.pictures.rendering import number, svg_of

STATIC = File(__file__).parents[3] / "apps" / "pages" / "static" / "pages"
NAMESPACE = "{http://www.w3.org/2000/svg}"
ALL_KINDS = (
    Area(((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), "steel"),
    Path(((0.0, 0.0), (1.5, 2.25)), "outline"),
    Line((0.0, 1.0), (2.0, 3.0), "axis"),
    Hatch((((0.0, 0.0), (1.0, 1.0)), ((2.0, 2.0), (3.0, 3.0))), "lost"),
    Dot((4.0, 5.0), 2.5, "reading"),
    Text((6.0, 7.0), 'a <b> & "c"', "note", "end"),
)


def pictured(*parts: Part, title: str = "A thing") -> Picture:
    return Picture("thing-1", 360.0, 120.5, title, "What it shows.", parts, (Row("Size", "2 mm"),))


def parsed(picture: Picture) -> ElementTree.Element:
    return ElementTree.fromstring(svg_of(picture))  # noqa: S314 - our own text


def test_a_picture_names_itself_by_title_and_description() -> None:
    svg = parsed(pictured())
    title, says = svg[0], svg[1]
    assert svg.attrib["role"] == "img"
    assert svg.attrib["aria-labelledby"].split() == [title.attrib["id"], says.attrib["id"]]
    assert (title.tag, title.text) == (f"{NAMESPACE}title", "A thing")
    assert (says.tag, says.text) == (f"{NAMESPACE}desc", "What it shows.")
    assert svg.attrib["viewBox"] == "0 0 360 120.5"


def test_every_kind_of_part_is_drawn_in_its_order() -> None:
    drawn = list(parsed(pictured(*ALL_KINDS)))[2:]
    names = [one.tag.removeprefix(NAMESPACE) for one in drawn]
    assert names == ["polygon", "polyline", "line", "path", "circle", "text"]
    assert [one.attrib["class"] for one in drawn] == [f"draw-{one.look}" for one in ALL_KINDS]
    assert drawn[0].attrib["points"] == "0,0 1,0 0,1"
    assert drawn[1].attrib["points"] == "0,0 1.5,2.25"
    assert (drawn[2].attrib["x2"], drawn[2].attrib["y2"]) == ("2", "3")
    assert drawn[3].attrib["d"] == "M0,0 L1,1 M2,2 L3,3"
    assert (drawn[4].attrib["cx"], drawn[4].attrib["r"]) == ("4", "2.5")
    assert (drawn[5].text, drawn[5].attrib["text-anchor"]) == ('a <b> & "c"', "end")


def test_a_tall_picture_has_a_name_for_the_style_sheet() -> None:
    tall = Picture("tall", 100.0, 200.0, "A", "B", (), ())
    assert parsed(tall).attrib["class"] == "picture picture-tall"
    assert parsed(pictured()).attrib["class"] == "picture"


def test_words_are_escaped() -> None:
    svg = svg_of(pictured(Text((0.0, 0.0), "<script>"), title="a & b"))
    assert "<script>" not in svg
    assert "&lt;script&gt;" in svg
    assert "a &amp; b" in svg


def test_nothing_carries_a_style_of_its_own() -> None:
    assert not re.search(r"style|fill=|stroke=", svg_of(pictured(*ALL_KINDS)))


# A decimal comma in a coordinate would be read as two coordinates.
def test_coordinates_are_never_written_by_the_locale() -> None:
    plain = svg_of(pictured(*ALL_KINDS))
    with translation.override("de"):
        assert svg_of(pictured(*ALL_KINDS)) == plain


@pytest.mark.parametrize(
    ("value", "written"),
    [(1.0, "1"), (-0.001, "0"), (12.345, "12.35"), (0.5, "0.5"), (100.0, "100"), (-3.1, "-3.1")],
)
def test_a_coordinate_is_short(value: float, written: str) -> None:
    assert number(value) == written


def test_what_is_no_part_is_refused() -> None:
    with pytest.raises(TypeError, match="str is no part"):
        svg_of(pictured(cast("Part", "a line")))


def test_the_tag_draws_a_picture() -> None:
    picture = pictured(*ALL_KINDS)
    drawn = Template("{% load pictures %}{% picture shown %}").render(Context({"shown": picture}))
    assert drawn == svg_of(picture)


def test_parts_come_together_in_order() -> None:
    first, second = ALL_KINDS[:2], ALL_KINDS[2:]
    assert together(first, second) == ALL_KINDS


def test_the_style_sheet_has_a_rule_for_every_look_and_for_no_other() -> None:
    ruled = set(re.findall(r"\.draw-([a-z-]+)", (STATIC / "pictures.css").read_text("utf-8")))
    plain = {"figure", "mended", "now"}
    assert ruled | plain == set(get_args(Look))


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2."""
    digits = colour if len(colour) == 6 else "".join(2 * one for one in colour)
    parts = [int(digits[at : at + 2], 16) / 255.0 for at in (0, 2, 4)]
    red, green, blue = (
        one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def schemes() -> list[dict[str, str]]:
    """Colours of the light, the dark and the printed page."""
    rules = re.findall(r":root \{(.*?)\}", (STATIC / "pages.css").read_text("utf-8"), re.DOTALL)
    return [dict(re.findall(r"--([a-z]+): #([0-9a-f]+)", rule)) for rule in rules]


# WCAG 2.2, 1.4.11: strokes that carry meaning 3 : 1, and 1.4.3: text 4.5 : 1.
def test_strokes_and_words_stand_out_on_paper_and_on_what_is_filled() -> None:
    assert len(schemes()) == 3
    for colours in schemes():
        for ground in ("paper", "soft"):
            for stroke in ("ink", "faint", "mark"):
                assert contrast(colours[stroke], colours[ground]) >= 3.0
        assert contrast(colours["ink"], colours["paper"]) >= 4.5
        assert contrast(colours["faint"], colours["paper"]) >= 4.5


# Reference: black on white is 21 : 1 by its definition.
def test_the_contrast_of_black_and_white() -> None:
    assert contrast("000", "ffffff") == pytest.approx(21.0)

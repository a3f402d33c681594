"""What holds for every picture: it stays in its frame, it is well formed, its rows say it all."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import date
from xml.etree import ElementTree

import pytest
from django.utils import translation

from apps.pages.pictures import (
    GoneEdge,
    Picture,
    SkiShape,
    edge_section,
    edge_sections,
    marks_of,
    material_chart,
    outlook_chart,
    ski_map,
)
from apps.pages.pictures.picture import Text
from apps.pages.pictures.rendering import svg_of
from apps.tuning.wear_ski import LastDay
from tests.pages.pictures.reading_back import figures_in, figures_said, parts, points_of
from tests.pages.pictures.skis import (
    DESCRIBED,
    MEASURED,
    TARGET,
    condition,
    damaged,
    known_edges,
    only_series,
    readings_of_a_life,
    section,
    worn_edge,
)
from tests.pages.pictures.test_outlook_chart import DAYS, LESS, reckoned
from tests.tuning.visits import TODAY, base, height, side, visit

LETTER = {"caption": 6.4, "note": 6.4}
"""A wide guess at a letter of 12 units; all other text has 13, so that none is cut off."""

LARGER = 7.2


def _map(shape: SkiShape) -> Picture:
    return ski_map(shape, marks_of(condition(damaged()).open_findings, damaged()))


def _chart(last_day: LastDay) -> Picture:
    left = only_series(readings_of_a_life())
    gone = [GoneEdge(only_series([visit(0, readings=(height(1.1),))]).readings, date(2024, 2, 1))]
    return material_chart(left, name="steel-1", as_of=TODAY, last_day=last_day, gone=gone)


PICTURES: dict[str, Callable[[], Picture]] = {
    "edge": lambda: edge_section(section(known_edges())),
    "worn edge": lambda: edge_section(worn_edge(TARGET)),
    "edge in um": lambda: edge_section(worn_edge(TARGET, "right"), unit="um"),
    "unknown edge": lambda: edge_section(section([])),
    "edge by practice": lambda: edge_section(section(known_edges(0.01, facet_mm=None))),
    "steep edge": lambda: edge_section(
        section([visit(0, bevels=(base(5.0, facet=12.0), side(10.0)), readings=(height(0.9),))])
    ),
    "chart": lambda: _chart(LastDay(None, None, None)),
    "falling chart": lambda: _chart(
        LastDay(date(2027, 2, 1), date(2026, 12, 20), date(2028, 3, 1))
    ),
    "open chart": lambda: _chart(LastDay(date(2040, 2, 1), date(2035, 12, 20), None)),
    "described map": lambda: _map(DESCRIBED),
    "measured map": lambda: _map(MEASURED),
    "unknown map": lambda: _map(SkiShape()),
    "outlook": lambda: outlook_chart(reckoned(), DAYS),
    "two outlooks": lambda: outlook_chart(reckoned(), DAYS, other=reckoned(LESS)),
}

every_picture = pytest.mark.parametrize("drawn", PICTURES.values(), ids=PICTURES)


@every_picture
def test_it_stays_in_its_frame(drawn: Callable[[], Picture]) -> None:
    picture = drawn()
    for part in picture.parts:
        for x, y in points_of(part):
            assert math.isfinite(x)
            assert math.isfinite(y)
            assert -0.01 <= x <= picture.width + 0.01
            assert -0.01 <= y <= picture.height + 0.01


@every_picture
@pytest.mark.parametrize("language", ["en-gb", "de", "fr"])
def test_no_text_is_cut_off(drawn: Callable[[], Picture], language: str) -> None:
    with translation.override(language):
        picture = drawn()
    for text in parts(picture, Text):
        wide = LETTER.get(text.look, LARGER) * len(text.words)
        start = text.at[0] - {"start": 0.0, "middle": wide / 2.0, "end": wide}[text.anchor]
        assert start >= -4.0, text.words
        assert start + wide <= picture.width + 4.0, text.words


@every_picture
def test_it_is_well_formed_and_named(drawn: Callable[[], Picture]) -> None:
    picture = drawn()
    root = ElementTree.fromstring(svg_of(picture))  # noqa: S314 - our own text
    ids = [one.attrib["id"] for one in root.iter() if "id" in one.attrib]
    assert len(ids) == len(set(ids)) == 2
    assert re.fullmatch(r"[a-z][a-z0-9-]*", picture.name)
    assert len(root) == len(picture.parts) + 2


@every_picture
def test_its_rows_hold_every_figure_and_are_whole(drawn: Callable[[], Picture]) -> None:
    picture = drawn()
    assert figures_in(picture) <= figures_said(picture)
    assert picture.title
    assert picture.description
    assert picture.rows
    for row in picture.rows:
        assert row.label.strip()
        assert row.value.strip()
        assert "%" not in f"{row.label}{row.value}"


def test_two_edges_of_a_page_have_names_of_their_own() -> None:
    left, right = edge_sections(section(known_edges()), section(known_edges(), "right"))
    assert left.name != right.name

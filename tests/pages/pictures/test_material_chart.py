"""Steel and base over time, read back from the drawing."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from django.utils import translation

from apps.pages.numbers import Unit, length, plus_minus
from apps.pages.pictures import GoneEdge, Picture, material_chart
from apps.pages.pictures.material_chart import FOOT_AT, LEFT_AT, NO_LAST_DAY, RIGHT_AT, TOP_AT
from apps.pages.pictures.picture import Area, Dot, Line, Path, Text
from apps.pages.pictures.scales import Scale
from apps.tuning.history import Step, Visit
from apps.tuning.material import MaterialLeft
from apps.tuning.wear_ski import LastDay
from tests.pages.pictures.reading_back import figure_at, figures_in, figures_said, parts, row, words
from tests.pages.pictures.skis import condition, only_series, readings_of_a_life
from tests.tuning.visits import TODAY, day, height, thickness, visit

FALLS = LastDay(date(2027, 2, 1), date(2026, 12, 20), date(2028, 3, 1))
OPEN = LastDay(date(2027, 2, 1), date(2026, 12, 20), None)
FAR = LastDay(date(2040, 1, 1), date(2035, 1, 1), date(2060, 1, 1))
FARTHER = LastDay(date(2050, 1, 1), date(2035, 1, 1), date(2060, 1, 1))
FARTHEST = LastDay(date(2064, 1, 16), date(2050, 1, 1), None)
FAR_WITHOUT_A_MIDDLE = LastDay(None, date(2035, 1, 1), date(2060, 1, 1))
UNTIL_THEN = LastDay(None, date(2026, 12, 20), date(2028, 3, 1))


FALL = "Down to the least by the use so far, in 90 of 100 cases"


def chart(left: MaterialLeft, last_day: LastDay = NO_LAST_DAY, unit: Unit = "mm") -> Picture:
    return material_chart(left, name="steel", as_of=TODAY, last_day=last_day, unit=unit)


def lengths_of(drawn: Picture) -> Scale:
    """The axis, read back from two of its ticks."""
    marks = [
        (float(one.words.replace(",", ".")), one.at[1] - 4.0)
        for one in parts(drawn, Text, "caption")
        if one.anchor == "end" and one.words[0].isdigit()
    ]
    (low, low_at), (high, high_at) = marks[0], marks[-1]
    return Scale(low, high, low_at, high_at)


def test_every_reading_stands_where_it_was_read() -> None:
    left = only_series(readings_of_a_life())
    drawn = chart(left)
    lengths = lengths_of(drawn)
    dots = [one for one in parts(drawn, Dot) if one.look in {"reading", "rise"}]
    values = [figure_at(lengths, one.at[1]) for one in dots]
    assert values == pytest.approx([one.value_mm for one in left.readings])
    days = [one.day.toordinal() for one in left.readings]
    across = [one.at[0] for one in dots]
    shares = [(x - across[0]) / (across[-1] - across[0]) for x in across]
    assert shares == pytest.approx([(one - days[0]) / (days[-1] - days[0]) for one in days])


def test_the_bars_are_the_expanded_uncertainties_and_those_by_practice_are_dashed() -> None:
    left = only_series(readings_of_a_life())
    drawn = chart(left)
    lengths = lengths_of(drawn)
    bars = [
        one
        for one in (*parts(drawn, Line, "bar"), *parts(drawn, Line, "bar-assumed"))
        if one.start[0] == one.end[0]
    ]
    ends = {
        tuple(round(figure_at(lengths, end[1]), 6) for end in (one.start, one.end)) for one in bars
    }
    for one in left.readings:
        reach = one.expanded_uncertainty_mm
        assert (round(one.value_mm - reach, 6), round(one.value_mm + reach, 6)) in ends
    assert (round(left.left.low_mm, 6), round(left.left.high_mm, 6)) in ends
    # The reading without an uncertainty, and what is left by practice for the last grind.
    assert len(parts(drawn, Line, "bar-assumed")) == 2


def test_a_bar_ends_at_nothing() -> None:
    left = only_series([visit(0, readings=(thickness(0.7, u=0.9),))])
    drawn = chart(left)
    lengths = lengths_of(drawn)
    lowest = max(max(one.start[1], one.end[1]) for one in parts(drawn, Line, "bar"))
    assert figure_at(lengths, lowest) == pytest.approx(0.0, abs=1e-9)
    assert row(drawn, "1 Jan 2024") == "0.70 ± 0.90\u202fmm; on the line at 0.70\u202fmm"


def test_the_line_goes_through_what_the_fit_makes_of_each_reading() -> None:
    left = only_series(readings_of_a_life())
    drawn = chart(left)
    lengths = lengths_of(drawn)
    line = parts(drawn, Path, "fit")[0]
    fitted = [one.fitted_mm for one in left.readings]
    assert [figure_at(lengths, y) for _, y in line.points] == pytest.approx(fitted)
    assert all(later >= earlier for (_, earlier), (_, later) in pairwise(line.points))


def test_what_later_work_took_is_dashed_down_to_what_is_left_now() -> None:
    left = only_series(readings_of_a_life())
    drawn = chart(left)
    (dashed,) = parts(drawn, Path, "expected")
    (now,) = parts(drawn, Dot, "now")
    assert dashed.points[1] == now.at
    assert figure_at(lengths_of(drawn), now.at[1]) == pytest.approx(left.left.value_mm)
    assert row(drawn, "Left on 1 Jan 2026").endswith("practice)")
    untouched = chart(only_series([visit(0, readings=(height(2.0),))]))
    assert parts(untouched, Path, "expected") == []
    assert len(parts(untouched, Path, "fit")) == 2
    assert "practice" not in row(untouched, "Left on 1 Jan 2026")


def test_a_reading_that_rises_is_marked_and_told() -> None:
    drawn = chart(only_series(readings_of_a_life()))
    assert len(parts(drawn, Dot, "rise")) == 1
    assert "never grow" in row(drawn, "24 Feb 2025, after the work")


def test_the_least_is_a_line_with_its_figure() -> None:
    drawn = chart(only_series(readings_of_a_life()))
    (least,) = parts(drawn, Line, "least")
    assert figure_at(lengths_of(drawn), least.start[1]) == pytest.approx(0.8)
    assert (least.start[0], least.end[0]) == (LEFT_AT, RIGHT_AT)
    assert words(drawn, "note") == ["least 0.80"]
    assert row(drawn, "The shop's least") == "0.80\u202fmm (practice)"


def test_the_outlook_widens_to_the_days_on_which_the_least_is_reached() -> None:
    left = only_series(readings_of_a_life())
    drawn = chart(left, FALLS)
    (band,) = parts(drawn, Area, "band")
    lengths = lengths_of(drawn)
    days = Scale(day(0).toordinal(), TODAY.toordinal(), *_across(drawn))
    reached = [x for x, y in band.points if figure_at(lengths, y) == pytest.approx(0.8)]
    told = {round(figure_at(days, x)) for x in reached}
    assert {FALLS.low.toordinal(), FALLS.high.toordinal()} <= told  # type: ignore[union-attr]
    starts = [figure_at(lengths, y) for x, y in band.points if x == min(x for x, _ in band.points)]
    assert sorted(starts) == pytest.approx([left.left.low_mm, left.left.high_mm])
    assert row(drawn, FALL) == ("1 Feb 2027, between 20 Dec 2026 and 1 Mar 2028")


def _across(drawn: Picture) -> tuple[float, float]:
    first = parts(drawn, Dot, "reading")[0]
    (now,) = parts(drawn, Dot, "now")
    return first.at[0], now.at[0]


@pytest.mark.parametrize(
    ("last_day", "told", "lines"),
    [
        (OPEN, "not before 20 Dec 2026; no latest day can be told", 2),
        (FAR, "1 Jan 2040, not before 1 Jan 2035; perhaps not within 20 years", 2),
        (FARTHER, "not before 1 Jan 2035; perhaps not within 20 years", 2),
        (FARTHEST, "not within 20 years by the use so far", 2),
        (FAR_WITHOUT_A_MIDDLE, "not before 1 Jan 2035; perhaps not within 20 years", 1),
        (UNTIL_THEN, "between 20 Dec 2026 and 1 Mar 2028", 1),
    ],
)
def test_an_outlook_past_the_axis_is_cut_off_and_told_in_full(
    last_day: LastDay, told: str, lines: int
) -> None:
    drawn = chart(only_series(readings_of_a_life()), last_day)
    (band,) = parts(drawn, Area, "band")
    assert all(LEFT_AT <= x <= RIGHT_AT + 1e-9 for x, _ in band.points)
    assert max(x for x, _ in band.points) == pytest.approx(RIGHT_AT)
    assert row(drawn, FALL) == told
    assert len(parts(drawn, Path, "expected")) == lines


def test_a_band_without_an_end_stays_as_high_as_it_is() -> None:
    left = only_series(readings_of_a_life())
    drawn = chart(left, OPEN)
    (band,) = parts(drawn, Area, "band")
    high = min(y for _, y in band.points)
    assert (RIGHT_AT, high) in band.points
    assert figure_at(lengths_of(drawn), high) == pytest.approx(left.left.high_mm)


def test_there_is_no_outlook_below_the_least() -> None:
    worn = only_series([visit(0, readings=(height(0.7),))])
    drawn = chart(worn, FALLS)
    assert parts(drawn, Area, "band") == []
    assert row(drawn, "Down to the least") == "reached"
    unknown = chart(only_series(readings_of_a_life()))
    assert parts(unknown, Area, "band") == []
    assert not [one for one in unknown.rows if "Down" in one.label]


def renewed() -> list[Visit]:
    return [
        *readings_of_a_life(),
        visit(710, steps=(Step("replace_edge", edges=("left",)),)),
        visit(711, readings=(height(2.1),)),
    ]


def test_a_new_edge_breaks_the_line() -> None:
    material = condition(renewed()).material
    (left,) = material.known
    gone = [GoneEdge(one.readings, day(710)) for one in material.replaced]
    drawn = material_chart(left, name="steel", as_of=TODAY, gone=gone)
    assert len(parts(drawn, Dot, "reading")) + len(parts(drawn, Dot, "rise")) == 6
    (first, second) = parts(drawn, Path, "fit")
    (border,) = parts(drawn, Line, "renewed")
    assert all(x > border.start[0] for x, _ in (*first.points, *second.points))
    assert row(drawn, "11 Dec 2025") == "edge replaced; what was read before is over"
    assert "on the line" not in row(drawn, "1 Jan 2024")
    assert words(drawn, "note") == ["least 0.80", "new edge"]


def test_an_edge_that_was_new_early_is_named_inwards() -> None:
    left = only_series([visit(600, readings=(height(2.1),))])
    before = only_series([visit(0, readings=(height(1.2),))]).readings
    drawn = material_chart(left, name="a", as_of=TODAY, gone=[GoneEdge(before, day(30))])
    (named,) = [one for one in parts(drawn, Text, "note") if one.words == "new edge"]
    assert named.anchor == "start"


@pytest.mark.parametrize(
    ("reading", "title"),
    [
        (height(2.0), "Edge height, left edge"),
        (height(2.0, "right", station="waist"), "Edge height, right edge, waist"),
        (height(2.0, position_mm=800), "Edge height, left edge, 800 mm from the tail"),
        (thickness(1.3), "Base thickness"),
    ],
)
def test_the_title_says_what_and_where(reading, title: str) -> None:  # type: ignore[no-untyped-def]
    assert chart(only_series([visit(0, readings=(reading,))])).title == title


def test_a_reading_before_the_work_says_so() -> None:
    drawn = chart(only_series([visit(0, readings=(height(2.0, moment="before"),))]))
    assert row(drawn, "1 Jan 2024, before the work").startswith("2.00 ± 0.02")
    assert drawn.description.startswith("One reading")
    assert chart(only_series(readings_of_a_life())).description.startswith("5 readings")


@pytest.mark.parametrize("unit", ["mm", "um"])
@pytest.mark.parametrize("language", ["en-gb", "de"])
def test_every_figure_is_in_the_rows(unit: Unit, language: str) -> None:
    left = only_series(readings_of_a_life())
    with translation.override(language):
        drawn = chart(left, FALLS, unit)
        assert figures_in(drawn) <= figures_said(drawn)
        said = " ".join(one.value for one in drawn.rows)
        for one in left.readings:
            assert plus_minus(one.value_mm, one.expanded_uncertainty_mm, unit) in said
            assert one.fitted_mm is not None
            assert length(one.fitted_mm, unit) in said


def test_the_axis_is_in_the_unit_asked_for() -> None:
    left = only_series(readings_of_a_life())
    assert {"mm", "1.5", "2.0"} <= set(words(chart(left), "caption"))
    assert {"µm", "1500", "2000"} <= set(words(chart(left, unit="um"), "caption"))


def test_a_single_day_has_an_axis_of_months() -> None:
    left = only_series([visit(0, readings=(height(2.0),))])
    drawn = material_chart(left, name="a", as_of=day(0))
    assert {"Jan 2024", "Feb 2024", "Mar 2024"} <= set(words(drawn, "caption"))


# A record of tomorrow is folded like the others, and must not fall off the axis.
def test_a_reading_after_today_is_on_the_axis() -> None:
    late = [visit(0, readings=(height(2.0),)), visit(1000, readings=(height(1.9),))]
    drawn = chart(only_series(late))
    assert all(one.at[0] <= RIGHT_AT + 1e-9 for one in parts(drawn, Dot))
    assert all(TOP_AT <= one.at[1] <= FOOT_AT for one in parts(drawn, Dot))

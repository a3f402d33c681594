"""Skis below the least by month, read back from the drawing."""

from __future__ import annotations

from datetime import date

import pytest
from django.utils import translation

from apps.pages.pictures import Picture, outlook_chart
from apps.pages.pictures.outlook_chart import FOOT_AT, LEFT_AT, RIGHT_AT, TOP_AT
from apps.pages.pictures.picture import Area, Path
from apps.pages.pictures.scales import Scale
from apps.tuning.outlook import Outlook, month_ends, outlook, seasons_until
from apps.tuning.season import season_calendar
from apps.tuning.wear_policy import AS_NOW, Policy
from tests.pages.pictures.reading_back import figure_at, parts, row, words
from tests.tuning.test_outlook import fleet, skis
from tests.tuning.wear_fleets import columns
from tests.tuning.wear_fleets import row as ski

TODAY = date(2026, 1, 15)
DAYS = month_ends(TODAY, 30)
TIMES = seasons_until(DAYS, TODAY, season_calendar("12-01", "04-15"))
LESS = Policy(removal_factor=0.5)


def reckoned(policy: Policy = AS_NOW) -> Outlook:
    return outlook(fleet(skis()), TIMES, policy=policy)


def counts(found: Outlook) -> Scale:
    return Scale(0.0, max(1.0, float(found.below.high.max())), FOOT_AT, TOP_AT)


def line(drawn: Picture, look: str) -> list[float]:
    (path,) = parts(drawn, Path, look)  # type: ignore[arg-type]
    return [y for _, y in path.points]


def test_the_line_is_what_is_expected_and_the_band_its_limits() -> None:
    found = reckoned()
    drawn = outlook_chart(found, DAYS)
    scale = counts(found)
    assert [figure_at(scale, y) for y in line(drawn, "fit")] == pytest.approx(
        found.below.expected.tolist()
    )
    (band,) = parts(drawn, Area, "band")
    figures = [figure_at(scale, y) for _, y in band.points]
    count = len(DAYS)
    assert figures[:count] == pytest.approx(found.below.low.tolist())
    assert figures[count:][::-1] == pytest.approx(found.below.high.tolist())


def test_days_stand_at_their_true_distance() -> None:
    (path,) = parts(outlook_chart(reckoned(), DAYS), Path, "fit")
    days = Scale(DAYS[0].toordinal(), DAYS[-1].toordinal(), LEFT_AT, RIGHT_AT)
    assert [figure_at(days, x) for x, _ in path.points] == pytest.approx(
        [day.toordinal() for day in DAYS]
    )


def test_another_policy_is_dashed_and_told() -> None:
    now, less = reckoned(), reckoned(LESS)
    drawn = outlook_chart(now, DAYS, other=less)
    scale = counts(now)
    assert [figure_at(scale, y) for y in line(drawn, "planned")] == pytest.approx(
        less.below.expected.tolist()
    )
    assert "serviced otherwise" in drawn.rows[0].value
    assert "Dashed" in drawn.description
    alone = outlook_chart(now, DAYS)
    assert parts(alone, Path, "planned") == []
    assert "Dashed" not in alone.description


def test_every_month_has_a_row_with_its_figures() -> None:
    found = reckoned()
    drawn = outlook_chart(found, DAYS)
    below = found.below
    expected = f"{below.expected[-1]:.1f}, between {below.low[-1]:.0f} and {below.high[-1]:.0f}"
    assert row(drawn, "30 Jun 2028") == expected
    assert len(drawn.rows) == len(DAYS) + 1
    assert row(drawn, "Not reckoned with") == "1 ski whose steel, base or use nobody knows"
    assert "90 of 100 cases" in drawn.description
    assert "40 skis reckoned with" in drawn.description


def test_a_fleet_that_is_known_leaves_no_ski_out() -> None:
    known = columns([ski(level_um=900 + 20 * n) for n in range(5)])
    drawn = outlook_chart(outlook(fleet(known), TIMES), DAYS)
    assert len(drawn.rows) == len(DAYS)


def test_no_ski_at_all_has_an_empty_axis_of_whole_skis() -> None:
    drawn = outlook_chart(outlook(fleet(columns([])), TIMES), DAYS)
    assert set(line(drawn, "fit")) == {FOOT_AT}
    assert [one for one in words(drawn, "caption") if one.isdigit()] == ["0", "1"]
    assert "0 skis reckoned with" in drawn.description


def test_figures_follow_the_language() -> None:
    found = reckoned()
    with translation.override("de"):
        said = outlook_chart(found, DAYS).rows[-2].value
    assert f"{found.below.expected[-1]:.1f}".replace(".", ",") in said


@pytest.mark.parametrize("days", [DAYS[:-1], DAYS[:1], ()])
def test_days_and_times_have_to_pair_up(days: tuple[date, ...]) -> None:
    with pytest.raises(ValueError, match="one day for each"):
        outlook_chart(reckoned(), days)


def test_both_outlooks_have_to_have_the_same_times() -> None:
    shorter = outlook(fleet(skis()), TIMES[:-1], policy=LESS)
    with pytest.raises(ValueError, match="one day for each"):
        outlook_chart(reckoned(), DAYS, other=shorter)


def test_a_single_day_is_no_outlook() -> None:
    with pytest.raises(ValueError, match="two at least"):
        outlook_chart(outlook(fleet(skis()), TIMES[:1]), DAYS[:1])


def test_time_has_to_pass() -> None:
    still = outlook(fleet(skis()), TIMES[:2])
    with pytest.raises(ValueError, match="after the first"):
        outlook_chart(still, [TODAY, TODAY])

"""What the readings and the use of one ski come down to."""

from __future__ import annotations

import math
from datetime import date

import pytest

from apps.tuning.history import Place, Reading, Step, Visit, in_order
from apps.tuning.practice import Practice
from apps.tuning.season import season_calendar
from apps.tuning.series import SeriesKey
from apps.tuning.wear import WearSummary, wear_summary
from apps.tuning.wear_statistics import WearStatistics
from apps.tuning.wear_use import season_of, tally
from tests.tuning.visits import grind, height, thickness, visit

PRACTICE = Practice()
KEY = SeriesKey("edge_height", "left")
U2 = 0.01**2  # `height` states 0.02 with k = 2


def summary(*visits: Visit, practice: Practice = PRACTICE) -> WearSummary:
    return wear_summary(in_order(visits), practice)


def ground(number: int, value_mm: float | None = None) -> Visit:
    """A grind that states nothing, with a reading after it."""
    readings = () if value_mm is None else (height(value_mm),)
    return visit(number, steps=(grind(),), readings=readings)


def read(number: int, value_mm: float) -> Visit:
    return visit(number, kind="measurement", readings=(height(value_mm),))


# Derived by hand: 1.80 -> 1.74 over two services, 1.74 -> 1.71 over one.
def test_intervals_count_the_services_between_readings() -> None:
    found = summary(read(0, 1.80), ground(1), ground(2, 1.74), ground(3, 1.71), ground(4))
    (series,) = found.series
    assert [one.services for one in series.intervals] == [2, 1]
    assert [one.removed_mm for one in series.intervals] == pytest.approx([0.06, 0.03])
    assert [one.rate_mm for one in series.intervals] == pytest.approx([0.03, 0.03])
    assert series.intervals[0].reading_variance_mm2 == pytest.approx(2 * U2)
    assert series.intervals[0].rests_on == ("r000", "r002")
    assert (series.readings, series.services, series.services_since) == (3, 3, 1)
    assert series.scatter_mm2 == pytest.approx(0.0, abs=1e-12)
    # Derived: 2 u2 / 2 + 2 u2 / 1 - 2 u2 / 3.
    assert series.scatter_of_readings_mm2 == pytest.approx((1 + 2 - 2 / 3) * U2)
    assert series.line is not None
    assert series.line.slope == pytest.approx(-0.03)
    assert series.line.residual_deviation == pytest.approx(0.0, abs=1e-9)


def test_the_statistics_are_whole_numbers_of_the_same() -> None:
    found = summary(read(0, 1.80), ground(1), ground(2, 1.74), ground(3, 1.70), ground(4))
    kept = found.statistics("edge_height")
    assert kept == WearStatistics(
        readings=3,
        intervals=2,
        services=3,
        removed_um=100,
        scatter_um2=round(60**2 / 2 + 40**2 - 100**2 / 3),
        scatter_of_readings_um2=round((1 + 2 - 2 / 3) * 100),
        readings_variance_um2=200,
        level_um=1700,
        level_variance_um2=100,
        shared_variance_um2=100,
        services_since=1,
    )
    assert kept.row[3] == 100


def test_readings_without_a_service_between_them_are_one_level() -> None:
    doubted = visit(3, kind="measurement", readings=(height(1.72, u=0.04),))
    found = summary(read(0, 1.80), ground(1, 1.74), doubted, ground(4, 1.70))
    (series,) = found.series
    assert [one.services for one in series.intervals] == [1, 1]
    # Weighted by 1 / u**2, by hand: (4 * 1.74 + 1.72) / 5.
    assert series.intervals[0].removed_mm == pytest.approx(1.80 - (4 * 1.74 + 1.72) / 5)
    assert series.intervals[0].reading_variance_mm2 == pytest.approx(U2 + 0.8 * U2)


def test_readings_before_and_after_one_service_frame_it() -> None:
    framed = visit(
        1,
        steps=(grind(), Step("base_bevel")),
        readings=(height(1.80, moment="before"), height(1.75, moment="after")),
    )
    (series,) = summary(framed).series
    assert [(one.services, one.days_out) for one in series.intervals] == [(1, None)]
    assert series.intervals[0].removed_mm == pytest.approx(0.05)
    assert series.line is None


# Practice: scraping steel is no service; what it takes is reckoned apart, stated or by practice.
def test_other_work_is_no_service_and_is_taken_off_the_removal() -> None:
    stated = visit(1, steps=(Step("scrape_steel", edge_height_removed_mm=0.02),))
    found = summary(read(0, 1.80), stated, ground(2, 1.74), stated_after(3))
    (series,) = found.series
    assert series.intervals[0].removed_mm == pytest.approx(0.04)
    assert series.intervals[0].reading_variance_mm2 == pytest.approx(2 * U2, rel=1e-3)
    assert series.level_mm == pytest.approx(1.73)
    assert (series.services, series.services_since) == (1, 0)
    base = summary(
        visit(0, readings=(thickness(1.40),)),
        visit(1, steps=(Step("scrape_steel"),)),
        visit(2, steps=(grind(),), readings=(thickness(1.33),)),
    )
    # Practice of the defaults: scraping takes 0.005 .. 0.02 .. 0.06 mm of base.
    (thick,) = base.series
    assert thick.intervals[0].removed_mm == pytest.approx(0.05)
    expected = 2 * U2 + ((0.06 - 0.005) / 4) ** 2
    assert thick.intervals[0].reading_variance_mm2 == pytest.approx(expected)


def stated_after(number: int) -> Visit:
    return visit(number, steps=(Step("scrape_steel", edge_height_removed_mm=0.01),))


def test_waxing_and_work_on_the_other_edge_are_no_service() -> None:
    other = visit(1, steps=(Step("wax"), Step("base_bevel", edges=("right",))))
    found = summary(read(0, 1.80), other, read(2, 1.79))
    assert found.series[0].intervals == ()
    assert found.series[0].scatter_mm2 == found.series[0].scatter_of_readings_mm2 == 0.0
    kept = found.statistics("edge_height")
    assert (kept.readings, kept.intervals, kept.services, kept.shared_variance_um2) == (2, 0, 0, 0)
    assert kept.level_um == 1795


def test_readings_before_an_edge_was_replaced_teach_nothing() -> None:
    new = visit(2, steps=(Step("replace_edge"),))
    found = summary(read(0, 1.80), ground(1, 1.70), new)
    assert found.series == ()
    assert found.statistics("edge_height").level_um is None
    again = summary(read(0, 1.80), ground(1, 1.70), new, read(3, 2.0), ground(4, 1.95))
    assert again.statistics("edge_height").removed_um == 50


def test_the_scarcest_place_gives_the_level_and_a_read_one_the_rate() -> None:
    one_reading = visit(5, readings=(height(1.20, "right"),))
    found = summary(read(0, 1.80), ground(1, 1.75), ground(2, 1.71), one_reading)
    kept = found.statistics("edge_height")
    assert (kept.level_um, kept.services, kept.removed_um) == (1200, 2, 90)
    assert (kept.shared_variance_um2, kept.readings) == (0, 3)
    assert found.statistics("edge_height", "left").level_um == 1710
    assert found.statistics("edge_height", "left").shared_variance_um2 == 100
    assert found.statistics("edge_width").level_um is None


# Practice: a level read three usual services ago counts as lower by as much.
def test_places_are_compared_as_of_now() -> None:
    right = visit(1, readings=(height(1.60, "right"),))
    later = [ground(number) for number in (2, 3, 4)]
    left = visit(5, readings=(height(1.58, "left"),))
    found = summary(right, *later, left)
    scarcest = found.scarcest("edge_height")
    assert scarcest is not None
    assert (scarcest.key.edge, scarcest.services_since) == ("right", 3)


# GUM 5.2.2: what one named gauge adds to every reading drops out of their difference.
def test_one_gauge_shares_its_error_and_two_do_not() -> None:
    practice = Practice(gauge_shared_share=0.5)

    def by(first: str | None, second: str | None) -> WearSummary:
        return summary(
            visit(0, readings=(height(1.80, instrument=first),)),
            visit(1, steps=(grind(),), readings=(height(1.75, instrument=second),)),
            practice=practice,
        )

    assert by("A", "A").series[0].intervals[0].reading_variance_mm2 == pytest.approx(U2)
    assert by("A", "A").series[0].level_variance_mm2 == pytest.approx(U2)
    assert by("A", "A").series[0].last_variance_mm2 == pytest.approx(U2 / 2)
    for pair in (("A", "B"), (None, None)):
        assert by(*pair).series[0].intervals[0].reading_variance_mm2 == pytest.approx(2 * U2)


def test_identical_and_surest_readings_are_never_without_uncertainty() -> None:
    sure = [Reading("edge_height", 1.8, Place(edge="left"), 0.0)]
    found = summary(visit(0, readings=(*sure,)), visit(1, steps=(grind(),), readings=(*sure,)))
    (series,) = found.series
    assert series.removed_mm == 0.0
    # GUM 4.3.7: a step of 0.001 mm is uniform within it.
    assert series.reading_variance_mm2 == pytest.approx(2 * 0.001**2 / 12)


def test_no_visit_and_no_reading_are_all_zero() -> None:
    assert summary().statistics("base_thickness") == WearStatistics()
    assert summary(ground(1)).statistics("edge_height", "right") == WearStatistics()


# Derived by hand; a report of the day of a service counts as days before it.
def test_use_between_services_and_in_past_seasons() -> None:
    def used(number: int, days: int) -> Visit:
        return visit(number, kind="usage", usage_days=days)

    found = summary(
        used(0, 4), ground(1), used(10, 6), used(20, 5), ground(20), ground(30), used(32, 3),
        used(370, 20), read(400, 1.5),
    )  # fmt: skip
    kept = found.statistics("edge_height")
    # The first four days lie before any service, and no use is on record from day 20 to 30.
    assert (kept.spans, kept.span_days, kept.span_squares) == (1, 11, 121)
    assert kept.days_since == 23
    # Days 0 to 32 are of the winter 2023/24; the last record's season may go on.
    assert (kept.seasons, kept.season_days, kept.season_squares) == (1, 18, 324)
    rested = found.use[KEY].rests_on
    assert len(rested) == 5
    with_days = summary(read(0, 1.8), used(3, 7), ground(5, 1.7), used(6, 2))
    assert with_days.series[0].intervals[0].days_out == 7


def test_a_season_is_that_nearest_to_the_day() -> None:
    north, south = season_calendar("12-01", "04-15"), season_calendar("06-01", "10-15")
    assert season_of(date(2024, 7, 1), north) == season_of(date(2024, 4, 20), north)
    assert season_of(date(2024, 9, 1), north) == season_of(date(2025, 3, 1), north)
    assert season_of(date(2024, 5, 1), south) == season_of(date(2024, 11, 30), south)
    assert season_of(date(2024, 11, 30), south) + 1 == season_of(date(2025, 5, 1), south)


def test_a_tally_is_a_count_a_sum_and_a_sum_of_squares() -> None:
    assert (tally([3, 4]).count, tally([3, 4]).total, tally([3, 4]).squares) == (2, 7, 25)
    assert math.isclose(tally([]).total, 0)

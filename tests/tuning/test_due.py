"""When a ski is due: by days out, by date, by an open finding, by its use carried on."""

import math
from datetime import date, timedelta

import pytest
from scipy import stats

from apps.tuning.condition import fold
from apps.tuning.due import Due, due_of, mend_days, use_pace
from apps.tuning.history import Finding, FindingKey, Severity, Visit, in_order
from apps.tuning.practice import Practice
from apps.tuning.season import season_calendar
from tests.tuning.visits import day, visit

# Day 1 of these visits is 2024-01-02, and the season goes on to day 105, 2024-04-15.
YEAR_ROUND = Practice(season_first="01-01", season_last="12-31")


def due(*visits: Visit, practice: Practice = YEAR_ROUND) -> Due:
    ordered = in_order(visits)
    now = fold(ordered, practice=practice, today=ordered[-1].day)
    return due_of(ordered, now, practice, since=ordered[0].day)


def out(number: int, days: int) -> Visit:
    return visit(number, kind="usage", usage_days=days)


def found(number: int, severity: Severity) -> Visit:
    record = f"f{number}"
    finding = Finding(FindingKey(record, 0), "gouge", severity, open=True)
    return visit(number, record=record, findings=(finding,))


class TestByDate:
    def test_from_the_last_job(self) -> None:
        assert due(visit(1), visit(50), out(60, 1)).by_date == day(50) + timedelta(days=365)

    def test_from_the_first_record_without_a_job(self) -> None:
        assert due(out(7, 1), out(60, 1)).by_date == day(7) + timedelta(days=365)

    def test_at_the_end_of_the_calendar(self) -> None:
        late = Visit("r", "job", "bench@hill.example", date(9999, 12, 1))
        assert due(late).by_date == date.max


class TestByFinding:
    @pytest.mark.parametrize(
        ("severity", "least", "is_due"),
        [
            ("slight", "slight", True),
            ("slight", "moderate", False),
            ("moderate", "moderate", True),
            ("moderate", "severe", False),
            ("severe", "slight", True),
        ],
    )
    def test_as_bad_as_the_shop_mends(
        self, severity: Severity, least: Severity, is_due: bool
    ) -> None:
        practice = Practice(due_for_finding=least)
        expected = day(3) if is_due else None
        assert due(found(3, severity), practice=practice).by_finding == expected

    def test_the_worst_counts_and_of_equals_the_first(self) -> None:
        history = (found(2, "slight"), found(9, "severe"), found(5, "severe"))
        assert due(*history).by_finding == day(5)

    def test_days_to_mend(self) -> None:
        assert [mend_days(one, Practice()) for one in ("severe", "moderate", "slight")] == [
            1,
            7,
            30,
        ]


class TestByUse:
    def test_nobody_reported_any(self) -> None:
        use = due(visit(1)).use
        assert (use.days_low, use.days_high, use.last_day, use.pace, use.on) == (None,) * 5
        assert use.last_report == ""

    def test_on_record_on_the_day_of_the_report(self) -> None:
        use = due(visit(1), out(8, 15), out(15, 4), out(22, 6), out(29, 2)).use
        assert (use.on, use.reached) == (day(22), True)
        # The first report after the job may hold days before it.
        assert (use.days_low, use.days_high) == (12, 27)
        assert (use.earliest, use.latest) == (None, None)
        assert (use.last_day, use.last_report) == (day(29), "r029")

    def test_all_days_count_where_no_job_is_on_record(self) -> None:
        use = due(out(8, 15), out(15, 5)).use
        assert (use.days_low, use.days_high, use.on) == (20, 20, day(15))

    def test_what_was_out_before_the_job_is_over(self) -> None:
        use = due(out(8, 15), out(15, 15), visit(16), out(20, 3)).use
        assert (use.days_high, use.reached) == (3, False)

    def test_carried_on_at_its_own_pace(self) -> None:
        # 10 days in 20 after the first report; 5 and 10 are out, so 5 more take 10 days.
        use = due(visit(1), out(10, 5), out(30, 10)).use
        assert use.pace is not None
        assert (use.pace.per_1000, use.pace.stretches) == (500, 1)
        assert (use.on, use.earliest, use.latest) == (day(40), None, None)

    def test_only_days_in_season_go_by(self) -> None:
        winter = Practice(season_first="01-01", season_last="01-31")
        use = due(visit(1), out(10, 5), out(30, 10), practice=winter).use
        # 2024-01-31 is the last day of that winter, so the ten days are the first of the next.
        assert use.on == date(2025, 1, 10)

    @pytest.mark.parametrize(
        "history",
        [
            (visit(1), out(10, 5)),
            (visit(1), out(10, 5), out(23, 5)),
            (visit(1), out(10, 0), out(40, 0)),
        ],
        ids=["one report", "13 days", "never out"],
    )
    def test_too_little_to_carry_on(self, history: tuple[Visit, ...]) -> None:
        use = due(*history).use
        assert (use.pace, use.on) == (None, None)
        assert use.days_high is not None

    def test_at_the_end_of_the_calendar(self) -> None:
        reports = [Visit(f"r{n}", "usage", "b", date(2200, 12, n), usage_days=1) for n in (1, 16)]
        assert due(*reports).use.on is None


def test_limits_are_those_of_a_ratio_estimator() -> None:
    # Cochran, Sampling Techniques, section 6.3, by hand; Student's t from SciPy.
    stretches, days = (10, 20, 15, 15), (6, 8, 9, 7)
    history, at = [out(1, 0)], 1
    for length, count in zip(stretches, days, strict=True):
        at += length
        history.append(out(at, count))
    history.append(visit(at + 1))
    history.append(out(at + 3, 0))
    reports = [one for one in history if one.usage_days is not None]
    pace = use_pace(reports[:-1], season_calendar("01-01", "12-31"))
    assert pace is not None
    ratio = 30 / 60
    assert pace.per_day == ratio
    beside = sum((d - ratio * m) ** 2 for d, m in zip(days, stretches, strict=True)) / 3 * 4
    assert pace.variance == pytest.approx(beside / 60**2)
    assert pace.spread == pytest.approx(beside / 60)
    whole = due(*history).use
    last = use_pace(reports, season_calendar("01-01", "12-31"))
    assert last is not None
    assert last.variance is not None
    assert last.spread is not None
    ahead = 20 / last.per_day
    width = math.sqrt(ahead * last.spread + ahead**2 * last.variance) / last.per_day
    half = stats.t.ppf(0.95, 4) * width
    assert whole.on == day(at + 3) + timedelta(days=math.ceil(ahead))
    assert whole.earliest == day(at + 3) + timedelta(days=math.ceil(ahead - half))
    assert whole.latest == day(at + 3) + timedelta(days=math.ceil(ahead + half))


class TestTheFirstReason:
    def test_is_the_day_on_which_it_is_due(self) -> None:
        assert due(visit(1), found(9, "severe"), out(20, 30)).on == day(9)
        assert due(visit(1), out(20, 30)).on == day(20)
        assert due(visit(1)).on == day(1) + timedelta(days=365)

    @pytest.mark.parametrize("status", ["retired", "sold", "missing"])
    def test_a_ski_that_is_gone_is_due_for_nothing(self, status: str) -> None:
        gone = due(found(9, "severe"), visit(12, kind="status", status=status))
        assert (gone.on, gone.in_fleet, gone.by_finding) == (None, False, day(9))

    def test_a_ski_in_service_is(self) -> None:
        assert due(found(9, "severe"), visit(12, kind="status", status="in_service")).in_fleet

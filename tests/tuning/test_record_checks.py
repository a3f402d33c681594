"""Records whose dates, order or number can't be right."""

from dataclasses import replace
from datetime import date

import pytest

from apps.tuning.figures import Sureness
from apps.tuning.history import FindingKey, Moment, Visit, in_order
from apps.tuning.history_warning import HistoryWarning
from apps.tuning.plausibility import warnings_of
from apps.tuning.practice import Practice
from tests.tuning.visits import TODAY, base, day, finding, grind, height, visit


def found(code: str, *visits: Visit, today: date = TODAY) -> list[HistoryWarning]:
    everything = warnings_of(in_order(visits), practice=Practice(), today=today)
    return [one for one in everything if one.code == code]


@pytest.mark.parametrize(("number", "expected"), [(10, []), (11, ["possible"]), (12, ["certain"])])
def test_a_record_of_tomorrow_may_be_from_further_east(number: int, expected: list[str]) -> None:
    warnings = found("dated-in-future", visit(number), today=day(10))
    assert [one.sureness for one in warnings] == expected
    assert all("after today, 2024-01-11" in one.sentence for one in warnings)


@pytest.mark.parametrize(("corrections", "flagged"), [(0, 0), (1, 0), (2, 1)])
def test_several_corrections(corrections: int, flagged: int) -> None:
    assert len(found("several-corrections", visit(0, corrections=corrections))) == flagged


def test_an_equal_fingerprint_is_a_certain_double() -> None:
    twice = [visit(1, record=name, steps=(grind(),), fingerprint="f") for name in ("a", "b", "c")]
    (one,) = found("double-entry", *twice)
    assert (one.rests_on, one.sureness) == (("a", "b", "c"), "certain")
    assert one.sentence.startswith("3 job records")


@pytest.mark.parametrize(("kind", "sure"), [("job", "likely"), ("measurement", "possible")])
def test_equal_content_on_one_day_is_a_double(kind: str, sure: Sureness) -> None:
    twice = [
        visit(
            1,
            record=name,
            kind=kind,
            readings=(height(1.7),),
            findings=(finding(name),),
            local_time=f"1{name}:00:00",
            fingerprint=name,
        )
        for name in ("0", "1")
    ]
    (one,) = found("double-entry", *twice)
    assert (one.rests_on, one.sureness) == (("0", "1"), sure)


def test_what_differs_or_says_nothing_is_no_double() -> None:
    pairs = [
        (visit(1, record="a"), visit(1, record="b")),
        (visit(1, status="retired"), visit(2, status="retired")),
        (visit(1, record="a", usage_days=1), visit(1, record="b", usage_days=2)),
        (
            visit(1, record="a", steps=(grind(),)),
            visit(1, record="b", steps=(grind(),), author="other@hill.example"),
        ),
        (
            visit(1, record="a", findings=(finding("a"),)),
            visit(1, record="b", findings=(finding("b", what="rust"),)),
        ),
    ]
    for pair in pairs:
        assert found("double-entry", *pair) == []
    status = found("double-entry", visit(1, record="a", status="sold"), visit(1, status="sold"))
    assert len(status) == 1


@pytest.mark.parametrize(("number", "flagged"), [(730, 0), (731, 1)])
def test_a_long_silence(number: int, flagged: int) -> None:
    warnings = found("long-gap", visit(0), visit(number))
    assert [one.sureness for one in warnings] == ["possible"] * flagged


def test_work_after_retirement() -> None:
    retired = visit(1, kind="status", status="retired")
    job = visit(3, steps=(grind(),))
    (one,) = found("work-after-retired", retired, visit(2), job)
    assert (one.rests_on, one.sureness) == (("r001", "r003"), "likely")
    back = visit(2, kind="status", status="in_service")
    assert found("work-after-retired", retired, back, job) == []
    assert found("work-after-retired", job, visit(9, kind="status", status="retired")) == []


def told(moment: Moment | None, local_time: str | None) -> Visit:
    return visit(
        1,
        record="told",
        kind="measurement",
        readings=(height(1.7, moment=moment),),
        local_time=local_time,
    )


@pytest.mark.parametrize(
    ("moment", "local_time", "flagged"),
    [
        ("before", "15:00:00", 1),
        ("before", "12:00:00", 0),
        ("before", "09:00:00", 0),
        ("after", "09:00:00", 1),
        ("after", "12:00:00", 0),
        ("after", "15:00:00", 0),
        (None, "09:00:00", 0),
        ("before", None, 0),
    ],
)
def test_readings_on_the_wrong_side_of_the_work(
    moment: Moment | None, local_time: str | None, flagged: int
) -> None:
    jobs = [visit(1, record=f"job{hour}", local_time=f"{hour}:00:00") for hour in (11, 13)]
    assert len(found("out-of-order", told(moment, local_time), *jobs)) == flagged


def test_without_a_clock_or_a_job_no_side_is_wrong() -> None:
    undated = visit(1, record="job")
    assert found("out-of-order", told("before", "15:00:00"), undated) == []
    assert found("out-of-order", told("before", "15:00:00"), visit(2, local_time="08:00:00")) == []
    bevel = visit(
        1,
        record="b",
        kind="bevel-setting",
        bevels=(base(1.0, moment="before"),),
        local_time="15:00:00",
    )
    assert len(found("out-of-order", bevel, visit(1, record="j", local_time="08:00:00"))) == 1


def test_a_finding_closed_before_it_was_made() -> None:
    made = visit(5, findings=(finding("r005"),))
    closes = finding("r001", opened=False, closes=FindingKey("r005", 0))
    (one,) = found("out-of-order", visit(1, findings=(closes,)), made)
    assert one.rests_on == ("r001", "r005")
    later = finding("r009", opened=False, closes=FindingKey("r005", 0))
    assert found("out-of-order", made, visit(9, findings=(later,))) == []
    unknown = finding("r009", opened=False, closes=FindingKey("gone", 0))
    assert found("out-of-order", visit(9, findings=(unknown,))) == []


@pytest.mark.parametrize(("days", "flagged"), [(11, 0), (12, 1)])
def test_more_days_out_than_have_passed(days: int, flagged: int) -> None:
    reports = (
        visit(0, kind="usage", usage_days=400),
        visit(10, kind="usage", usage_days=days),
    )
    warnings = found("out-of-order", *reports)
    assert [one.rests_on for one in warnings] == [("r000", "r010")] * flagged


def test_work_of_two_shops_on_one_day_without_times_has_no_known_order() -> None:
    mine = visit(1, record="a", steps=(grind(),))
    theirs = visit(1, record="b", author="other@dale.example", steps=(grind(),))
    (one,) = found("order-unknown", theirs, mine)
    assert (one.sureness, one.rests_on) == ("possible", ("a", "b"))
    assert one.sentence.startswith("bench@hill.example and other@dale.example worked the ski on")
    noted = replace(theirs, steps=())
    assert found("order-unknown", mine, noted) == []
    assert found("order-unknown", mine, replace(theirs, author=mine.author)) == []
    assert found("order-unknown", mine, replace(theirs, day=day(2))) == []
    timed = [
        replace(one, instant=f"2024-01-02T0{n}:00:00Z") for n, one in enumerate((mine, theirs))
    ]
    assert found("order-unknown", *timed) == []
    assert len(found("order-unknown", mine, timed[1])) == 1


# The report further east is dated a day later although it came first.
def test_use_reported_from_two_time_zones_is_no_contradiction() -> None:
    east = replace(visit(2, record="e", kind="usage", usage_days=1), instant="2024-01-02T19:00:00Z")
    west = replace(visit(1, record="w", kind="usage", usage_days=1), instant="2024-01-03T07:00:00Z")
    assert found("out-of-order", east, west) == []

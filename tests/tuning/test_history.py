"""Order of visits: by instant, kind, author and log, whatever order they arrived in."""

from dataclasses import replace
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.history import Visit, in_order, time_key
from tests.tuning.visits import base, height, visit


def test_on_one_day_what_is_told_of_the_work_follows_the_work() -> None:
    kinds = ["status", "usage", "bevel-setting", "measurement", "job", "description", "pair"]
    ordered = in_order(visit(1, record=kind, kind=kind) for kind in kinds)
    assert [one.kind for one in ordered] == [
        "description",
        "job",
        "measurement",
        "bevel-setting",
        "usage",
        "status",
        "pair",
    ]


def test_what_was_read_before_the_work_precedes_it() -> None:
    job = visit(1, record="job", readings=(height(1.8, moment="before"),))
    reading = visit(1, record="a", kind="measurement", readings=(height(1.8, moment="before"),))
    bevel = visit(1, record="b", kind="bevel-setting", bevels=(base(1.0, moment="before"),))
    after = visit(1, record="c", kind="measurement", readings=(height(1.8, moment="after"),))
    ordered = in_order([after, job, bevel, reading])
    assert [one.record for one in ordered] == ["a", "b", "job", "c"]


def test_a_date_without_a_time_counts_as_noon() -> None:
    morning = visit(1, record="z", local_time="08:00:00")
    evening = visit(1, record="a", local_time="18:00:00")
    ordered = in_order([evening, visit(1, record="m"), morning])
    assert [one.record for one in ordered] == ["z", "m", "a"]


@given(st.permutations(range(6)))
def test_any_arrival_order_gives_one_order(arrival: list[int]) -> None:
    visits = [Visit(f"{n}", "job", "a@b.example", date(2025, 1, 1 + n // 2)) for n in range(6)]
    assert in_order(visits[n] for n in arrival) == tuple(visits)
    assert time_key(visits[0]) < time_key(visits[1])


# By hand: 08:00 thirteen hours east of Greenwich is 19:00 UTC of the day before; 23:00 eight
# hours west of it is 07:00 UTC of the day after.
def test_time_zones_are_ordered_by_the_instant() -> None:
    east = Visit("a", "job", "a@b.example", date(2025, 11, 2), "08:00:00", "2025-11-01T19:00:00Z")
    west = Visit("b", "job", "a@b.example", date(2025, 11, 1), "23:00:00", "2025-11-02T07:00:00Z")
    assert in_order([west, east]) == (east, west)


# What one shop stated later counts as later, whatever the ids are.
def test_on_one_day_without_times_an_author_is_heard_in_the_order_of_the_log() -> None:
    first, second = visit(1, record="z", entered=3), visit(1, record="a", entered=7)
    assert in_order([second, first]) == (first, second)


# Places in the log differ from node to node between authors, and the order must not.
def test_between_authors_the_place_in_the_log_says_nothing() -> None:
    here = [visit(1, record="z", author="a@x.example", entered=9), visit(1, entered=1)]
    there = [replace(here[0], entered=2), replace(here[1], entered=5)]
    assert [one.record for one in in_order(here)] == [one.record for one in in_order(there)]

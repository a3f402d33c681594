"""Order of visits: by day, clock, kind and id, whatever order they arrived in."""

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

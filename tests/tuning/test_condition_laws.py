"""Laws of the condition that hold for any history."""

from dataclasses import replace
from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from apps.tuning.condition import Condition, fold
from apps.tuning.history import BevelStatement, Reading, Step, Visit, in_order
from apps.tuning.material import MaterialLeft, material_of
from apps.tuning.practice import Practice
from apps.tuning.standing import BevelNow
from tests.tuning.visits import TODAY, base, finding, grind, height, visit

PRACTICE = Practice()
MODEST = settings(max_examples=60, deadline=None)

DEPTHS = st.one_of(st.none(), st.integers(0, 40).map(lambda n: n / 1000.0))
STEPS = st.one_of(
    DEPTHS.map(grind),
    st.sampled_from(["side_bevel", "base_bevel", "replace_edge", "wax"]).map(Step),
)
MOMENTS = st.sampled_from([None, "before", "after"])
READINGS = st.builds(
    height,
    st.integers(500, 2000).map(lambda n: n / 1000.0),
    u=st.one_of(st.none(), st.integers(0, 100).map(lambda n: n / 1000.0)),
    moment=MOMENTS,
    instrument=st.sampled_from([None, "A", "B"]),
)
BEVELS = st.builds(
    base,
    st.integers(0, 300).map(lambda n: n / 100.0),
    basis=st.sampled_from(["set", "measured", "specified"]),
    facet=st.one_of(st.none(), st.integers(50, 400).map(lambda n: n / 100.0)),
    span=st.sampled_from([None, (100, 300), (200, 500)]),
    moment=MOMENTS,
)


@st.composite
def histories(draw: st.DrawFn) -> list[Visit]:
    days = draw(st.lists(st.integers(0, 60), min_size=1, max_size=7))
    return [
        visit(
            number,
            record=f"r{index}",
            kind=draw(st.sampled_from(["job", "measurement", "usage", "status"])),
            steps=tuple(draw(st.lists(STEPS, max_size=3))),
            readings=tuple(draw(st.lists(READINGS, max_size=2))),
            bevels=tuple(draw(st.lists(BEVELS, max_size=2))),
            findings=(finding(f"r{index}"),) if draw(st.booleans()) else (),
            usage_days=draw(st.sampled_from([None, 3])),
            local_time=draw(st.sampled_from([None, "09:00:00"])),
        )
        for index, number in enumerate(days)
    ]


def folded(visits: list[Visit]) -> Condition:
    return fold(visits, practice=PRACTICE, today=TODAY)


@MODEST
@given(st.data(), histories())
def test_any_arrival_order_gives_the_same_condition(
    data: st.DataObject, visits: list[Visit]
) -> None:
    assert folded(data.draw(st.permutations(visits))) == folded(visits)


def steel(visits: list[Visit]) -> MaterialLeft | None:
    found = material_of(in_order(visits), practice=PRACTICE)
    return found.least("edge_height", "left")


@MODEST
@given(histories(), READINGS, READINGS, st.integers(0, 61))
def test_a_reading_never_raises_material_beyond_it_and_its_uncertainty(
    visits: list[Visit], last: Reading, reading: Reading, number: int
) -> None:
    visits = [*visits, visit(60, record="last", kind="measurement", readings=(last,))]
    before = steel(visits)
    added = visit(number, record="added", kind="measurement", readings=(reading,))
    after = steel([*visits, added])
    if before is None or after is None:
        return
    stated = reading.uncertainty_mm
    unsure = PRACTICE.reading_uncertainty_mm if stated is None else stated
    most = reading.value_mm + max(unsure, 0.001)
    assert after.left.value_mm <= max(before.left.value_mm, most) + 1e-9


@MODEST
@given(histories())
def test_every_fit_falls_and_every_figure_lies_between_its_limits(visits: list[Visit]) -> None:
    now = folded(visits)
    for series in now.material.known:
        fitted = [one.fitted_mm for one in series.readings if one.fitted_mm is not None]
        assert fitted == sorted(fitted, reverse=True)
        assert 0.0 <= series.left.low_mm <= series.left.value_mm <= series.left.high_mm
        last = series.readings[-1]
        most = last.value_mm + max(last.expanded_uncertainty_mm, 0.001)
        assert series.left.high_mm <= most + 1e-9
        assert set(series.left.rests_on) <= {one.record for one in visits}
        assert (series.left.basis == "readings") == (series.taken_since.unstated_steps == 0)


def facet_mm(now: BevelNow) -> float:
    """Width left, with what an unknown depth may have left as the widest."""
    return 0.0 if now.facet is None else now.facet.value_mm


@MODEST
@given(
    st.integers(0, 300).map(lambda n: base(n / 100.0, facet=2.0)),
    st.lists(DEPTHS, max_size=5),
    DEPTHS,
)
def test_more_grinding_never_leaves_more_facet(
    statement: BevelStatement, depths: list[float | None], more: float | None
) -> None:
    visits = [visit(0, kind="bevel-setting", bevels=(statement,))]
    visits += [visit(n, steps=(grind(depth),)) for n, depth in enumerate(depths, start=1)]
    less = folded(visits).edge("left").base_bevel
    ground = folded([*visits, visit(50, steps=(grind(more),))]).edge("left").base_bevel
    assert facet_mm(ground) <= facet_mm(less)
    order = ["stands", "partly_ground_away", "uncertain", "ground_away"]
    assert order.index(ground.standing) >= order.index(less.standing)


@MODEST
@given(histories(), st.integers(0, 60))
def test_as_of_a_day_is_the_history_up_to_it(visits: list[Visit], number: int) -> None:
    last: date = visit(number).day
    then = fold(visits, practice=PRACTICE, today=TODAY, as_of=last)
    until = folded([one for one in visits if one.day <= last])
    # Calendar days since a job count to the day asked for, all else is the same.
    assert replace(then, as_of=TODAY, use=until.use) == until

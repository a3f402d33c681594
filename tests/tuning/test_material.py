"""Steel and base left: fits, later work, practice kept apart, and edges that were replaced."""

import math

import pytest

from apps.tuning.history import Place, Reading, Step, Visit, in_order
from apps.tuning.material import FIT, FIT_LESS_WORK, Material, MaterialLeft, material_of
from apps.tuning.practice import Practice
from tests.tuning.visits import grind, height, thickness, visit

PRACTICE = Practice()


def material(*visits: Visit, practice: Practice = PRACTICE) -> Material:
    return material_of(in_order(visits), practice=practice)


def left(*visits: Visit, practice: Practice = PRACTICE) -> MaterialLeft:
    found = material(*visits, practice=practice).least("edge_height", "left")
    assert found is not None
    return found


def read(number: int, *readings: Reading) -> Visit:
    return visit(number, kind="measurement", readings=readings)


# Own data, worked by hand: 1.75 and 1.78 pool to 1.765, the last reading stands alone.
def test_readings_are_kept_beside_the_fit() -> None:
    found = left(*(read(n, height(v)) for n, v in enumerate((1.80, 1.75, 1.78, 1.70))))
    assert [one.value_mm for one in found.readings] == [1.80, 1.75, 1.78, 1.70]
    assert [one.fitted_mm for one in found.readings] == pytest.approx([1.80, 1.765, 1.765, 1.70])
    assert found.left == found.at_last_reading
    assert found.left.value_mm == pytest.approx(1.70)
    assert found.left.expanded_uncertainty_mm == pytest.approx(0.02)
    assert (found.left.method, found.left.basis) == (FIT, "readings")
    assert found.left.rests_on == ("r003",)


# GUM, derived: u 0.01 each, so a rise of 0.03 passes the limit of 0.0283 and one of 0.02 not.
@pytest.mark.parametrize(("second", "rises"), [(1.73, True), (1.72, False)])
def test_a_reading_that_rises_is_marked_and_never_dropped(second: float, rises: bool) -> None:
    found = left(read(0, height(1.70)), read(1, height(second)))
    assert [one.rises for one in found.readings] == [False, rises]
    assert found.left.value_mm == pytest.approx((1.70 + second) / 2)
    assert found.left.rests_on == ("r000", "r001")


def test_the_reserve_is_what_lies_above_the_least() -> None:
    found = left(read(0, height(1.0)))
    assert found.least_mm == 0.8
    assert found.reserve.value_mm == pytest.approx(0.2)
    assert (found.reserve.low_mm, found.reserve.high_mm) == pytest.approx((0.18, 0.22))
    # Derived from the practice of a service, 0.02 to 0.06 to 0.15 mm off the height.
    assert (found.services.low, found.services.services, found.services.high) == (1, 3, 11)
    assert found.services.rate.basis == "practice"
    below = left(read(0, height(0.7)))
    assert below.reserve.value_mm == pytest.approx(-0.1)
    assert below.services.services == 0


# Derived: the stated grind is known to its step of 0.001 mm, rectangular.
def test_stated_work_after_the_last_reading_is_taken_off() -> None:
    found = left(read(0, height(1.70)), visit(1, steps=(grind(0.05), grind(0.03))))
    assert found.left.value_mm == pytest.approx(1.62)
    unsure = math.hypot(0.02, 2.0 * 0.001 / math.sqrt(12.0) * math.sqrt(2.0))
    assert found.left.expanded_uncertainty_mm == pytest.approx(unsure)
    assert (found.left.method, found.left.basis) == (FIT_LESS_WORK, "readings")
    assert found.left.rests_on == ("r000", "r001")
    assert found.at_last_reading.value_mm == pytest.approx(1.70)
    assert found.taken_since.stated_mm == pytest.approx(0.08)
    assert (found.taken_since.steps, found.taken_since.unstated_steps) == (2, 0)


# Own data: the coarser reading of the same depth without work between makes the figure surer.
# By hand as in test_levels: the unnamed gauges of one shop count as one, half shared.
def test_readings_that_no_work_parts_are_pooled() -> None:
    found = left(read(0, height(1.160, u=0.03)), read(1, height(1.140, u=0.05)))
    assert found.left.value_mm == pytest.approx(1.1564)
    assert found.left.expanded_uncertainty_mm == pytest.approx(0.0286, abs=5e-5)
    assert found.left.rests_on == ("r000", "r001")
    waxed = left(
        read(0, height(1.160, u=0.03)),
        visit(1, steps=(Step("wax"),)),
        read(2, height(1.140, u=0.05)),
    )
    assert waxed.left.value_mm == found.left.value_mm
    (shared,) = found.shared
    assert shared.standard_uncertainty == pytest.approx(0.015 * math.sqrt(0.5))
    assert [one.shared_uncertainty_mm for one in found.readings] == pytest.approx(
        [0.03 * math.sqrt(0.5)] * 2
    )


def test_readings_that_work_parts_are_not_pooled() -> None:
    for step in (grind(), grind(0.01), grind(None, Place(station="tip"))):
        found = left(
            read(0, height(1.160, u=0.03)), visit(1, steps=(step,)), read(2, height(1.140, u=0.05))
        )
        assert (found.left.value_mm, found.left.rests_on) == (1.140, ("r002",))


# GUM 5.2.2, derived: 0.03 is beyond 0.02 by one named gauge and beyond 0.0283 by two; 0.024 only
# beyond the first. Where nobody names the gauge it may have been another.
@pytest.mark.parametrize(
    ("first", "second", "rises"), [("A", "A", True), ("A", "B", False), (None, None, False)]
)
def test_a_rise_by_one_named_gauge_shows_sooner(
    first: str | None, second: str | None, rises: bool
) -> None:
    found = left(
        read(0, height(1.700, instrument=first)), read(1, height(1.724, instrument=second))
    )
    assert found.readings[1].rises is rises


# Scatter, derived as in test_levels: 1.715, u 0.015 with 1.653 degrees of freedom, cut at 1.68.
# A stated grind adds nothing that shows, and the degrees of freedom go along with the figure.
def test_degrees_of_freedom_go_along() -> None:
    readings = (
        read(0, height(1.70, instrument="A")),
        visit(1, steps=(grind(0.0005),)),
        read(2, height(1.73, instrument="B")),
    )
    found = left(*readings)
    assert found.left.degrees_of_freedom == pytest.approx(1.653, abs=5e-4)
    assert found.left.coverage_factor > 5.0
    assert found.reserve.degrees_of_freedom == found.left.degrees_of_freedom
    assert found.left.standard_uncertainty_mm == pytest.approx(0.035 / found.left.coverage_factor)
    assert found.left.confidence == "about 95 %"
    ground = left(*readings, visit(3, steps=(grind(),)))
    assert ground.left.degrees_of_freedom is not None
    assert ground.left.degrees_of_freedom > 100.0
    assert ground.left.confidence == "about 95 % if practice holds"


# Derived from the practice of a stone grind, 0.02 to 0.05 to 0.12 mm: each side by itself.
def test_unstated_work_goes_by_practice_and_says_so() -> None:
    found = left(read(0, height(1.70)), visit(1, steps=(grind(), Step("wax"))))
    assert found.left.value_mm == pytest.approx(1.65)
    assert found.left.low_mm == pytest.approx(1.65 - math.hypot(0.02, 0.07))
    assert found.left.high_mm == pytest.approx(1.65 + math.hypot(0.02, 0.03))
    assert found.left.basis == "readings less practice"
    assert found.reserve.basis == "readings less practice"
    assert found.at_last_reading.basis == "readings"
    assert found.taken_since.unstated_steps == 1


def test_work_before_a_reading_is_in_the_reading() -> None:
    found = left(
        visit(0, steps=(grind(0.3),)),
        visit(1, steps=(grind(0.2),), readings=(height(1.70),)),
    )
    assert found.left.value_mm == pytest.approx(1.70)
    assert found.taken_since.steps == 0


def test_a_reading_before_the_work_of_its_own_job_is_followed_by_it() -> None:
    found = left(visit(0, steps=(grind(0.2),), readings=(height(1.70, moment="before"),)))
    assert found.left.value_mm == pytest.approx(1.50)


def test_nothing_is_left_below_zero() -> None:
    found = left(read(0, height(0.10)), visit(1, steps=(grind(0.3),)))
    assert (found.left.value_mm, found.left.low_mm, found.left.high_mm) == (0.0, 0.0, 0.0)
    assert left(read(0, height(0.01))).left.low_mm == 0.0


def test_an_unstated_uncertainty_is_practice_and_marked() -> None:
    found = left(read(0, height(1.70, u=None)))
    assert found.left.expanded_uncertainty_mm == pytest.approx(0.05)
    assert found.readings[0].uncertainty_assumed
    assert not left(read(0, height(1.70))).readings[0].uncertainty_assumed


# GUM 4.3.7, derived: no reading is surer than its step of 0.001 mm.
def test_a_reading_is_never_surer_than_its_step() -> None:
    found = left(read(0, height(1.70, u=0.0)))
    assert found.left.expanded_uncertainty_mm == pytest.approx(2.0 * 0.001 / math.sqrt(12.0))


def test_edges_places_and_quantities_are_series_of_their_own() -> None:
    found = material(
        read(
            0,
            height(1.70, "left"),
            height(1.60, "left", station="waist"),
            height(1.50, "left", position_mm=600),
            height(1.40, "right"),
            height(2.00, "left", quantity="edge_width"),
            thickness(1.30),
        )
    )
    keys = [(one.quantity, one.edge, one.station, one.position_mm) for one in found.known]
    assert keys == [
        ("base_thickness", None, None, None),
        ("edge_height", "left", None, None),
        ("edge_height", "left", None, 600),
        ("edge_height", "left", "waist", None),
        ("edge_height", "right", None, None),
        ("edge_width", "left", None, None),
    ]
    scarcest = found.least("edge_height", "left")
    assert scarcest is not None
    assert scarcest.position_mm == 600
    assert [(one.quantity, one.edge) for one in found.unknown] == [("edge_width", "right")]
    thinnest = found.least("base_thickness")
    assert thinnest is not None
    assert thinnest.left.value_mm == pytest.approx(1.30)


def test_never_measured_is_unknown_with_what_to_measure() -> None:
    found = material(visit(0, steps=(grind(),)))
    assert found.known == ()
    assert found.least("edge_height", "left") is None
    assert len(found.unknown) == 5
    assert found.unknown[0].since is None
    assert found.unknown[0].sentence.startswith("Nobody measured the edge height of the left edge.")


def test_a_ski_without_readings_still_has_what_the_work_took() -> None:
    found = material(visit(0, steps=(grind(), grind(0.04))), visit(1, steps=(Step("side_bevel"),)))
    height_left, _, width_left, _, base = found.taken
    assert (height_left.steps, height_left.unstated_steps) == (2, 1)
    assert height_left.stated_mm == pytest.approx(0.04)
    assert (height_left.low_mm, height_left.usual_mm, height_left.high_mm) == (0.02, 0.05, 0.12)
    assert height_left.basis == "practice"
    assert height_left.rests_on == ("r000",)
    assert (width_left.steps, width_left.rests_on) == (1, ("r001",))
    assert base.stated_mm == pytest.approx(0.04)


def test_work_on_one_edge_leaves_the_other() -> None:
    found = material(
        read(0, height(2.0, quantity="edge_width"), height(2.0, "right", quantity="edge_width")),
        visit(1, steps=(Step("side_bevel", edges=("right",), edge_width_removed_mm=0.1),)),
    )
    assert [one.left.value_mm for one in found.known] == pytest.approx([2.0, 1.9])


@pytest.mark.parametrize(
    ("worked", "value", "low", "unstated"),
    [
        (Place(station="waist"), 1.60, 1.58, 0),
        (Place(station="tip"), 1.70, 1.68, 0),
        # Perhaps here: nothing is taken off, and the lower limit reaches for it.
        (Place(position_mm=600), 1.70, 1.70 - math.hypot(0.02, 0.10), 1),
    ],
)
def test_work_at_one_place(worked: Place, value: float, low: float, unstated: int) -> None:
    reading = read(0, height(1.70, station="waist"))
    found = left(reading, visit(1, steps=(grind(0.10, worked),)))
    assert found.left.value_mm == pytest.approx(value)
    assert found.left.low_mm == pytest.approx(low, abs=1e-4)
    assert found.taken_since.unstated_steps == unstated


def test_unstated_work_that_was_perhaps_here_may_have_taken_nothing() -> None:
    found = left(read(0, height(1.70)), visit(1, steps=(grind(None, Place(station="tip")),)))
    assert (found.taken_since.low_mm, found.taken_since.usual_mm) == (0.0, 0.0)
    assert found.taken_since.high_mm == pytest.approx(0.12)
    assert found.left.basis == "readings less practice"


def test_a_new_edge_starts_anew_and_its_past_is_shown_apart() -> None:
    new = Step("replace_edge", edges=("left",))
    found = material(
        read(0, height(1.20), height(1.30, "right")),
        visit(1, steps=(grind(0.1), new)),
        read(2, height(1.80)),
        visit(3, steps=(grind(0.05),)),
    )
    series = found.least("edge_height", "left")
    assert series is not None
    assert series.left.value_mm == pytest.approx(1.75)
    assert [one.value_mm for one in series.readings] == [1.80]
    assert not series.readings[0].rises
    (gone,) = found.replaced
    assert (gone.edge, gone.replaced_by) == ("left", "r001")
    assert [(one.value_mm, one.fitted_mm) for one in gone.readings] == [(1.20, None)]
    assert found.taken[0].stated_mm == pytest.approx(0.05)
    assert found.taken[1].stated_mm == pytest.approx(0.15)


def test_a_new_edge_that_nobody_measured_is_unknown() -> None:
    found = material(read(0, height(1.20)), visit(1, steps=(Step("replace_edge"),)))
    assert found.least("edge_height", "left") is None
    assert found.unknown[0].since == "r001"
    assert "since the edge was replaced on 2024-01-02" in found.unknown[0].sentence
    assert len(found.replaced) == 1


def test_a_base_is_not_replaced_with_an_edge() -> None:
    found = material(read(0, thickness(1.2)), visit(1, steps=(Step("replace_edge"),)))
    assert found.replaced == ()
    assert found.least("base_thickness") is not None


@pytest.mark.parametrize(("station", "replaced"), [("waist", 1), ("tip", 0)])
def test_a_piece_of_new_edge_ends_the_readings_of_its_place(station: str, replaced: int) -> None:
    piece = Step("replace_edge", place=Place(station="waist"))
    found = material(read(0, height(1.20, station=station)), visit(1, steps=(piece,)))
    assert len(found.replaced) == replaced


def test_a_reading_without_an_edge_speaks_of_neither_edge() -> None:
    found = material(read(0, height(1.20, None)), visit(1, steps=(grind(0.1),)))
    assert [one.edge for one in found.known] == [None]
    assert found.known[0].left.value_mm == pytest.approx(1.1)
    assert len(found.unknown) == 5

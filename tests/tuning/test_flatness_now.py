"""Profiles of a history: the groove left out, stations apart, and what each way to flat takes."""

from dataclasses import replace

import pytest

from apps.tuning.condition import fold
from apps.tuning.figures import Length
from apps.tuning.flatness_now import FlatnessNow
from apps.tuning.history import BaseProfile, GrooveStatement, Place, Step, Visit
from apps.tuning.practice import Practice
from tests.tuning.visits import TODAY, grind, visit

X = (0.0, 5.0, 14.0, 29.0, 33.0, 37.0, 52.0, 61.0, 66.0)
HOLLOW = (0.0, 90.0, 120.0, 140.0, 140.0, 140.0, 120.0, 90.0, 0.0)
GROOVED = (0.0, 90.0, 120.0, 600.0, 640.0, 600.0, 120.0, 90.0, 0.0)


def told(*visits: Visit) -> tuple[FlatnessNow, ...]:
    return fold(visits, practice=Practice(), today=TODAY).flatness


def laid(*profiles: BaseProfile, number: int = 1) -> Visit:
    return visit(number, profiles=profiles)


def described(width_mm: float) -> Visit:
    return replace(visit(0, kind="description"), centre_groove=GrooveStatement(width_mm, False))


def value(length: Length | None) -> float:
    assert length is not None
    return length.value_mm


def test_a_described_groove_is_left_out_and_named() -> None:
    (now,) = told(described(9.0), laid(BaseProfile(X, GROOVED)))
    assert (now.shape, now.points, now.left_out) == ("concave", 9, 3)
    assert value(now.straightness) == pytest.approx(0.120)
    assert now.straightness is not None
    assert now.straightness.rests_on == ("r000", "r001")


def test_a_base_said_to_have_no_groove_is_read_as_it_is() -> None:
    (now,) = told(described(0.0), laid(BaseProfile(X, GROOVED)))
    assert now.left_out == 0
    assert value(now.straightness) == pytest.approx(0.640)
    assert now.straightness is not None
    assert now.straightness.rests_on == ("r001",)


def test_what_looks_like_a_groove_nobody_stated_leaves_the_shape_unknown() -> None:
    (now,) = told(laid(BaseProfile(X, GROOVED)))
    assert (now.shape, now.straightness, now.ways) == (None, None, None)
    assert "lies 0.52 mm deeper" in now.sentence
    assert "State centre_groove_width_mm" in now.sentence


def test_all_points_over_the_groove() -> None:
    (now,) = told(described(9.0), laid(BaseProfile((29.0, 33.0, 37.0), (0.0, 5.0, 0.0))))
    assert now.shape is None
    assert "0 of 3 points lie beside the centre groove" in now.sentence


def test_stations_are_told_apart() -> None:
    flat = BaseProfile(X, (0.0,) * 9, Place(position_mm=1500))
    crowned = BaseProfile(X, tuple(150.0 - gap for gap in HOLLOW), Place(position_mm=300))
    found = told(laid(BaseProfile(X, HOLLOW, Place(position_mm=900)), flat, crowned))
    shapes = {now.place.position_mm: now.shape for now in found}
    assert shapes == {300: "convex", 900: "concave", 1500: "flat"}


# By hand, for gaps within 0.01 mm (k = 2): the grind goes down to the middle, the tolerance of
# 0.1 mm saves that much, and a bar on 5 and 61 mm leaves 0.05 mm between the filed edges.
def test_the_ways_to_a_flatter_base() -> None:
    (now,) = told(laid(BaseProfile(X, HOLLOW, uncertainty_um=10.0)))
    assert now.ways is not None
    assert value(now.ways.to_flat.left_edge) == pytest.approx(0.140)
    assert value(now.ways.to_tolerance.left_edge) == pytest.approx(0.040)
    assert now.ways.to_flat.shape_after == "flat"
    filed = now.ways.edges_only
    assert filed is not None
    assert value(filed.left_edge) == value(filed.right_edge) == pytest.approx(0.090)
    assert filed.shape_after == "flat"
    assert value(filed.straightness_after) == pytest.approx(0.050)
    assert filed.left_edge.rests_on == ("r001",)
    assert "2 mm by practice" in filed.left_edge.method
    # Drawn out from 5 and 61 mm to 0: 1 + (61/56)^2 + (5/56)^2 of a reading's variance.
    assert filed.left_edge.expanded_uncertainty_mm == pytest.approx(0.0148, abs=1e-4)


def test_a_base_flat_enough_needs_no_grind_to_its_tolerance() -> None:
    (now,) = told(laid(BaseProfile(X, tuple(gap / 10 for gap in HOLLOW))))
    assert now.ways is not None
    to_tolerance = now.ways.to_tolerance.greatest
    assert (to_tolerance.value_mm, to_tolerance.high_mm) == (0.0, 0.0)
    assert now.ways.to_flat.greatest.value_mm == pytest.approx(0.014)


def test_too_few_points_between_the_edges_leave_that_way_open() -> None:
    (now,) = told(laid(BaseProfile((0.0, 33.0, 66.0), (0.0, 60.0, 0.0))))
    assert now.ways is not None
    assert now.ways.edges_only is None
    assert value(now.ways.to_flat.left_edge) == pytest.approx(0.060)


# One gap within 0.01 mm by practice; what the record states stands before it.
@pytest.mark.parametrize(("stated_um", "off_mm"), [(None, 0.01414), (50.0, 0.0707), (0.0, 0.0)])
def test_how_sure_a_straightness_is(stated_um: float | None, off_mm: float) -> None:
    (now,) = told(laid(BaseProfile(X, HOLLOW, uncertainty_um=stated_um)))
    assert now.straightness is not None
    assert now.straightness.expanded_uncertainty_mm == pytest.approx(off_mm, abs=1e-4)


def test_a_profile_of_two_points_says_why_it_tells_nothing() -> None:
    (now,) = told(laid(BaseProfile((0.0, 66.0), (0.0, 0.0))))
    assert (now.shape, now.points) == (None, 2)
    assert "at least 3 are needed" in now.sentence


# On one day without times a profile from before the work comes first, so the grind makes it stale.
def test_a_profile_of_its_own_from_before_the_work() -> None:
    before = visit(
        1, record="p", kind="measurement", profiles=(BaseProfile(X, HOLLOW, moment="before"),)
    )
    (now,) = told(visit(1, record="j", steps=(grind(),)), before)
    assert now.stale_since == "j"


# Either takes the base down where it works: the bar would read otherwise.
@pytest.mark.parametrize("operation", ["scrape_steel", "spot_flatten"])
def test_work_on_the_shape_of_the_base_makes_a_profile_stale(operation: str) -> None:
    profile = laid(BaseProfile(X, HOLLOW))
    (now,) = told(profile, visit(9, record="j", steps=(Step(operation),)))
    assert now.stale_since == "j"
    (kept,) = told(profile, visit(9, record="j", steps=(Step("wax"),)))
    assert kept.stale_since is None

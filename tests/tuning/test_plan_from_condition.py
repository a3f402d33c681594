"""From the folded condition to what a plan needs: scarcest material, worst shape, whole edge."""

from dataclasses import replace
from datetime import date

from apps.tuning.condition import Condition, Counts, EdgePasses, FlatnessNow, OpenFinding, Use
from apps.tuning.figures import FigureBasis, Length
from apps.tuning.history import Edge, MaterialQuantity, Place
from apps.tuning.material import Material, MaterialLeft
from apps.tuning.plan_amounts import Bounded, Budget
from apps.tuning.plan_from_condition import bench_state
from apps.tuning.plan_state import BevelState, CrossShape
from apps.tuning.series import TakenSince
from apps.tuning.services import ServiceRate, ServicesLeft
from apps.tuning.standing import BevelNow, EdgeBevels, Face, Standing, StatedBevel
from tests.tuning.plan_cases import RECORD, finding

DAY = date(2025, 1, 10)


def length(value: float, spread: float = 0.0, basis: FigureBasis = "readings") -> Length:
    return Length(value, value - spread, value + spread, "own", basis, (RECORD,))


def bevel(
    edge: Edge,
    face: Face,
    deg: float | None,
    standing: Standing = "stands",
    facet: Length | None = None,
) -> BevelNow:
    stated = None
    if deg is not None:
        stated = StatedBevel(
            bevel_deg=deg,
            expanded_uncertainty_deg=0.1,
            uncertainty_assumed=False,
            basis="set",
            record=RECORD,
            day=DAY,
        )
    return BevelNow(
        edge=edge,
        face=face,
        station_from_mm=None,
        station_to_mm=None,
        standing=standing,
        stated=stated,
        facet=facet,
        since=None,
        since_day=None,
        sentence="",
        doubtful_places=(),
        rests_on=(),
    )


def left_at(
    quantity: MaterialQuantity, edge: Edge | None, position: int, left: Length
) -> MaterialLeft:
    rate = ServiceRate(0.0, 0.0, 0.0, "practice")
    return MaterialLeft(
        quantity=quantity,
        edge=edge,
        station=None,
        position_mm=position,
        left=left,
        at_last_reading=left,
        taken_since=TakenSince(0.0, 0.0, 0.0, 0.0, 0, 0, ()),
        reserve=left,
        least_mm=0.0,
        services=ServicesLeft(None, None, None, rate),
        readings=(),
    )


def flatness(
    hollow: float | None, crown: float | None, *, stale_since: str | None = None
) -> FlatnessNow:
    return FlatnessNow(
        place=Place(),
        shape=None if hollow is None else "concave",
        straightness=None,
        hollow=None if hollow is None else length(hollow),
        crown=None if crown is None else length(crown),
        tolerance_mm=0.1,
        record=RECORD,
        day=DAY,
        stale_since=stale_since,
        sentence="",
    )


CONDITION = Condition(
    as_of=DAY,
    bevels=(
        EdgeBevels(
            "left",
            base=(bevel("left", "base", 1.0, facet=length(2.0, 0.2)),),
            side=(bevel("left", "side", 2.0),),
        ),
        EdgeBevels(
            "right",
            base=(bevel("right", "base", 1.0, facet=length(2.0, 0.5, "practice")),),
            side=(bevel("right", "side", None, "never_stated"),),
        ),
    ),
    material=Material(
        known=(
            left_at("edge_height", "left", 300, length(1.6, 0.05)),
            left_at("edge_height", "left", 900, length(1.5, 0.05)),
            left_at("edge_height", "right", 900, length(1.7, 0.05)),
            left_at("base_thickness", None, 900, length(1.25, 0.125)),
        ),
        unknown=(),
        taken=(),
    ),
    flatness=(flatness(0.05, 0.0), flatness(0.02, 0.03), flatness(0.9, 0.9, stale_since=RECORD)),
    open_findings=(OpenFinding(finding("gouge"), DAY, "shop@example.invalid"),),
    status=None,
    use=Use(None, None, None, None, None, ()),
    counts=Counts(0, 0, 0, (EdgePasses("left", 0, 0), EdgePasses("right", 0, 0)), ()),
    warnings=(),
)


def test_the_scarcest_place_is_what_is_left() -> None:
    state = bench_state(CONDITION)
    assert state.left_mm(Budget("edge_height", "left")) == Bounded(1.5, 1.45, 1.55)
    assert state.left_mm(Budget("edge_height", "right")) == Bounded(1.7, 1.65, 1.75)
    assert state.left_mm(Budget("base_thickness")) == Bounded(1.25, 1.125, 1.375)
    assert state.left_mm(Budget("edge_width", "left")) is None


def test_one_plane_serves_every_profile_that_holds() -> None:
    assert bench_state(CONDITION).shape == CrossShape(Bounded.reading(0.05), Bounded.reading(0.03))


# A hollow of 0.05 within 0.001 and one of 0.04 within 0.03: a grind may have to go to 0.07.
def test_the_deepest_hollow_keeps_the_upper_limit_of_every_profile() -> None:
    sharp = replace(flatness(0.05, 0.0), hollow=length(0.05, 0.001))
    blunt = replace(flatness(0.04, 0.0), hollow=length(0.04, 0.03))
    shape = bench_state(replace(CONDITION, flatness=(sharp, blunt))).shape
    assert shape is not None
    assert shape.hollow_mm == Bounded(0.05, 0.05 - 0.001, 0.04 + 0.03)


# Likewise of steel at two places: 1.55 within 0.01, and 1.60 within 0.20.
def test_the_scarcest_place_keeps_the_limits_of_every_place() -> None:
    places = tuple(
        left_at("edge_height", "left", place, length(value, spread))
        for place, value, spread in ((300, 1.55, 0.01), (900, 1.60, 0.20))
    )
    material = replace(CONDITION.material, known=places)
    left = bench_state(replace(CONDITION, material=material)).left_mm(Budget("edge_height", "left"))
    assert left == Bounded(1.55, 1.60 - 0.20, 1.55 + 0.01)


def test_a_depth_has_no_limit_below_nothing() -> None:
    flat = replace(flatness(0.0, 0.0), hollow=length(0.0, 0.01), crown=length(0.02, 0.01))
    shape = bench_state(replace(CONDITION, flatness=(flat,))).shape
    assert shape == CrossShape(Bounded(0.0, 0.0, 0.01), Bounded(0.02, 0.01, 0.03))


def test_profiles_that_no_longer_hold_leave_the_shape_unknown() -> None:
    stale = replace(CONDITION, flatness=(flatness(0.9, 0.9, stale_since=RECORD),))
    assert bench_state(stale).shape is None
    unread = replace(CONDITION, flatness=(flatness(None, None),))
    assert bench_state(unread).shape is None


def test_bevels_keep_their_standing_and_uncertainty() -> None:
    state = bench_state(CONDITION)
    assert state.left.base_bevel == BevelState("stands", Bounded(1.0, 0.9, 1.1))
    assert state.right.side_bevel == BevelState("never_stated")


def test_a_facet_by_practice_is_known_as_such() -> None:
    state = bench_state(CONDITION)
    assert (state.left.facet_width_mm, state.left.facet_measured) == (Bounded(2.0, 1.8, 2.2), True)
    assert (state.right.facet_width_mm, state.right.facet_measured) == (
        Bounded(2.0, 1.5, 2.5),
        False,
    )
    assert state.right.side_bevel.known_deg is None


def test_an_edge_without_a_facet_stays_without() -> None:
    bare = bevel("left", "base", 1.0, "ground_away")
    left = EdgeBevels("left", base=(bare,), side=CONDITION.bevels[0].side)
    state = bench_state(replace(CONDITION, bevels=(left, CONDITION.bevels[1])), 8.0)
    assert state.left.facet_width_mm is None
    assert state.left.base_bevel.known_deg == Bounded(0.0, 0.0, 0.0)
    assert state.centre_groove_width_mm == 8.0


def test_open_findings_come_along() -> None:
    assert [found.what for found in bench_state(CONDITION).findings] == ["gouge"]

"""Standing of bevels: what was set or measured, against the work that came after."""

import math

import pytest

from apps.tuning.bevels import FACET_ASSUMED, FACET_GROUND, FACET_RECORDED, bevels_of
from apps.tuning.edge_steel import facet_after_grind_mm
from apps.tuning.history import BevelStatement, Edge, Place, Step, Visit, in_order
from apps.tuning.practice import Practice
from apps.tuning.standing import BevelNow, EdgeBevels
from tests.tuning.visits import base, grind, side, visit

PRACTICE = Practice()


def edges(*visits: Visit) -> tuple[EdgeBevels, EdgeBevels]:
    return bevels_of(in_order(visits), practice=PRACTICE)


def base_now(*visits: Visit) -> BevelNow:
    return edges(*visits)[0].base_bevel


def side_now(*visits: Visit) -> BevelNow:
    return edges(*visits)[0].side_bevel


def setting(number: int, *bevels: BevelStatement) -> Visit:
    return visit(number, kind="bevel-setting", bevels=bevels)


def test_nothing_on_record_is_never_stated() -> None:
    left, right = edges()
    assert (left.edge, right.edge) == ("left", "right")
    for now in (*left.base, *left.side, *right.base, *right.side):
        assert (now.standing, now.stated, now.facet, now.since) == (
            "never_stated",
            None,
            None,
            None,
        )
        assert now.sentence == "Nobody stated it."
        assert now.rests_on == ()


def test_what_was_set_stands_until_it_is_ground() -> None:
    now = base_now(setting(0, base(1.0, facet=2.0)), visit(1, steps=(Step("wax"),)))
    assert now.standing == "stands"
    assert now.stated is not None
    assert (now.stated.bevel_deg, now.stated.expanded_uncertainty_deg) == (1.0, 0.1)
    assert (now.since, now.since_day) == ("r000", now.stated.day)
    assert now.facet is not None
    assert (now.facet.value_mm, now.facet.method, now.facet.basis) == (
        2.0,
        FACET_RECORDED,
        "readings",
    )
    assert (now.facet.low_mm, now.facet.high_mm) == pytest.approx((1.95, 2.05))
    assert (
        now.sentence == "Set to 1 deg on 2024-01-01. Not ground since; it has a facet of 2.00 mm."
    )


# Derived: w - g / tan b, w 2, b 1, g 0.02 leaves 0.854201 (recomputed from tan 1 = 0.0174551).
def test_a_grind_of_known_depth_leaves_the_rest_of_the_facet() -> None:
    now = base_now(setting(0, base(1.0, facet=2.0)), visit(1, steps=(grind(0.02),)))
    assert now.standing == "partly_ground_away"
    assert now.facet is not None
    assert now.facet.value_mm == pytest.approx(0.854201, abs=1e-6)
    # GUM equation 10, derived: dw, dg / tan b and g db / sin^2 b, all k = 2.
    angle = math.radians(1.0)
    step = 2.0 * 0.001 / math.sqrt(12.0)
    by_bevel = 0.02 * math.radians(0.1) / math.sin(angle) ** 2
    unsure = math.hypot(0.05, step / math.tan(angle), by_bevel)
    assert now.facet.expanded_uncertainty_mm == pytest.approx(unsure)
    assert (now.facet.method, now.since) == (FACET_GROUND, "r001")
    assert now.facet.rests_on == ("r000", "r001")
    assert now.rests_on == ("r000", "r001")
    assert "0.85 mm of it is left" in now.sentence


def test_several_grinds_add_up() -> None:
    setting_day = setting(0, base(1.0, facet=2.0))
    grinds = [visit(n, steps=(grind(0.015),)) for n in (1, 2, 3)]
    two, three = base_now(setting_day, *grinds[:2]), base_now(setting_day, *grinds)
    assert two.facet is not None
    assert two.facet.value_mm == pytest.approx(facet_after_grind_mm(2.0, 1.0, 0.03))
    assert (two.standing, two.since) == ("partly_ground_away", "r002")
    assert three.standing == "ground_away"
    assert three.facet is not None
    assert three.facet.value_mm == 0.0
    assert three.since == "r003"
    assert "nothing of it is left" in three.sentence
    later = base_now(setting_day, *grinds, visit(4, steps=(grind(0.1),)))
    assert later.since == "r003"


def test_base_taken_stands_for_steel_taken() -> None:
    step = Step("belt_grind", base_removed_mm=0.02)
    now = base_now(setting(0, base(1.0, facet=2.0)), visit(1, steps=(step,)))
    assert now.facet is not None
    assert now.facet.value_mm == pytest.approx(0.854201, abs=1e-6)


def test_a_grind_of_unknown_depth_makes_it_uncertain() -> None:
    now = base_now(
        setting(0, base(1.0, facet=2.0)),
        visit(1, steps=(grind(),)),
        visit(2, steps=(grind(),)),
        visit(3, steps=(grind(0.01),)),
    )
    assert (now.standing, now.since, now.facet) == ("uncertain", "r001", None)
    assert now.stated is not None
    assert now.sentence.endswith("Worked on 2024-01-02 to an unknown depth.")
    assert now.rests_on == ("r000", "r003", "r001")


# Derived: whatever the unknown grind took, the known one went through the whole facet.
def test_a_known_grind_through_the_facet_outweighs_an_unknown_one() -> None:
    now = base_now(
        setting(0, base(1.0, facet=2.0)),
        visit(1, steps=(grind(),)),
        visit(2, steps=(grind(0.05),)),
    )
    assert (now.standing, now.since) == ("ground_away", "r002")


def test_a_grind_that_took_nothing_changes_nothing() -> None:
    now = base_now(setting(0, base(1.0, facet=2.0)), visit(1, steps=(grind(0.0),)))
    assert now.standing == "stands"


def test_a_facet_nobody_measured_is_assumed_and_says_so() -> None:
    now = base_now(setting(0, base(1.0)))
    assert now.facet is not None
    assert (now.facet.value_mm, now.facet.method, now.facet.basis) == (
        2.0,
        FACET_ASSUMED,
        "practice",
    )
    assert now.facet.expanded_uncertainty_mm == pytest.approx(0.5)
    ground = base_now(setting(0, base(1.0)), visit(1, steps=(grind(0.02),)))
    assert ground.facet is not None
    assert ground.facet.basis == "practice"
    assert "assumed by practice" in ground.sentence


def test_a_facet_recorded_as_nothing_is_gone_with_the_first_grind() -> None:
    stated = setting(0, base(1.0, facet=0.0))
    assert base_now(stated).standing == "stands"
    assert base_now(stated, visit(1, steps=(grind(0.01),))).standing == "ground_away"


def test_a_bevel_of_nothing_has_no_facet_to_lose() -> None:
    now = base_now(setting(0, base(0.0)), visit(1, steps=(grind(0.5), grind())))
    assert (now.standing, now.facet, now.since) == ("stands", None, "r000")
    assert now.sentence.endswith("It has no facet.")
    measured = base_now(setting(0, base(0.0, basis="measured")))
    assert measured.sentence.startswith("Measured as 0 deg on 2024-01-01.")


def test_grinding_what_nobody_stated_leaves_it_never_stated() -> None:
    assert base_now(visit(0, steps=(grind(),))).standing == "never_stated"


# The order of steps in a job doesn't matter to what it says of its end.
@pytest.mark.parametrize(
    "statement",
    [base(0.7), base(0.7, basis="measured"), base(0.7, basis="measured", moment="after")],
)
def test_what_a_job_states_holds_at_its_end(statement: BevelStatement) -> None:
    job = visit(1, steps=(Step("base_bevel"), grind()), bevels=(statement,))
    now = base_now(setting(0, base(1.0)), job)
    assert now.standing == "stands"
    assert now.stated is not None
    assert (now.stated.bevel_deg, now.since) == (0.7, "r001")


def test_what_was_measured_before_the_work_is_worked_after() -> None:
    before = base(1.0, basis="measured", moment="before", facet=2.0)
    now = base_now(visit(0, steps=(grind(0.02),), bevels=(before,)))
    assert (now.standing, now.since) == ("partly_ground_away", "r000")


def test_base_bevel_work_without_a_statement_is_uncertain() -> None:
    now = base_now(
        setting(0, base(1.0)),
        visit(1, steps=(Step("base_bevel"),), bevels=(base(1.0, basis="specified"),)),
        visit(2, steps=(grind(0.5),)),
    )
    assert (now.standing, now.since) == ("uncertain", "r001")
    assert now.sentence.endswith("Worked on 2024-01-02 to a bevel nobody stated.")
    bare = base_now(visit(1, steps=(Step("base_bevel"),)))
    assert (bare.standing, bare.stated, bare.since) == ("uncertain", None, "r001")


def test_the_side_stands_through_grinds_and_falls_to_side_work() -> None:
    stands = side_now(setting(0, side(2.0)), visit(1, steps=(grind(), Step("polish_edge"))))
    assert (stands.standing, stands.facet) == ("stands", None)
    assert stands.sentence.endswith("Nothing has worked it since.")
    worked = side_now(setting(0, side(2.0)), visit(1, steps=(Step("side_bevel"),)))
    assert (worked.standing, worked.since) == ("uncertain", "r001")
    stated = side_now(visit(1, steps=(Step("side_bevel"),), bevels=(side(3.0),)))
    assert stated.standing == "stands"


def test_a_new_edge_is_never_stated_unless_its_job_states_it() -> None:
    new = Step("replace_edge", edges=("left",))
    whole, part = base(1.0), base(2.0, span=(100, 300))
    now = edges(setting(0, whole, part, side(2.0)), visit(1, steps=(new,)))[0]
    for bevel in (now.base_bevel, now.side_bevel):
        assert (bevel.standing, bevel.stated, bevel.since) == ("never_stated", None, "r001")
        assert bevel.sentence.startswith("The edge was replaced on 2024-01-02")
        assert bevel.rests_on == ("r001",)
    assert len(now.base) == 1
    stated = edges(visit(1, steps=(new,), bevels=(base(0.5),)))[0]
    assert stated.base_bevel.standing == "stands"
    assert stated.side_bevel.standing == "never_stated"


@pytest.mark.parametrize(("edge", "other"), [("left", "right"), ("right", "left")])
def test_the_edges_are_apart(edge: Edge, other: Edge) -> None:
    bevels = {
        one.edge: one
        for one in edges(
            setting(0, base(1.0, edge="left"), base(1.0, edge="right")),
            visit(1, steps=(Step("base_bevel", edges=(edge,)),)),
        )
    }
    assert bevels[edge].base_bevel.standing == "uncertain"
    assert bevels[other].base_bevel.standing == "stands"


def test_ranges_are_apart_until_the_whole_edge_is_stated() -> None:
    part = base(2.0, span=(100, 300))
    now = edges(setting(0, base(1.0)), setting(1, part))[0]
    assert [(one.station_from_mm, one.station_to_mm) for one in now.base] == [
        (None, None),
        (100, 300),
    ]
    assert [one.stated.bevel_deg for one in now.base if one.stated] == [1.0, 2.0]
    wider = edges(setting(0, base(1.0)), setting(1, part), setting(2, base(1.5, span=(50, 300))))[0]
    assert [one.station_from_mm for one in wider.base] == [None, 50]
    apart = edges(setting(1, part), setting(2, base(1.5, span=(200, 400))))[0]
    assert [one.station_from_mm for one in apart.base] == [None, 100, 200]
    assert apart.base_bevel.standing == "never_stated"
    again = edges(setting(1, part), setting(2, base(0.5)))[0]
    assert len(again.base) == 1


def test_a_grind_reaches_every_range() -> None:
    now = edges(
        setting(0, base(1.0, facet=2.0), base(2.0, facet=2.0, span=(100, 300))),
        visit(1, steps=(grind(0.05),)),
    )[0]
    assert [one.standing for one in now.base] == ["ground_away", "partly_ground_away"]


@pytest.mark.parametrize(
    ("place", "whole", "part"),
    [
        (Place(station="tip"), 1, 1),
        (Place(position_mm=350), 1, 0),
        (Place(position_mm=250), 1, 1),
        (Place(position_mm=50), 1, 1),
        (Place(position_mm=50, length_mm=20), 1, 0),
        (Place(position_mm=50, length_mm=50), 1, 1),
    ],
)
def test_work_at_one_place_is_a_doubt_there_and_no_more(
    place: Place, whole: int, part: int
) -> None:
    now = edges(
        setting(0, base(1.0), base(2.0, span=(100, 300)), side(2.0)),
        visit(1, steps=(grind(0.5, place),)),
    )[0]
    assert [len(one.doubtful_places) for one in now.base] == [whole, part]
    assert [one.standing for one in now.base] == ["stands", "stands"]
    assert now.base_bevel.doubtful_places[0].place == place
    assert now.base_bevel.rests_on == ("r000", "r001")
    assert now.side_bevel.doubtful_places == ()


def test_a_doubt_ends_with_the_next_statement() -> None:
    worked = visit(1, steps=(Step("base_bevel", place=Place(station="tip")),))
    assert len(base_now(setting(0, base(0.0)), worked).doubtful_places) == 1
    assert base_now(setting(0, base(1.0)), worked, setting(2, base(1.0))).doubtful_places == ()
    flat = visit(1, steps=(grind(0.5, Place(station="tip")),))
    assert base_now(setting(0, base(0.0)), flat).doubtful_places == ()


def test_what_a_maker_specified_is_apart_and_never_now() -> None:
    now = edges(
        setting(0, base(1.0, basis="specified"), side(2.0, basis="specified")),
        setting(1, base(0.5, basis="specified"), base(0.7, basis="specified", span=(0, 100))),
    )[0]
    assert now.base_bevel.standing == "never_stated"
    assert now.side_bevel.standing == "never_stated"
    assert [one.bevel_deg for one in now.specified_base] == [0.5, 0.7]
    assert [one.bevel_deg for one in now.specified_side] == [2.0]
    assert all(one.basis == "specified" for one in now.specified_base)


def test_measuring_a_bevel_keeps_the_facet_that_is_there() -> None:
    before = (setting(0, base(1.0, facet=2.0)), visit(1, steps=(grind(0.02),)))
    now = base_now(*before, setting(2, base(1.0, basis="measured")))
    assert now.standing == "stands"
    assert now.facet is not None
    assert now.facet.value_mm == pytest.approx(0.854201, abs=1e-6)
    assert now.facet.rests_on == ("r000", "r001")
    # Set anew, the facet is another one, and nobody measured it.
    anew = base_now(*before, setting(2, base(1.0)))
    assert anew.facet is not None
    assert anew.facet.basis == "practice"


@pytest.mark.parametrize("step", [grind(), grind(0.5)])
def test_measuring_after_doubtful_work_assumes_the_facet(step: Step) -> None:
    now = base_now(
        setting(0, base(1.0, facet=3.0)),
        visit(1, steps=(step,)),
        setting(2, base(0.5, basis="measured")),
    )
    assert now.facet is not None
    assert (now.facet.value_mm, now.facet.basis) == (2.0, "practice")


def test_a_flat_edge_that_measures_otherwise_gets_a_facet() -> None:
    now = base_now(setting(0, base(0.0)), setting(1, base(0.5, basis="measured")))
    assert now.facet is not None
    assert now.facet.value_mm == 2.0


def test_an_unstated_uncertainty_of_a_bevel_is_practice_and_marked() -> None:
    stated = base_now(setting(0, base(1.0, u=None))).stated
    assert stated is not None
    assert stated.uncertainty_assumed
    assert stated.expanded_uncertainty_deg == PRACTICE.bevel_uncertainty_deg

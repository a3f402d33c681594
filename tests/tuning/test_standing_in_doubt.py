"""Bevels that a grind may or may not have ground away, and facets that may be left of older ones.

The three zones are those of ISO 14253-1:2017; the numbers are worked by hand.
"""

import pytest

from apps.tuning.bevels import bevels_of
from apps.tuning.history import BevelStatement, Visit, in_order
from apps.tuning.practice import Practice
from apps.tuning.standing import BevelNow
from tests.tuning.visits import base, grind, visit


def base_now(*visits: Visit) -> BevelNow:
    return bevels_of(in_order(visits), practice=Practice())[0].base_bevel


def setting(number: int, *bevels: BevelStatement) -> Visit:
    return visit(number, kind="bevel-setting", bevels=bevels)


# 2 - 0.036 / tan 1 = -0.062, and the facet of 2 mm is only assumed within 0.5 mm.
def test_a_grind_through_a_facet_that_is_only_assumed_leaves_doubt() -> None:
    now = base_now(setting(0, base(1.0)), visit(1, steps=(grind(0.036),)))
    assert (now.standing, now.since) == ("uncertain", "r001")
    assert now.facet is not None
    assert (now.facet.value_mm, now.facet.low_mm, now.facet.basis) == (0.0, 0.0, "practice")
    assert now.facet.high_mm > 0.4
    assert "can't be told, at most 0." in now.sentence


# 2 - 0.030 / tan 1 = 0.281: something is likely left, yet 0.5 mm of doubt reach below nothing.
def test_a_facet_that_is_likely_left_is_not_surely_left() -> None:
    now = base_now(setting(0, base(1.0)), visit(1, steps=(grind(0.030),)))
    assert now.standing == "uncertain"
    assert base_now(setting(0, base(1.0)), visit(1, steps=(grind(0.01),))).standing == (
        "partly_ground_away"
    )


# 2 - 0.2 / tan 1 = -9.5, far beyond what the facet may be off.
def test_a_grind_far_through_the_facet_leaves_no_doubt() -> None:
    now = base_now(setting(0, base(1.0)), visit(1, steps=(grind(0.036),)), visit(2), ground(3, 0.2))
    assert (now.standing, now.since) == ("ground_away", "r003")
    assert now.sentence.endswith("nothing of it is left.")


def ground(number: int, depth_mm: float) -> Visit:
    return visit(number, steps=(grind(depth_mm),))


# The facet was 1.2 mm within 0.05 mm by practice, and no grind makes a facet wider.
def test_measuring_after_an_unknown_grind_never_widens_the_facet() -> None:
    set_once = setting(0, base(1.0, facet=1.2))
    again = setting(2, base(1.0, basis="measured"))
    now = base_now(set_once, visit(1, steps=(grind(),)), again)
    assert (now.standing, now.stated is not None) == ("stands", True)
    assert now.facet is not None
    assert now.facet.value_mm <= 1.2
    assert (now.facet.low_mm, now.facet.high_mm) == pytest.approx((0.0, 1.25))
    assert (now.facet.basis, now.facet.rests_on) == ("practice", ("r000", "r002"))


# The facet was at most 2 + 0.5 mm by practice; the doubtful grind of 0.036 took 2.06 of it.
def test_measuring_after_a_doubtful_grind_keeps_what_may_be_left_as_the_limit() -> None:
    before = (setting(0, base(1.0)), visit(1, steps=(grind(0.036),)))
    doubtful = base_now(*before).facet
    now = base_now(*before, setting(2, base(1.0, basis="measured")))
    assert doubtful is not None
    assert now.facet is not None
    assert now.facet.high_mm == pytest.approx(doubtful.high_mm)
    assert now.facet.low_mm == pytest.approx(0.0)
    assert now.facet.rests_on == ("r000", "r001", "r002")

"""A declared radius beside those found: half steps of print, limits of the chord form, verdicts."""

import math

import numpy as np
import pytest

from apps.tuning.declared_radius import (
    FoundRadius,
    chord_radius_limits,
    compare_declared,
    declared_half_step_m,
    printed_uncertainty_mm,
)
from apps.tuning.errors import (
    NotFiniteError,
    OutOfRangeError,
    SidecutImpossibleError,
    TuningError,
)
from apps.tuning.sidecut import radius_chord_m
from apps.tuning.sidecut_fit import RadiusLimits

CHORD = FoundRadius("chord", 15.8, RadiusLimits(15.5, 16.2))
CIRCLE = FoundRadius("least-squares", 17.0, RadiusLimits(16.9, 17.1))


# Common practice, no source: print in whole metres unless it shows a tenth.
@pytest.mark.parametrize(("declared", "half"), [(16.0, 0.5), (16.5, 0.05), (15.9, 0.05)])
def test_half_a_step_of_the_print(declared: float, half: float) -> None:
    assert declared_half_step_m(declared) == half


# JCGM 100:2008, 4.3.7: rectangular, k = 2; 0.57735 and 0.057735 of whole and tenth millimetres.
@pytest.mark.parametrize(("width", "off"), [(68.0, 0.57735), (68.5, 0.057735)])
def test_how_sure_a_printed_width_is(width: float, off: float) -> None:
    assert printed_uncertainty_mm(width) == pytest.approx(off, abs=1e-6)


# By hand: 0.2 over sqrt(0.4^2 + 0.5^2) on the upper side, 1.0 over sqrt(0.1^2 + 0.5^2) below.
def test_a_declared_radius_agrees_with_the_ways_within_reach() -> None:
    found = compare_declared(16.0, [CHORD, CIRCLE])
    chord, circle = found.comparisons
    assert chord.difference_m == pytest.approx(-0.2)
    assert chord.normalized_error == pytest.approx(0.2 / math.hypot(0.4, 0.5))
    assert circle.normalized_error == pytest.approx(1.0 / math.hypot(0.1, 0.5))
    assert (chord.agrees, circle.agrees, found.nearest) == (True, False, "chord")
    assert found.sentence == "The declared 16 m agrees with the radius by chord."


def test_a_declared_radius_that_no_way_gives() -> None:
    found = compare_declared(12.5, [CHORD, CIRCLE])
    assert [one.agrees for one in found.comparisons] == [False, False]
    assert "agrees with no radius" in found.sentence
    assert found.half_step_m == 0.05


def test_a_radius_without_upper_limit_contradicts_nothing_above_it() -> None:
    open_above = FoundRadius("chord", 15.8, RadiusLimits(12.0, None))
    (one,) = compare_declared(30.0, [open_above]).comparisons
    assert (one.normalized_error, one.agrees) == (None, True)


def test_nothing_to_hold_it_against() -> None:
    found = compare_declared(16.0, [])
    assert (found.comparisons, found.nearest) == ((), None)
    assert "can't be checked" in found.sentence


# Reference: the spread of the formula itself over normal widths and chords (JCGM 101:2008), for
# 98.5-62-84 and 1810 mm (Spokesman-Review 2017-01-19, form of Lind and Sanders): R = 28.0009 m.
def test_limits_of_the_chord_form_are_those_of_a_simulation() -> None:
    limits = chord_radius_limits(28.0009, (98.5, 62.0, 84.0), (0.4, 0.4, 0.4), 1810.0, 8.0)
    generator = np.random.default_rng(17)
    widths = generator.normal([98.5, 62.0, 84.0], 0.2, (20_000, 3))
    chords = generator.normal(1810.0, 4.0, 20_000)
    radii = [
        radius_chord_m(shovel, waist, tail, chord).radius_m
        for (shovel, waist, tail), chord in zip(widths.tolist(), chords.tolist(), strict=True)
    ]
    low, high = np.percentile(radii, [2.275, 97.725])
    assert limits.high_m is not None
    assert (limits.low_m, limits.high_m) == pytest.approx((low, high), abs=0.02)


@pytest.mark.parametrize(
    ("widths", "off", "chord", "chord_off", "error"),
    [
        ((98.5, 62.0, 84.0), (0.1, -0.1, 0.1), 1810.0, 2.0, OutOfRangeError),
        ((98.5, 62.0, 84.0), (0.1, 0.1, math.nan), 1810.0, 2.0, NotFiniteError),
        ((98.5, 62.0, 84.0), (0.1, 0.1, 0.1), 1810.0, -2.0, OutOfRangeError),
        ((98.5, 62.0, 84.0), (0.1, 0.1, 0.1), 0.0, 2.0, OutOfRangeError),
        ((60.0, 62.0, 60.0), (0.1, 0.1, 0.1), 1810.0, 2.0, SidecutImpossibleError),
    ],
)
def test_limits_that_can_t_be_told(
    widths: tuple[float, float, float],
    off: tuple[float, float, float],
    chord: float,
    chord_off: float,
    error: type[TuningError],
) -> None:
    with pytest.raises(error):
        chord_radius_limits(28.0, widths, off, chord, chord_off)


def test_without_uncertainty_the_limits_are_the_radius() -> None:
    limits = chord_radius_limits(28.0, (98.5, 62.0, 84.0), (0.0, 0.0, 0.0), 1810.0, 0.0)
    assert limits == RadiusLimits(28.0, 28.0)


@pytest.mark.parametrize(
    ("declared", "error"), [(0.0, OutOfRangeError), (math.inf, NotFiniteError)]
)
def test_what_is_no_radius_is_refused(declared: float, error: type[TuningError]) -> None:
    with pytest.raises(error, match="declared_radius_m"):
        compare_declared(declared, [])

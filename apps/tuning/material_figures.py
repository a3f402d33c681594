"""Figures of the material left: the fit, what later work took of it, what lies above the least."""

from __future__ import annotations

import math

from apps.tuning.coverage import Combined, Part, combine_parts
from apps.tuning.figures import FigureBasis, Length, in_turn
from apps.tuning.levels import Level
from apps.tuning.series import Series, TakenSince
from apps.tuning.uncertainty import standard_from_expanded

FIT = "closest falling fit"
FIT_LESS_WORK = "closest falling fit less later work"
ABOVE_LEAST = "left above the shop's least"


def at_last_reading(series: Series, level: Level) -> Length:
    """What was there at the last reading, by the readings alone."""
    records = in_turn(series[index].visit.record for index in level.members)
    degrees = level.degrees_of_freedom
    return Length(
        level.value,
        max(0.0, level.low),
        level.high,
        FIT,
        "readings",
        records,
        level.coverage_factor,
        None if math.isinf(degrees) else degrees,
    )


def less_work(fitted: Length, taken: TakenSince) -> Length:
    """What is left after later work; nothing is left below zero, which is flagged elsewhere.

    Parameters
    ----------
    fitted : Length
        What was there at the last reading.
    taken : TakenSince
        What work after it took.

    Returns
    -------
    Length
        Each side combined by itself, since practice has uneven limits.

    Notes
    -----
    Source: JCGM 100:2008, 5.1.2 for each side, G.4 for its degrees of freedom; a limit of
    practice counts as an expanded uncertainty with k = 2.
    """
    if taken.steps == 0:
        return fitted
    value = fitted.value_mm - taken.stated_mm - taken.usual_mm
    below = _side(fitted, fitted.value_mm - fitted.low_mm, taken, taken.high_mm - taken.usual_mm)
    above = _side(fitted, fitted.high_mm - fitted.value_mm, taken, taken.usual_mm - taken.low_mm)
    wider = max(below, above, key=lambda side: side.expanded)
    basis: FigureBasis = "readings less practice" if taken.unstated_steps else "readings"
    degrees = wider.degrees_of_freedom
    return Length(
        max(0.0, value),
        max(0.0, value - below.expanded),
        max(0.0, value + above.expanded),
        FIT_LESS_WORK,
        basis,
        in_turn(fitted.rests_on, taken.rests_on),
        wider.coverage_factor,
        None if math.isinf(degrees) else degrees,
    )


def above_least(left: Length, least_mm: float) -> Length:
    """What is left above the shop's least, which is exact; negative when below it."""
    return Length(
        left.value_mm - least_mm,
        left.low_mm - least_mm,
        left.high_mm - least_mm,
        ABOVE_LEAST,
        left.basis,
        left.rests_on,
        left.coverage_factor,
        left.degrees_of_freedom,
    )


def _side(fitted: Length, reach_mm: float, taken: TakenSince, practice_mm: float) -> Combined:
    degrees = fitted.degrees_of_freedom
    return combine_parts(
        [
            Part(reach_mm / fitted.coverage_factor, math.inf if degrees is None else degrees),
            Part(standard_from_expanded(taken.stated_uncertainty_mm)),
            Part(standard_from_expanded(practice_mm)),
        ]
    )

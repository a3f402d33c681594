"""The latest trace of a history with its parameters, their limits and how it was taken."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy import stats

from apps.tuning.condition import fold
from apps.tuning.history import Moment, Place, TextureTrace, Visit
from apps.tuning.practice import Practice
from apps.tuning.texture_now import TextureFigure, TextureNow
from tests.tuning.visits import TODAY, grind, visit

SINE = tuple((10 * np.sin(2 * np.pi * np.arange(400) / 40)).tolist())


def traced(number: int, heights: tuple[float, ...] = SINE, moment: Moment | None = None) -> Visit:
    trace = TextureTrace(5.0, heights, Place(position_mm=900), moment)
    return replace(visit(number), traces=(trace,))


def told(*visits: Visit) -> TextureNow:
    found = fold(visits, practice=Practice(), today=TODAY).texture
    assert found is not None
    return found


def figure(found: TextureFigure | None) -> TextureFigure:
    assert found is not None
    return found


# Derived from the definitions of ISO 21920-2:2021 for a sine: 2 A / pi, A / sqrt(2), 2 A, period.
def test_the_parameters_of_a_sine() -> None:
    now = told(traced(0))
    assert figure(now.ra_um).value == pytest.approx(6.3662, abs=0.02)
    assert figure(now.rq_um).value == pytest.approx(7.0711, abs=1e-4)
    assert figure(now.rz_um).value == pytest.approx(20.0)
    assert figure(now.rsm_mm).value == pytest.approx(0.2)
    assert figure(now.rz_um).method == "maximum height Rz, ISO 21920-2:2021"


def test_how_it_was_taken_is_told() -> None:
    stated = replace(traced(0).traces[0], standard="ISO 21920-2:2021", uncertainty_um=0.1)
    now = told(replace(visit(0), traces=(stated,)))
    assert (now.points, now.spacing_um, now.evaluation_length_mm) == (400, 5.0, 2.0)
    assert now.sections == 5
    assert now.section_length_mm == pytest.approx(0.4)
    assert (now.standard, now.stated_standard) == ("ISO 21920-2:2021", "ISO 21920-2:2021")
    assert "No filter was applied" in now.conditions
    assert (now.place.position_mm, now.rests_on) == (900, ("r000",))


# JCGM 100:2008, 4.2 and G.3: mean of five sections, t of four degrees of freedom at 95.45 %.
def test_limits_come_from_the_scatter_of_the_sections() -> None:
    heights = tuple(height * (1 + 0.1 * (number // 80)) for number, height in enumerate(SINE))
    rz = figure(told(traced(0, heights)).rz_um)
    parts = [20.0 * (1 + 0.1 * number) for number in range(5)]
    off = stats.t.ppf((1 + 0.9545) / 2, 4) * np.std(parts, ddof=1) / math.sqrt(5)
    assert rz.value == pytest.approx(np.mean(parts), abs=0.01)
    assert rz.low is not None
    assert rz.value - rz.low == pytest.approx(off, rel=1e-3)


def test_the_uncertainty_of_one_height_widens_the_limits() -> None:
    unsure = replace(traced(0).traces[0], uncertainty_um=2.0)
    rz = figure(told(replace(visit(0), traces=(unsure,))).rz_um)
    ra = figure(told(replace(visit(0), traces=(unsure,))).ra_um)
    assert rz.high is not None
    assert rz.high - rz.value == pytest.approx(2.0 * math.sqrt(2 / 5), rel=1e-6)
    assert ra.high is not None
    assert ra.high - ra.value == pytest.approx(2.0 / math.sqrt(400), rel=1e-3)


def test_a_short_trace_has_fewer_sections_and_one_alone_no_limits() -> None:
    two, one = told(traced(0, SINE[:25])), told(traced(0, SINE[:19]))
    assert (two.sections, one.sections) == (2, 1)
    assert figure(two.ra_um).low is not None
    assert (figure(one.ra_um).low, figure(one.ra_um).high) == (None, None)


def test_a_trace_too_short_to_read_says_so() -> None:
    now = told(traced(0, SINE[:9]))
    assert (now.ra_um, now.rq_um, now.rz_um, now.rsm_mm) == (None, None, None, None)
    assert "at least 10 are needed" in now.sentence
    assert now.sections == 1


def test_a_flat_trace_is_smooth_and_has_no_spacing() -> None:
    now = told(traced(0, (0.0,) * 60))
    assert figure(now.rq_um) == TextureFigure(
        0.0, 0.0, 0.0, "root mean square height Rq, ISO 21920-2:2021"
    )
    assert now.rsm_mm is None


def test_the_latest_trace_counts_and_work_since_makes_it_stale() -> None:
    older, newer = traced(0), traced(1, SINE[:200])
    assert (told(older, newer).record, told(older, newer).points) == ("r001", 200)
    assert told(older, newer).stale_since is None
    ground = told(older, visit(1, steps=(grind(),)))
    assert ground.stale_since == "r001"
    assert "worked since" in ground.sentence


def test_a_trace_from_before_the_work_is_stale_by_it() -> None:
    both = traced(0, SINE, "before").traces + traced(0, SINE[:200], "after").traces
    job = replace(visit(0, steps=(grind(),)), traces=both)
    assert (told(job).points, told(job).stale_since) == (200, None)
    before = replace(job, traces=both[:1])
    assert told(before).stale_since == "r000"


def test_nobody_took_a_trace() -> None:
    assert fold([visit(0)], practice=Practice(), today=TODAY).texture is None


# The limits hold the parameter of the whole surface about as often as they say (own data: noise
# smoothed over three points, 95.45 % asked of five sections).
def test_limits_hold_the_truth_about_as_often_as_they_say() -> None:
    generator = np.random.default_rng(20240101)
    long = np.convolve(generator.normal(0, 5, 60_002), np.ones(3) / 3, "valid")
    truth = float(np.abs(long - long.mean()).mean())
    cuts = pairwise(range(0, 60_001, 300))
    found = [figure(told(traced(0, tuple(long[a:b].tolist()))).ra_um) for a, b in cuts]
    held = [one.low <= truth <= one.high for one in found if one.low and one.high]
    assert len(held) == 200
    assert 0.90 <= sum(held) / len(held) <= 0.99

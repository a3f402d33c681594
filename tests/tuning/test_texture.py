"""Roughness of shapes whose parameters follow from the definitions of ISO 21920-2."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.errors import (
    NotFiniteError,
    OutOfRangeError,
    ProfileNotOrderedError,
    ProfileTooShortError,
    TuningError,
    UnevenSpacingError,
    WrongCountError,
)
from apps.tuning.texture import (
    Trace,
    maximum_height_rz_um,
    mean_height_ra_um,
    root_mean_square_height_rq_um,
    texture,
    trace_from_positions,
)

PERIOD = 400
TRACES = st.lists(st.floats(-100, 100), min_size=50, max_size=120).map(
    lambda heights: Trace(2.0, tuple(heights))
)


def sine(amplitude_um: float, periods: int = 5) -> Trace:
    phase = 2 * np.pi * np.arange(periods * PERIOD) / PERIOD
    return Trace(2.0, tuple((amplitude_um * np.sin(phase)).tolist()))


def triangle(amplitude_um: float, periods: int = 5) -> Trace:
    place = np.arange(periods * PERIOD) % PERIOD / PERIOD
    return Trace(2.0, tuple((amplitude_um * (4 * np.abs(place - 0.5) - 1)).tolist()))


# Derived from the definitions of ISO 21920-2:2021: 2 A / pi, A / sqrt(2), 2 A.
def test_sine_of_ten_micrometres() -> None:
    result = texture(sine(10.0))
    assert result.ra_um == pytest.approx(6.3662, abs=5e-4)
    assert result.rq_um == pytest.approx(7.0711, abs=5e-5)
    assert result.rz_um == pytest.approx(20.0, abs=1e-9)
    assert result.sections == 5
    assert result.section_length_mm == pytest.approx(0.8)
    assert result.standard == "ISO 21920-2:2021"


# Derived from the same definitions: A / 2, A / sqrt(3), 2 A.
def test_triangle_of_ten_micrometres() -> None:
    result = texture(triangle(10.0))
    assert result.ra_um == pytest.approx(5.0, abs=1e-9)
    assert result.rq_um == pytest.approx(10.0 / math.sqrt(3.0), abs=5e-4)
    assert result.rz_um == pytest.approx(20.0, abs=1e-9)


# One spike counts once in five: Rz is a mean over sections and not the total height.
def test_rz_is_the_mean_of_its_sections() -> None:
    heights = list(sine(10.0).height_um)
    heights[100] += 10.0
    trace = Trace(2.0, tuple(heights))
    assert maximum_height_rz_um(trace) == pytest.approx(22.0)
    assert maximum_height_rz_um(trace, sections=1) == pytest.approx(30.0)


@given(trace=TRACES, offset=st.floats(-1000, 1000))
def test_the_level_of_the_trace_does_not_matter(trace: Trace, offset: float) -> None:
    moved = Trace(trace.spacing_um, tuple(height + offset for height in trace.height_um))
    assert mean_height_ra_um(moved) == pytest.approx(mean_height_ra_um(trace), abs=1e-9)
    assert maximum_height_rz_um(moved) == pytest.approx(maximum_height_rz_um(trace), abs=1e-9)


# Between mean and root mean square stands Cauchy and Schwarz; a section is part of the whole.
@given(trace=TRACES)
def test_order_of_the_parameters(trace: Trace) -> None:
    ra, rq = mean_height_ra_um(trace), root_mean_square_height_rq_um(trace)
    total = max(trace.height_um) - min(trace.height_um)
    assert ra <= rq + 1e-9
    assert rq <= total + 1e-9
    assert maximum_height_rz_um(trace) <= total + 1e-9


def test_positions_give_the_same_trace() -> None:
    trace = sine(10.0)
    positions = [100.0 + 2.0 * place for place in range(len(trace.height_um))]
    read = trace_from_positions(positions, trace.height_um)
    assert read.spacing_um == pytest.approx(2.0)
    assert read.height_um == trace.height_um


# A sampled step may jitter by less than 1 %; a missing point doubles one step.
def test_uneven_spacing_is_refused() -> None:
    positions = [2.0 * place for place in range(30)]
    jittered = [place + 0.009 * (number % 2) for number, place in enumerate(positions)]
    assert trace_from_positions(jittered, [0.0] * 30).spacing_um == pytest.approx(2.0, rel=0.001)
    with pytest.raises(UnevenSpacingError, match="evenly spaced") as refusal:
        trace_from_positions([*positions[:9], *positions[10:]], [0.0] * 29)
    assert refusal.value.field == "x_um"


@pytest.mark.parametrize(
    ("x", "heights", "error"),
    [
        ([2.0 * i for i in range(9)], [0.0] * 9, ProfileTooShortError),
        ([2.0 * i for i in range(20)], [0.0] * 19, WrongCountError),
        ([0.0] * 20, [0.0] * 20, ProfileNotOrderedError),
        ([*range(19), math.nan], [0.0] * 20, NotFiniteError),
        ([*range(20)], [*[0.0] * 19, math.inf], NotFiniteError),
        ([*range(20)], [*[0.0] * 19, 5001.0], OutOfRangeError),
        ([*range(20)], [*[0.0] * 19, -5001.0], OutOfRangeError),
    ],
)
def test_traces_that_say_nothing_are_refused(
    x: list[float], heights: list[float], error: type[TuningError]
) -> None:
    with pytest.raises(error):
        trace_from_positions(x, heights)


def test_spacing_and_sections_are_checked() -> None:
    for spacing in (0.0, -1.0):
        with pytest.raises(OutOfRangeError, match="spacing_um"):
            Trace(spacing, (0.0,) * 20)
    trace = Trace(1.0, (0.0,) * 20)
    with pytest.raises(OutOfRangeError, match="one or more"):
        maximum_height_rz_um(trace, 0)
    with pytest.raises(ProfileTooShortError, match="at least 50"):
        texture(trace)
    assert texture(trace, sections=2).rz_um == 0.0

"""Spacing of profile elements, and Rz of hills that lie across the border of two sections."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.errors import OutOfRangeError, ProfileTooShortError
from apps.tuning.texture import Trace, maximum_height_rz_um, section_peaks_um
from apps.tuning.texture_spacing import element_spacings_mm, mean_element_spacing_rsm_mm


def sine(period: float, count: int, *, ripple: float = 0.0, spacing_um: float = 2.0) -> Trace:
    at = np.arange(count)
    height = 10 * np.sin(2 * np.pi * at / period) + ripple * np.sin(2 * np.pi * at / 5.3 + 1)
    return Trace(spacing_um, tuple(height.tolist()))


# Derived from the definition of ISO 21920-2: a sine has one hill and one dale a period.
@pytest.mark.parametrize("period", [40.0, 37.0, 50.5, 12.3])
def test_a_sine_is_spaced_by_its_period(period: float) -> None:
    trace = sine(period, int(9 * period))
    assert mean_element_spacing_rsm_mm(trace) == pytest.approx(period * 2.0 / 1000, rel=3e-3)


def test_a_triangle_is_spaced_by_its_period() -> None:
    place = np.arange(2000) % 400 / 400
    trace = Trace(2.0, tuple((10 * (4 * np.abs(place - 0.5) - 1)).tolist()))
    assert mean_element_spacing_rsm_mm(trace) == pytest.approx(0.8, abs=1e-9)


# Ripples below a tenth of Rp and Rv are neither hills nor dales, however often they cross.
@pytest.mark.parametrize(("ripple", "counted"), [(0.5, False), (8.0, True)])
def test_ripples_too_small_to_be_hills_count_for_none(ripple: float, *, counted: bool) -> None:
    found = mean_element_spacing_rsm_mm(sine(100.0, 900, ripple=ripple))
    assert found is not None
    assert (found < 0.15) == counted
    if not counted:
        assert found == pytest.approx(0.2, rel=0.02)


# Three crossings hold one element from either end; four hold one from the left and another from
# the right: 30 + 20 and 20 + 40 steps.
def test_elements_are_counted_from_both_ends() -> None:
    heights = [-5.0] * 15 + [5.0] * 30 + [-5.0] * 20 + [5.0] * 40 + [-5.0] * 15
    trace = Trace(10.0, tuple(heights))
    forwards, backwards = element_spacings_mm(trace)
    assert [forwards, backwards] == pytest.approx([0.5, 0.6])
    assert mean_element_spacing_rsm_mm(trace) == pytest.approx(0.55)
    assert element_spacings_mm(Trace(10.0, tuple(heights[:80]))) == pytest.approx((0.5, 0.5))


@pytest.mark.parametrize("heights", [[0.0] * 60, [float(i) for i in range(60)]])
def test_without_a_whole_element_there_is_no_spacing(heights: list[float]) -> None:
    assert mean_element_spacing_rsm_mm(Trace(2.0, tuple(heights))) is None


def test_sections_are_checked() -> None:
    with pytest.raises(ProfileTooShortError, match="at least 50"):
        element_spacings_mm(sine(10.0, 40))
    with pytest.raises(OutOfRangeError, match="one or more"):
        section_peaks_um(sine(10.0, 40), 0)


# The element borders lie inside the trace and turning it round changes nothing (derived).
@given(heights=st.lists(st.floats(-50, 50), min_size=50, max_size=120))
def test_a_trace_read_backwards_has_the_same_spacing(heights: list[float]) -> None:
    forth, back = Trace(2.0, tuple(heights)), Trace(2.0, tuple(reversed(heights)))
    first, second = mean_element_spacing_rsm_mm(forth, 1), mean_element_spacing_rsm_mm(back, 1)
    assert (first is None) == (second is None)
    if first is not None:
        assert first == pytest.approx(second, abs=1e-9)
        assert 0 < first <= 2.0 * len(heights) / 1000


# A hill whose peak lies in the second section doesn't count in the first with its flank.
def test_a_hill_counts_where_its_peak_lies() -> None:
    heights = [-1.0] * 9 + [9.0, 19.0] + [-1.0] * 9
    trace = Trace(2.0, tuple(heights))
    mean = sum(heights) / 20
    peaks = section_peaks_um(trace, 2)
    assert peaks == ((0.0, 1 + mean), (19 - mean, 1 + mean))
    assert maximum_height_rz_um(trace, 2) == pytest.approx((1 + mean + 20) / 2)


# Reference: maximum_height of the package featurecharacterization2d 1.2.0, computed once.
@pytest.mark.parametrize(("number", "rz_um"), [(1, 14.18), (2, 14.04), (3, 14.3)])
def test_rz_is_that_of_a_reference_library(number: int, rz_um: float) -> None:
    heights = [
        round(6 * math.sin(0.9 * i + 0.1 * number * i * i % 7) + 3 * math.sin(0.23 * i * number), 1)
        for i in range(60)
    ]
    assert maximum_height_rz_um(Trace(2.0, tuple(heights))) == pytest.approx(rz_um, abs=1e-9)

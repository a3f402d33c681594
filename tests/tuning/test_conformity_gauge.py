"""Which gauge would decide at a reading, and that no gauge is too coarse to be undecided."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.conformity import (
    Tolerance,
    conformance_probability,
    deciding_standard_uncertainty,
    judge_conformity,
)
from apps.tuning.errors import NotFiniteError, OutOfRangeError
from apps.tuning.uncertainty import Estimate

READINGS = st.floats(-2, 4)


# Distances over the one-sided factor 1.6449 and the two-sided 1.9600 of the normal distribution
# (printed tables), by the 95 % rule of ISO 14253-1:2017; lengths in mm.
@pytest.mark.parametrize(
    ("value", "tolerance", "standard"),
    [
        (0.9, Tolerance(upper=1.0), 0.1 / 1.644854),
        (1.3, Tolerance(upper=1.0), 0.3 / 1.644854),
        (1.3, Tolerance(lower=1.0), 0.3 / 1.644854),
        (0.5, Tolerance(0.25, 0.75), 0.25 / 1.959964),
        (0.26, Tolerance(0.25, 100.0), 0.01 / 1.644854),
        (0.2, Tolerance(0.25, 0.75), 0.05 / 1.644854),
    ],
)
def test_the_gauge_that_would_just_decide(
    value: float, tolerance: Tolerance, standard: float
) -> None:
    assert deciding_standard_uncertainty(value, tolerance) == pytest.approx(standard, rel=1e-5)


@pytest.mark.parametrize("value", [0.25, 0.75])
def test_on_a_limit_no_gauge_decides(value: float) -> None:
    verdict = judge_conformity(Estimate(value, 0.01), Tolerance(0.25, 0.75))
    assert (verdict.outcome, verdict.deciding_uncertainty) == ("undecided", None)


# ISO 14253-1:2017 proves non-conformity only beyond a limit and its guard band; a gauge too
# coarse for the tolerance proves nothing of a reading in its middle.
@pytest.mark.parametrize("standard", [1.0, 50.0])
def test_a_coarse_gauge_never_fails_what_reads_right(standard: float) -> None:
    verdict = judge_conformity(Estimate(0.5, standard), Tolerance(0.25, 0.75))
    assert verdict.probability < 0.25
    assert verdict.outcome == "undecided"


# Law of the rule: a hair surer decides, a hair less sure does not.
@given(value=READINGS, half=st.floats(0.05, 2.0), required=st.sampled_from([0.9, 0.95, 0.99]))
def test_the_deciding_uncertainty_is_the_border(value: float, half: float, required: float) -> None:
    tolerance = Tolerance(1.0 - half, 1.0 + half)
    deciding = deciding_standard_uncertainty(value, tolerance, required)
    if deciding is None or deciding < 1e-9:
        return
    surer = judge_conformity(Estimate(value, deciding * 0.9999), tolerance, required)
    coarser = judge_conformity(Estimate(value, deciding * 1.0001), tolerance, required)
    assert surer.outcome == ("pass" if abs(value - 1.0) < half else "fail")
    assert coarser.outcome == "undecided"


@given(value=READINGS, standard=st.floats(0.001, 3.0))
def test_pass_and_fail_exclude_each_other(value: float, standard: float) -> None:
    tolerance = Tolerance(0.75, 1.25)
    verdict = judge_conformity(Estimate(value, standard), tolerance)
    inside = conformance_probability(Estimate(value, standard), tolerance)
    assert verdict.probability == inside
    if verdict.outcome == "pass":
        assert inside >= 0.95
    if verdict.outcome == "fail":
        assert inside <= 0.05 + 1e-12


def test_what_can_t_be_judged_is_named() -> None:
    with pytest.raises(NotFiniteError, match="value"):
        deciding_standard_uncertainty(math.nan, Tolerance(upper=1.0))
    with pytest.raises(OutOfRangeError, match="required_probability"):
        deciding_standard_uncertainty(0.5, Tolerance(upper=1.0), 0.5)

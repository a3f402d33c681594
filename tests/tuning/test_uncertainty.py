"""Uncertainty and conformity against the examples and tables of the guides themselves."""

import math
from collections.abc import Callable
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.conformity import (
    Tolerance,
    conformance_probability,
    judge_conformity,
)
from apps.tuning.errors import (
    NotFiniteError,
    OutOfRangeError,
    ProfileTooShortError,
    ToleranceImpossibleError,
    TuningError,
    WrongCountError,
)
from apps.tuning.uncertainty import (
    Estimate,
    combine_standard,
    coverage_factor,
    effective_degrees_of_freedom,
    judge_rise,
    rectangular_standard,
    rise_is_explained,
    rise_limit,
    standard_from_expanded,
)

SMALL = st.floats(0.001, 100.0)


# JCGM 100:2008 (GUM), example H.1, difference of the two gauge blocks, in nm. The guide puts
# the rounded 9.7 into its formula, which makes 25.6 out of 25.4.
def test_gum_example_of_a_difference() -> None:
    parts, degrees = [5.8, 3.9, 6.7], [24, 5, 8]
    combined = combine_standard(*parts)
    assert combined == pytest.approx(9.7, abs=0.05)
    effective = effective_degrees_of_freedom(parts, degrees)
    assert effective * (9.7 / combined) ** 4 == pytest.approx(25.6, abs=0.05)


# The same example to its end, in nm; its table H.1 is recalled from memory.
def test_gum_example_of_the_whole_gauge_block() -> None:
    parts, degrees = [25.0, 9.7, 2.9, 16.6], [18, 25.6, 50, 2]
    assert combine_standard(*parts) == pytest.approx(32.0, abs=0.5)
    effective = effective_degrees_of_freedom(parts, degrees)
    assert effective == pytest.approx(16.7, abs=0.15)
    assert coverage_factor(math.floor(effective), 0.99) == pytest.approx(2.92, abs=0.005)


# GUM 4.3.7, derived: half the step over the root of three.
def test_caliper_step() -> None:
    assert rectangular_standard(0.01) == pytest.approx(0.0028868, abs=5e-8)
    assert rectangular_standard(0.0) == 0.0


# Printed tables of Student's t, 0.975 quantile.
@pytest.mark.parametrize(
    ("degrees", "factor"),
    [(1, 12.706), (2, 4.303), (5, 2.571), (10, 2.228), (30, 2.042), (math.inf, 1.960)],
)
def test_student_t(degrees: float, factor: float) -> None:
    assert coverage_factor(degrees) == pytest.approx(factor, abs=5e-4)


# GUM, derived: u of each 0.02, k 2, so 2 * 0.02 * sqrt(2).
def test_a_rise_within_its_uncertainty_is_explained() -> None:
    assert rise_limit(0.02, 0.02) == pytest.approx(0.0566, abs=5e-5)
    assert rise_is_explained(0.03, 0.02, 0.02)
    assert not rise_is_explained(0.10, 0.02, 0.02)
    judged = judge_rise(Estimate(1.70, 0.02), Estimate(1.80, 0.02))
    assert judged.rise == pytest.approx(0.10)
    assert judged.limit == pytest.approx(0.0566, abs=5e-5)
    assert not judged.explained
    assert judge_rise(Estimate(1.70, 0.02), Estimate(1.73, 0.02)).explained


@given(earlier=st.floats(0, 3), fall=st.floats(0, 3), uncertainty=st.floats(0, 0.1))
def test_a_fall_is_always_explained(earlier: float, fall: float, uncertainty: float) -> None:
    first, second = Estimate(earlier, uncertainty), Estimate(earlier - fall, uncertainty)
    assert judge_rise(first, second).explained


@given(value=SMALL, factor=st.floats(1.0, 4.0))
def test_expanding_and_going_back(value: float, factor: float) -> None:
    expanded = Estimate(1.0, value).expanded(factor)
    assert standard_from_expanded(expanded, factor) == pytest.approx(value)
    assert Estimate(1.0, value).expanded() == 2 * value


# GUM G.4.1: the effective number lies between the least of the parts and their sum.
@given(parts=st.lists(st.tuples(SMALL, st.integers(1, 50)), min_size=1, max_size=6))
def test_effective_degrees_lie_between_the_least_and_the_sum(
    parts: list[tuple[float, int]],
) -> None:
    uncertainties, degrees = [part[0] for part in parts], [part[1] for part in parts]
    effective = effective_degrees_of_freedom(uncertainties, degrees)
    assert min(degrees) - 1e-9 <= effective <= sum(degrees) + 1e-9


def test_parts_known_from_elsewhere_set_no_limit() -> None:
    assert effective_degrees_of_freedom([1.0, 2.0], [math.inf, math.inf]) == math.inf
    assert effective_degrees_of_freedom([0.0, 0.0], [3, 4]) == math.inf
    assert effective_degrees_of_freedom([3.0, 0.0], [7, math.inf]) == pytest.approx(7.0)
    # In metres a fourth power of 6 nm still has all its digits.
    assert effective_degrees_of_freedom([5.8e-90, 3.9e-90], [24, 5]) == pytest.approx(
        effective_degrees_of_freedom([5.8, 3.9], [24, 5])
    )


@pytest.mark.parametrize(
    ("refused", "error", "field"),
    [
        (partial(combine_standard), ProfileTooShortError, "standard_uncertainties"),
        (partial(combine_standard, 0.1, -0.1), OutOfRangeError, "standard_uncertainties"),
        (partial(combine_standard, math.inf), NotFiniteError, "standard_uncertainties"),
        (partial(standard_from_expanded, -0.1), OutOfRangeError, "expanded_uncertainty"),
        (partial(standard_from_expanded, 0.1, 0), OutOfRangeError, "coverage_factor"),
        (partial(rectangular_standard, -0.01), OutOfRangeError, "step"),
        (partial(effective_degrees_of_freedom, [1.0], []), WrongCountError, "degrees_of_freedom"),
        (partial(effective_degrees_of_freedom, [1.0], [0]), OutOfRangeError, "degrees_of_freedom"),
        (partial(coverage_factor, math.nan), OutOfRangeError, "degrees_of_freedom"),
        (partial(coverage_factor, -1), OutOfRangeError, "degrees_of_freedom"),
        (partial(coverage_factor, 5, 1.0), OutOfRangeError, "confidence"),
        (partial(coverage_factor, 5, 95), OutOfRangeError, "confidence"),
        (partial(coverage_factor, 5, 0), OutOfRangeError, "confidence"),
        (partial(rise_limit, 0.02, 0.02, 0), OutOfRangeError, "factor"),
        (partial(rise_is_explained, math.nan, 0.02, 0.02), NotFiniteError, "rise"),
        (partial(Estimate, math.nan, 0.1), NotFiniteError, "value"),
        (partial(Estimate, 1.0, -0.1), OutOfRangeError, "standard_uncertainty"),
        (partial(Tolerance), ToleranceImpossibleError, "tolerance"),
        (partial(Tolerance, 2.0, 1.0), ToleranceImpossibleError, "tolerance"),
        (partial(Tolerance, upper=math.inf), NotFiniteError, "tolerance"),
    ],
)
def test_what_can_not_be_is_refused(
    refused: Callable[[], object], error: type[TuningError], field: str
) -> None:
    with pytest.raises(error) as refusal:
        refused()
    assert refusal.value.field == field
    assert str(refusal.value).endswith(".")


# JCGM 106:2012, breakdown voltage of a diode: -5.47 V, u 0.05 V, limit -5.40 V (recalled).
def test_conformance_probability_of_the_guide() -> None:
    reading = Estimate(-5.47, 0.05)
    assert conformance_probability(reading, Tolerance(upper=-5.40)) == pytest.approx(0.92, abs=5e-3)


# ISO 14253-1:2017, default of 95 %: 1.645 u beside a single limit (normal table).
@pytest.mark.parametrize(
    ("value", "outcome"),
    [
        (0.8, "pass"),
        (0.83, "pass"),
        (0.84, "undecided"),
        (1.0, "undecided"),
        (1.16, "undecided"),
        (1.17, "fail"),
        (3.0, "fail"),
    ],
)
def test_zones_beside_an_upper_limit(value: float, outcome: str) -> None:
    verdict = judge_conformity(Estimate(value, 0.1), Tolerance(upper=1.0))
    assert verdict.outcome == outcome
    assert verdict.guard_band == pytest.approx(0.1645, abs=5e-5)
    mirrored = judge_conformity(Estimate(-value, 0.1), Tolerance(lower=-1.0))
    assert mirrored.outcome == outcome
    assert mirrored.probability == pytest.approx(verdict.probability)


# ISO 14253-1:2017: with both limits far apart each has its own zone.
@pytest.mark.parametrize(
    ("bevel_deg", "outcome"),
    [(0.5, "fail"), (0.76, "undecided"), (1.0, "pass"), (1.24, "undecided"), (1.5, "fail")],
)
def test_zones_of_a_two_sided_target(bevel_deg: float, outcome: str) -> None:
    verdict = judge_conformity(Estimate(bevel_deg, 0.05), Tolerance(0.75, 1.25))
    assert verdict.outcome == outcome
    assert verdict.standard == "ISO 14253-1:2017"


# Derived: a normal reading lies within one standard uncertainty 68.3 % of the time.
def test_a_tolerance_narrower_than_the_reading_is_never_passed() -> None:
    verdict = judge_conformity(Estimate(1.0, 0.1), Tolerance(0.9, 1.1))
    assert verdict.outcome == "undecided"
    assert verdict.probability == pytest.approx(0.6827, abs=5e-5)


@pytest.mark.parametrize(
    ("value", "outcome"), [(1.0, "pass"), (2.0, "pass"), (0.99, "fail"), (2.01, "fail")]
)
def test_without_uncertainty_the_limits_themselves_decide(value: float, outcome: str) -> None:
    assert judge_conformity(Estimate(value, 0.0), Tolerance(1.0, 2.0)).outcome == outcome


@given(value=st.floats(-5, 5), uncertainty=st.floats(0.01, 2.0), half=st.floats(0.1, 3.0))
def test_probabilities_of_inside_and_outside_sum_to_one(
    value: float, uncertainty: float, half: float
) -> None:
    reading = Estimate(value, uncertainty)
    inside = conformance_probability(reading, Tolerance(-half, half))
    below = conformance_probability(reading, Tolerance(upper=-half))
    above = conformance_probability(reading, Tolerance(lower=half))
    assert inside + below + above == pytest.approx(1.0)
    assert 0.0 <= inside <= 1.0


@pytest.mark.parametrize("probability", [0.5, 0.3, 1.0, 95.0, -1.0])
def test_a_verdict_needs_a_probability_between_half_and_one(probability: float) -> None:
    with pytest.raises(OutOfRangeError, match="required_probability"):
        judge_conformity(Estimate(1.0, 0.1), Tolerance(upper=2.0), probability)

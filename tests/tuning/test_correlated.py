"""Sums and differences of inputs that have something in common."""

import math
from collections.abc import Callable
from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.correlated import combine_correlated, difference_standard
from apps.tuning.errors import (
    NotFiniteError,
    OutOfRangeError,
    ProfileTooShortError,
    TuningError,
    WrongCountError,
)

# JCGM 100:2008 (GUM), example H.2, its five rows of V [V], I [A] and phase [rad]; recalled from
# memory, and the means and uncertainties that the guide prints come out of them.
VOLT = np.array([5.007, 4.994, 5.005, 4.990, 4.999])
AMPERE = np.array([19.663, 19.639, 19.640, 19.685, 19.678]) / 1000.0
PHASE = np.array([1.0456, 1.0438, 1.0468, 1.0428, 1.0433])
CORRELATIONS = np.corrcoef([VOLT, AMPERE, PHASE]).round(15).tolist()
U_MEAN, I_MEAN, PHI = (float(one.mean()) for one in (VOLT, AMPERE, PHASE))
U = [float(one.std(ddof=1)) / math.sqrt(5.0) for one in (VOLT, AMPERE, PHASE)]
Z = U_MEAN / I_MEAN
R, X = Z * math.cos(PHI), Z * math.sin(PHI)


@pytest.mark.parametrize(
    ("sensitivities", "value", "printed", "printed_u"),
    [
        ((R / U_MEAN, -R / I_MEAN, -X), R, 127.732, 0.071),
        ((X / U_MEAN, -X / I_MEAN, R), X, 219.847, 0.295),
        ((Z / U_MEAN, -Z / I_MEAN, 0.0), Z, 254.260, 0.236),
    ],
)
def test_gum_example_of_resistance_and_reactance(
    sensitivities: tuple[float, float, float], value: float, printed: float, printed_u: float
) -> None:
    contributions = [c * u for c, u in zip(sensitivities, U, strict=True)]
    assert value == pytest.approx(printed, abs=6e-4)
    combined = combine_correlated(contributions, CORRELATIONS)
    assert combined == pytest.approx(printed_u, abs=6e-4)


# Derived: wholly correlated contributions add up, wholly opposed ones cancel, others go by GUM 10.
def test_the_ends_of_correlation() -> None:
    same = [[1.0, 1.0], [1.0, 1.0]]
    assert combine_correlated([3.0, 4.0], same) == pytest.approx(7.0)
    assert combine_correlated([3.0, -3.0], same) == pytest.approx(0.0)
    assert combine_correlated([3.0, 4.0], [[1.0, 0.0], [0.0, 1.0]]) == pytest.approx(5.0)


# Own derivation: gauge zero s = 0.015, own scatter 0.020 each, so u = 0.025 of each reading; the
# zero falls out of the difference, which leaves 0.020 * sqrt(2).
def test_a_difference_by_one_gauge_is_surer_than_by_two() -> None:
    assert difference_standard(0.025, 0.025, 0.015) == pytest.approx(0.020 * math.sqrt(2.0))
    assert difference_standard(0.025, 0.025) == pytest.approx(0.025 * math.sqrt(2.0))
    assert difference_standard(0.025, 0.025, 0.025) == 0.0


@given(u=st.floats(0.001, 1.0), other=st.floats(0.001, 1.0), part=st.floats(0.0, 1.0))
def test_a_difference_is_what_the_general_rule_makes_of_it(
    u: float, other: float, part: float
) -> None:
    shared = part * min(u, other)
    r = shared**2 / (u * other)
    general = combine_correlated([u, -other], [[1.0, r], [r, 1.0]])
    assert difference_standard(u, other, shared) == pytest.approx(general, abs=1e-7)


@pytest.mark.parametrize(
    ("refused", "error", "field"),
    [
        (partial(combine_correlated, [], []), ProfileTooShortError, "contributions"),
        (partial(combine_correlated, [1.0], []), WrongCountError, "correlations"),
        (partial(combine_correlated, [1.0, 1.0], [[1.0], [1.0]]), WrongCountError, "correlations"),
        (partial(combine_correlated, [math.inf], [[1.0]]), NotFiniteError, "contributions"),
        (partial(combine_correlated, [1.0], [[math.nan]]), OutOfRangeError, "correlations"),
        (partial(combine_correlated, [1.0], [[0.5]]), OutOfRangeError, "correlations"),
        (
            partial(combine_correlated, [1.0, 1.0], [[1.0, 0.1], [0.2, 1.0]]),
            OutOfRangeError,
            "correlations",
        ),
        (
            partial(
                combine_correlated,
                [1.0, 1.0, 1.0],
                [[1.0, 0.9, 0.9], [0.9, 1.0, -0.9], [0.9, -0.9, 1.0]],
            ),
            OutOfRangeError,
            "correlations",
        ),
        (partial(difference_standard, -0.1, 0.1), OutOfRangeError, "standard_uncertainty"),
        (partial(difference_standard, 0.1, 0.2, 0.11), OutOfRangeError, "shared"),
    ],
)
def test_what_can_not_be_is_refused(
    refused: Callable[[], object], error: type[TuningError], field: str
) -> None:
    with pytest.raises(error) as refusal:
        refused()
    assert refusal.value.field.startswith(field)
    assert str(refusal.value).endswith(".")

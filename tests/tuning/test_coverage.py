"""Parts combined and expanded against the examples and tables of the guide."""

import math
from collections.abc import Callable
from functools import partial

import pytest

from apps.tuning.coverage import USUAL_CONFIDENCE, Part, combine_parts, usual_coverage_factor
from apps.tuning.errors import NotFiniteError, OutOfRangeError, ProfileTooShortError, TuningError


# JCGM 100:2008 (GUM), table G.2, column 95.45 %; recalled from memory.
@pytest.mark.parametrize(
    ("degrees", "factor"),
    [(1, 13.97), (2, 4.53), (3, 3.31), (5, 2.65), (10, 2.28), (20, 2.13), (math.inf, 2.0)],
)
def test_factors_of_the_guides_table(degrees: float, factor: float) -> None:
    assert usual_coverage_factor(degrees) == pytest.approx(factor, abs=5e-3)


# Normal table: two standard deviations to either side.
def test_two_standard_deviations_cover_what_the_normal_table_says() -> None:
    assert pytest.approx(0.9545, abs=5e-5) == USUAL_CONFIDENCE
    assert usual_coverage_factor(1e9) == pytest.approx(2.0, abs=1e-6)


# JCGM 100:2008 (GUM), example H.1, the whole gauge block in nm; its table H.1 is recalled.
def test_gum_example_of_the_gauge_block() -> None:
    combined = combine_parts([Part(25, 18), Part(9.7, 25.6), Part(2.9, 50), Part(16.6, 2)])
    assert combined.standard_uncertainty == pytest.approx(32, abs=0.5)
    assert combined.degrees_of_freedom == pytest.approx(16.7, abs=0.15)
    # Table G.2 has 2.17 for 16 degrees of freedom and 2.16 for 17; recalled.
    assert combined.coverage_factor == pytest.approx(2.165, abs=0.02)
    assert combined.expanded == combined.coverage_factor * combined.standard_uncertainty


def test_parts_that_were_stated_leave_the_factor_at_two() -> None:
    combined = combine_parts([Part(3.0), Part(4.0)])
    assert (combined.standard_uncertainty, combined.expanded) == (5.0, 10.0)
    assert combined.degrees_of_freedom == math.inf
    assert combine_parts([Part(0.0, 2)]).expanded == 0.0


@pytest.mark.parametrize(
    ("refused", "error", "field"),
    [
        (partial(combine_parts, []), ProfileTooShortError, "standard_uncertainties"),
        (partial(combine_parts, [Part(1.0, 0.0)]), OutOfRangeError, "degrees_of_freedom"),
        (partial(Part, -1.0), OutOfRangeError, "standard_uncertainty"),
        (partial(Part, math.nan), NotFiniteError, "standard_uncertainty"),
        (partial(usual_coverage_factor, 0.0), OutOfRangeError, "degrees_of_freedom"),
    ],
)
def test_what_can_not_be_is_refused(
    refused: Callable[[], object], error: type[TuningError], field: str
) -> None:
    with pytest.raises(error) as refusal:
        refused()
    assert refusal.value.field == field

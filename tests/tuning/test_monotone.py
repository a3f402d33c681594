"""The closest falling series against published fits."""

import math

import pytest

from apps.tuning.errors import (
    NotFiniteError,
    OutOfRangeError,
    ProfileTooShortError,
    TuningError,
    WrongCountError,
)
from apps.tuning.monotone import Direction, closest_monotone

PUBLISHED: list[tuple[list[float], list[float], Direction]] = [
    # Own data, worked by hand: only 1.75 and 1.78 change places.
    ([1.80, 1.75, 1.78, 1.70], [1.80, 1.765, 1.765, 1.70], "falling"),
    # scipy's tests of isotonic_regression, after Busing, J. Stat. Softw. 102(1).
    ([8, 4, 8, 2, 2, 0, 8], [4.0] * 6 + [8.0], "rising"),
    # R package monotone, its example.
    ([0, 6, 8, 3, 5, 2, 1, 7, 9, 4], [0] + [25 / 6] * 6 + [20 / 3] * 3, "rising"),
]


@pytest.mark.parametrize(("values", "expected", "direction"), PUBLISHED)
def test_published_fits(values: list[float], expected: list[float], direction: Direction) -> None:
    fit = closest_monotone(values, direction=direction)
    assert fit.fitted == pytest.approx(expected, abs=1e-12)


# The same rows turned upside down are the non-increasing fits.
@pytest.mark.parametrize(("values", "expected", "direction"), PUBLISHED)
def test_the_other_direction_is_the_mirror(
    values: list[float], expected: list[float], direction: Direction
) -> None:
    other: Direction = "rising" if direction == "falling" else "falling"
    mirrored = closest_monotone([-value for value in values], direction=other)
    assert mirrored.fitted == pytest.approx([-value for value in expected], abs=1e-12)


# scipy's tests of isotonic_regression, weighted row.
def test_published_weighted_fit() -> None:
    weights = [1, 2, 5, 0.5, 0.5, 0.5, 1, 3]
    fit = closest_monotone([3, 2, 1, 10, 9, 8, 20, 10], weights, direction="rising")
    assert fit.fitted == pytest.approx([1.5] * 3 + [9.0] * 3 + [12.5] * 2, abs=1e-12)
    assert fit.blocks == ((0, 3), (3, 6), (6, 8))
    assert fit.weights == pytest.approx([8.0] * 3 + [1.5] * 3 + [4.0] * 2)


@pytest.mark.parametrize(
    ("values", "weights", "error"),
    [
        ([], None, ProfileTooShortError),
        ([1.0], [1.0, 2.0], WrongCountError),
        ([math.nan], None, NotFiniteError),
        ([1.0], [0.0], OutOfRangeError),
    ],
)
def test_what_no_fit_can_be_made_of(
    values: list[float], weights: list[float] | None, error: type[TuningError]
) -> None:
    with pytest.raises(error):
        closest_monotone(values, weights)

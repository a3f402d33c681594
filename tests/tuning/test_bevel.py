"""Bevels held to published gauge tables, trade rules and plain trigonometry."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.tuning.bevel import (
    MAX_BASE_BEVEL_DEG,
    bar_rise_mm,
    bevel_from_bar_rise_deg,
    bevel_from_gap_deg,
    bevel_judgement,
    corner_drop_mm,
    included_angle_deg,
    read_side_deg,
    side_bevel_from_angle_deg,
)
from apps.tuning.errors import (
    BevelOutOfRangeError,
    NotAnAngleError,
    NotFiniteError,
    OutOfRangeError,
    TuningError,
)

BASE_BEVELS = st.floats(0.01, MAX_BASE_BEVEL_DEG)


# The rule 90 + base - side is common practice, no source; the values follow from it.
@pytest.mark.parametrize(
    ("base_deg", "side_deg", "angle_deg"),
    [(1, 1, 90.0), (1, 2, 89.0), (1, 3, 88.0), (0.5, 3, 87.5), (0.5, 1, 89.5), (0, 0, 90.0)],
)
def test_included_angle_is_exact(base_deg: float, side_deg: float, angle_deg: float) -> None:
    assert included_angle_deg(base_deg, side_deg) == angle_deg


# Common practice, no source: "88" and "2" are the same edge.
@pytest.mark.parametrize(
    ("angle_deg", "bevel_deg"), [(88, 2.0), (87, 3.0), (89.25, 0.75), (90, 0.0), (80, 10.0)]
)
def test_side_angle_is_ninety_less_the_bevel(angle_deg: float, bevel_deg: float) -> None:
    assert side_bevel_from_angle_deg(angle_deg) == bevel_deg


@pytest.mark.parametrize("angle_deg", [79.99, 90.01, 2, 45, -88, 880])
def test_other_numbers_are_no_side_angle(angle_deg: float) -> None:
    with pytest.raises(NotAnAngleError, match="between 80 and 90") as refusal:
        side_bevel_from_angle_deg(angle_deg)
    assert refusal.value.field == "side_angle_deg"


# Common practice, no source.
@pytest.mark.parametrize(
    ("word", "bevel_deg"),
    [
        ("88", 2.0),
        ("2", 2.0),
        ("89.25", 0.75),
        (" 87 ", 3.0),
        ("0", 0.0),
        (10, 10.0),
        (80, 10.0),
        (90, 0.0),
    ],
)
def test_a_bench_word_is_read_as_bevel(word: float | str, bevel_deg: float) -> None:
    assert read_side_deg(word) == bevel_deg


@pytest.mark.parametrize("word", [12, 45, 79, "12", "45", "79", -1, 91, 10.01, "90.5"], ids=repr)
def test_what_is_neither_bevel_nor_angle_is_never_guessed(word: float | str) -> None:
    with pytest.raises(NotAnAngleError, match="neither a side bevel"):
        read_side_deg(word)


@pytest.mark.parametrize("word", ["", "two", "88,5", "-2", "1e1", "nan", "8_8", "٨٨", "88/1"])
def test_a_word_that_is_no_plain_number_is_refused(word: str) -> None:
    with pytest.raises(NotAnAngleError, match="plain degrees"):
        read_side_deg(word)


# Right triangle with legs w and d: tangents from a printed table to eight digits. The first is
# also published as 17 um (carving-ski.de, thread 20039).
@pytest.mark.parametrize(
    ("base_deg", "drop_mm"), [(0.5, 0.017454), (1, 0.034910), (2, 0.069842), (0, 0.0)]
)
def test_corner_drop(base_deg: float, drop_mm: float) -> None:
    assert corner_drop_mm(2.0, base_deg) == pytest.approx(drop_mm, abs=1e-6)


# Published feeler table, carving-ski.de post 181188 (its facet width of 2 mm is inferred).
@pytest.mark.parametrize(
    ("gap_um", "bevel_deg"),
    [(10, 0.3), (20, 0.6), (30, 0.9), (40, 1.1), (50, 1.4), (60, 1.7), (70, 2.0)],
)
def test_feeler_gauge_table(gap_um: float, bevel_deg: float) -> None:
    assert bevel_from_gap_deg(gap_um / 1000.0, 2.0) == pytest.approx(bevel_deg, abs=0.05)


# Rule of the 60 mm bar, skimd.com/parameters: published as one degree a millimetre, which the
# tangent shows to be close only.
def test_bar_of_sixty_millimetres() -> None:
    assert bevel_from_bar_rise_deg(1.0, 60.0) == pytest.approx(0.9548, abs=5e-5)
    assert bar_rise_mm(1.0, 60.0) == pytest.approx(1.0473, abs=5e-5)


@given(bevel_deg=BASE_BEVELS, at_mm=st.floats(1.0, 100.0))
def test_bar_rise_and_bevel_are_inverse(bevel_deg: float, at_mm: float) -> None:
    bevel = min(bevel_deg, MAX_BASE_BEVEL_DEG - 1e-9)
    assert bevel_from_bar_rise_deg(bar_rise_mm(bevel, at_mm), at_mm) == pytest.approx(bevel)


@given(bevel_deg=BASE_BEVELS, width_mm=st.floats(0.1, 10.0))
def test_gauge_and_corner_drop_are_inverse(bevel_deg: float, width_mm: float) -> None:
    bevel = min(bevel_deg, MAX_BASE_BEVEL_DEG - 1e-9)
    assert bevel_from_gap_deg(corner_drop_mm(width_mm, bevel), width_mm) == pytest.approx(bevel)


# Limits and usual ranges are common practice, no source.
@pytest.mark.parametrize(
    ("base_deg", "side_deg", "codes"),
    [
        (0.5, 1, []),
        (1.5, 4, []),
        (0, 0, []),
        (0.3, 3, []),
        (1.51, 4, ["unusual-base-bevel"]),
        (1, 4.01, ["unusual-side-bevel"]),
        (1, 0.5, ["included-angle-over-90"]),
        (3, 2, ["unusual-base-bevel", "included-angle-over-90"]),
        (5, 10, ["unusual-base-bevel", "unusual-side-bevel"]),
    ],
)
def test_odd_bevels_are_warned_of(base_deg: float, side_deg: float, codes: list[str]) -> None:
    warnings = bevel_judgement(base_deg, side_deg)
    assert [warning.code for warning in warnings] == codes
    assert all(warning.message.endswith(".") for warning in warnings)


@pytest.mark.parametrize(
    ("base_deg", "side_deg", "field"),
    [
        (5.01, 1, "base_bevel_deg"),
        (-0.01, 1, "base_bevel_deg"),
        (1, 10.01, "side_bevel_deg"),
        (1, 88, "side_bevel_deg"),
        (1, -2, "side_bevel_deg"),
    ],
)
def test_absurd_bevels_are_refused(base_deg: float, side_deg: float, field: str) -> None:
    with pytest.raises(BevelOutOfRangeError, match="from square") as refusal:
        bevel_judgement(base_deg, side_deg)
    assert refusal.value.field == field
    with pytest.raises(BevelOutOfRangeError, match="from square"):
        included_angle_deg(base_deg, side_deg)


# An input in micrometres where millimetres are asked for is the usual slip.
def test_a_gap_in_micrometres_is_refused() -> None:
    with pytest.raises(BevelOutOfRangeError, match="millimetres"):
        bevel_from_gap_deg(30.0, 2.0)
    with pytest.raises(BevelOutOfRangeError, match="millimetres"):
        bevel_from_bar_rise_deg(6.0, 60.0)


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_every_formula_refuses_what_is_no_number(number: float) -> None:
    formulas: tuple[Callable[[], float], ...] = (
        lambda: included_angle_deg(number, 1),
        lambda: included_angle_deg(1, number),
        lambda: side_bevel_from_angle_deg(number),
        lambda: read_side_deg(number),
        lambda: corner_drop_mm(number, 1),
        lambda: bevel_from_gap_deg(number, 2),
        lambda: bevel_from_gap_deg(0.02, number),
        lambda: bevel_from_bar_rise_deg(1, number),
        lambda: bar_rise_mm(1, number),
    )
    for formula in formulas:
        with pytest.raises(NotFiniteError, match="ordinary number"):
            formula()


def test_lengths_have_to_be_those_of_an_edge() -> None:
    assert corner_drop_mm(30.0, 0.0) == 0.0
    with pytest.raises(OutOfRangeError, match="zero or a value above") as refusal:
        corner_drop_mm(-0.1, 1)
    assert refusal.value.field == "facet_width_mm"
    with pytest.raises(OutOfRangeError, match="30 is the most"):
        corner_drop_mm(2000, 1)
    with pytest.raises(OutOfRangeError, match="above zero"):
        bevel_from_gap_deg(0.02, 0)
    with pytest.raises(TuningError, match="at_mm is zero"):
        bevel_from_bar_rise_deg(1, 0)

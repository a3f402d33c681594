"""Numbers as people read and write them: what is written is read back, and nothing is guessed."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.utils import translation
from hypothesis import given
from hypothesis import strategies as st

from apps.pages.numbers import (
    NARROW_SPACE,
    NotANumber,
    Unit,
    bare_length,
    between,
    degrees,
    length,
    plain,
    plus_minus,
    read_degrees,
    read_length_mm,
    unit_name,
)

LANGUAGES = st.sampled_from(["en-gb", "de", "fr"])
UNITS: st.SearchStrategy[Unit] = st.sampled_from(["mm", "um"])
# Whole micrometres below a metre: more than any small length of a ski.
LENGTHS = st.integers(min_value=-999_999, max_value=999_999).map(lambda um: Decimal(um) / 1000)
ANGLES = st.integers(min_value=-9_000, max_value=9_000).map(lambda cdeg: Decimal(cdeg) / 100)


@given(value=LENGTHS, unit=UNITS, language=LANGUAGES)
def test_a_length_is_read_as_it_was_written(value: Decimal, unit: Unit, language: str) -> None:
    with translation.override(language):
        assert read_length_mm(length(value, unit, 3)) == value


@given(value=LENGTHS, unit=UNITS, language=LANGUAGES)
def test_a_bare_length_is_read_in_the_unit_of_its_field(
    value: Decimal, unit: Unit, language: str
) -> None:
    with translation.override(language):
        assert read_length_mm(bare_length(value, unit, 3), unit) == value


@given(value=ANGLES, language=LANGUAGES)
def test_an_angle_is_read_as_it_was_written(value: Decimal, language: str) -> None:
    with translation.override(language):
        assert read_degrees(degrees(value)) == value


@given(value=LENGTHS, unit=UNITS, other=UNITS)
def test_a_unit_that_is_written_counts_whatever_the_fields_is(
    value: Decimal, unit: Unit, other: Unit
) -> None:
    assert read_length_mm(length(value, unit, 3), other) == value


@given(value=st.floats(min_value=-50, max_value=50))
def test_a_shown_length_is_within_half_its_last_place(value: float) -> None:
    shown = read_length_mm(length(value))
    # Half of the last place, and half a micrometre, to which figures are kept.
    assert abs(shown - Decimal(str(value))) <= Decimal("0.0055")
    # Nothing is shown as less than nothing.
    assert shown or not length(value).startswith("-")


@pytest.mark.parametrize(
    ("text", "unit", "mm"),
    [
        ("0.5", "mm", "0.5"),
        ("0,5", "mm", "0.5"),
        (",5", "mm", "0.5"),
        ("+.5 mm", "mm", "0.5"),
        ("500", "um", "0.5"),
        ("500 µm", "mm", "0.5"),
        ("500\u03bcm", "mm", "0.5"),
        ("500 UM", "mm", "0.5"),
        ("500 mic", "mm", "0.5"),
        ("1 micron", "mm", "0.001"),
        ("2 microns", "mm", "0.002"),
        ("0.5 mm", "um", "0.5"),
        ("  -0.25mm ", "um", "-0.25"),
        ("1.740", "mm", "1.74"),
        ("1,740", "mm", "1.74"),
        ("500", "mm", "500"),
    ],
)
def test_lengths_as_people_write_them(text: str, unit: Unit, mm: str) -> None:
    assert read_length_mm(text, unit) == Decimal(mm)


NO_NUMBERS = [
    "",
    " ",
    "-",
    ".",
    "5.",
    "1.234,5",
    "1,234.5",
    "1 234",
    "1e3",
    "NaN",
    "Infinity",
    "0.5 0.6",
    "--1",
    "½",
    "\u0665",
    "0x10",
    "0.5\x00",
]


@pytest.mark.parametrize("text", [*NO_NUMBERS, "3 cm", "3 in", "3 m", "3°", "3 mm²"])
@pytest.mark.parametrize("unit", ["mm", "um"])
def test_what_is_no_length_is_refused(text: str, unit: Unit) -> None:
    with pytest.raises(NotANumber):
        read_length_mm(text, unit)


@pytest.mark.parametrize("text", ["1.740", "1,740", "1.740 µm", "12,000", "0.001"])
def test_thousands_of_micrometres_set_apart_are_no_thousandths(text: str) -> None:
    with pytest.raises(NotANumber):
        read_length_mm(text, "um")


@pytest.mark.parametrize(
    ("text", "deg"), [("0.5", "0.5"), ("0,75 °", "0.75"), ("3 deg", "3"), ("88º", "88")]
)
def test_angles_as_people_write_them(text: str, deg: str) -> None:
    assert read_degrees(text) == Decimal(deg)


@pytest.mark.parametrize("text", [*NO_NUMBERS, "3 mm", "3 rad"])
def test_what_is_no_angle_is_refused(text: str) -> None:
    with pytest.raises(NotANumber):
        read_degrees(text)


@given(text=st.text(max_size=12))
def test_any_text_is_a_length_or_is_refused(text: str) -> None:
    try:
        value = read_length_mm(text)
    except NotANumber:
        return
    assert value.is_finite()


def test_the_refusal_says_how_to_write_it_in_the_language_of_the_page() -> None:
    told = set()
    for language in ("en-gb", "de", "fr"):
        with translation.override(language), pytest.raises(NotANumber) as refused:
            read_length_mm("3 cm")
        told.add(str(refused.value))
    assert len(told) == 3


@pytest.mark.parametrize(("language", "point"), [("en-gb", "."), ("de", ","), ("fr", ",")])
def test_numbers_are_written_by_the_locale(language: str, point: str) -> None:
    with translation.override(language):
        assert plain(1.74, 2) == f"1{point}74"
        assert plain(-0.5, 2) == f"-0{point}50"
        # Thousands are not parted: a point or a comma parts decimals only.
        assert plain(1740, 0) == "1740"
        assert plain(1740.5, 1) == f"1740{point}5"


def test_halves_are_rounded_to_the_even_and_a_zero_has_no_sign() -> None:
    assert [plain(Decimal(text), 2) for text in ("0.125", "0.135")] == ["0.12", "0.14"]
    assert plain(-0.001, 2) == "0.00"
    assert plain(Decimal("-0.0"), 1) == "0.0"


def test_a_computed_length_reads_as_it_is_kept_and_sent() -> None:
    assert length(1.734_999_9) == length(Decimal("1.735")) == f"1.74{NARROW_SPACE}mm"
    assert length(1.734_4) == f"1.73{NARROW_SPACE}mm"


def test_lengths_with_their_unit_and_their_limits() -> None:
    assert length(1.74) == f"1.74{NARROW_SPACE}mm"
    assert length(1.74, "um") == f"1740{NARROW_SPACE}µm"
    assert plus_minus(1.74, 0.03) == f"1.74 ± 0.03{NARROW_SPACE}mm"
    assert plus_minus(1.74, 0.03, "um") == f"1740 ± 30{NARROW_SPACE}µm"
    assert between(1.7, 1.78) == f"1.70 to 1.78{NARROW_SPACE}mm"
    assert (unit_name("mm"), unit_name("um")) == ("mm", "µm")


@pytest.mark.parametrize(
    ("deg", "shown"), [(0.5, "0.5°"), (0.75, "0.75°"), (3, "3.0°"), (88, "88.0°"), (0, "0.0°")]
)
def test_angles_keep_one_place_at_least(deg: float, shown: str) -> None:
    assert degrees(deg) == shown
    assert degrees(deg, 1) == plain(deg, 1) + "°"

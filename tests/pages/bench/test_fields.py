"""Numbers as people type them at the bench, and what is refused."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.forms import Field, Form

from apps.pages.bench.fields import (
    BevelField,
    LengthField,
    MillimetreField,
    SideField,
    StepField,
    fixed_step,
    limits,
    word_field,
)
from apps.pages.bench.measured import GapsField, ReadingField
from apps.records.bevel_setting import BevelSettingBody
from apps.records.step import Step

REMOVED = fixed_step(Step, "base_removed_mm")
BASE = fixed_step(BevelSettingBody, "base_bevel_deg")
SIDE = fixed_step(BevelSettingBody, "side_bevel_deg")


def offered(kind: str, **more: Any) -> list[str]:
    return [str(one.data["value"]) for one in OneField(word_field(kind, "", **more))["one"]]


class OneField(Form):
    def __init__(self, field: Field) -> None:
        super().__init__()
        self.fields["one"] = field


def small(unit: str) -> LengthField:
    field = LengthField(REMOVED)
    field.unit = "um" if unit == "um" else "mm"
    return field


@pytest.mark.parametrize(
    ("text", "unit", "value_mm"),
    [
        ("0.05", "mm", "0.05"),
        ("0,05", "mm", "0.05"),
        ("50 µm", "mm", "0.050"),
        ("50", "um", "0.050"),
        ("0,05 mm", "um", "0.05"),
        ("  0.05mm ", "mm", "0.05"),
    ],
)
def test_lengths(text: str, unit: str, value_mm: str) -> None:
    assert small(unit).clean(text) == Decimal(value_mm)


def test_nothing_typed_is_nothing_known() -> None:
    assert small("mm").clean("  ") is None


@pytest.mark.parametrize("text", ["1,740.5", "thick", "0.5 in", "0.0005", "2.5", "-0.1", "1e3"])
def test_lengths_that_are_refused(text: str) -> None:
    with pytest.raises(ValidationError):
        small("mm").clean(text)


def test_a_refusal_names_the_range_in_the_visitors_unit() -> None:
    with pytest.raises(ValidationError, match="0 to 2000"):
        small("um").clean("2500")


def test_a_number_that_is_too_fine_is_to_be_rounded() -> None:
    with pytest.raises(ValidationError, match=r"Round it to 0\.01°"):
        BevelField(BASE).clean("0.505")


def test_widths_are_in_mm_for_everybody() -> None:
    field = MillimetreField(fixed_step(Step, "groove_width_mm"))
    field.unit = "um"
    assert field.clean("7,5") == Decimal("7.5")
    with pytest.raises(ValidationError, match=r"0\.0 to 20\.0"):
        field.clean("25")
    with pytest.raises(ValidationError, match=r"Round it to 0\.1"):
        field.clean("7.55")


@pytest.mark.parametrize(
    ("text", "bevel"), [("2", "2"), ("88", "2"), ("88,5°", "1.5"), ("90", "0"), ("80", "10")]
)
def test_a_side_is_a_bevel_or_an_angle(text: str, bevel: str) -> None:
    assert SideField(SIDE).clean(text) == Decimal(bevel)


@pytest.mark.parametrize("text", ["11", "79.9", "91", "-1", "2 mm"])
def test_what_is_neither_bevel_nor_angle_is_refused(text: str) -> None:
    with pytest.raises(ValidationError):
        SideField(SIDE).clean(text)


def test_a_plain_number_has_no_unit() -> None:
    field = StepField(fixed_step(BevelSettingBody, "uncertainty_deg"))
    assert field.clean("0,2") == Decimal("0.2")
    with pytest.raises(ValidationError, match="without a unit"):
        field.clean("0.2°")


def test_limits_are_those_of_the_schema() -> None:
    assert limits(Step, "iron_temperature_c") == (60, 220)
    assert REMOVED.high == "2.000"


def test_words_stand_behind_a_blank_one() -> None:
    assert offered("edge", without=("both",)) == ["", "left", "right"]
    assert "" not in offered("basis", blank=None)


@pytest.mark.parametrize(
    ("quantity", "text", "value"),
    [
        ("edge_height_mm", "1785", "1.785"),
        ("width_mm", "68,5", "68.5"),
        ("edge_hardness_hrc", "48,5", "48.5"),
        ("texture_ra_um", "2,5", "2.5"),
    ],
)
def test_readings_by_their_quantity(quantity: str, text: str, value: str) -> None:
    assert ReadingField().read(text, quantity, "um") == Decimal(value)


@pytest.mark.parametrize(
    ("quantity", "text"),
    [("edge_height_mm", "9"), ("edge_hardness_hrc", "48.3"), ("width_mm", " ")],
)
def test_readings_that_are_refused(quantity: str, text: str) -> None:
    with pytest.raises(ValidationError):
        ReadingField().read(text, quantity, "mm")


def test_an_uncertainty_has_the_unit_of_its_quantity() -> None:
    field = ReadingField(is_uncertainty=True)
    assert field.read("20 µm", "edge_height_mm", "mm") == Decimal("0.020")


def test_gaps_under_a_true_bar() -> None:
    points = GapsField(required=False).clean("0 0; 30,5 40\n62 0")
    assert points == [
        {"x_mm": "0", "gap_um": 0},
        {"x_mm": "30.5", "gap_um": 40},
        {"x_mm": "62", "gap_um": 0},
    ]


@pytest.mark.parametrize("text", ["0", "0 0 0", "a 4", "0 4.5", "0 x"])
def test_gaps_that_are_refused(text: str) -> None:
    with pytest.raises(ValidationError):
        GapsField(required=False).clean(text)

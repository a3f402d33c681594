"""Exact numbers: one written form for each value, and errors that name the mend."""

from __future__ import annotations

from decimal import Decimal

import pytest
from pydantic_core import PydanticCustomError

from apps.records.decimals import FixedStep
from apps.records.forms import Mode

BEVEL = FixedStep("0.01", "0.00", "5.00", "deg")
CAMBER = FixedStep("0.1", "-20.0", "60.0", "mm")
HARDNESS = FixedStep("0.5", "10.0", "75.0", "HRC")
LENGTH = FixedStep("1", "300", "2600", "mm")
STRICT, DRAFT = Mode(), Mode(draft=True)


def refusal(step: FixedStep, value: object, mode: Mode) -> tuple[str, str]:
    with pytest.raises(PydanticCustomError) as caught:
        step.read(value, mode)
    return caught.value.type, caught.value.message()


@pytest.mark.parametrize(
    ("step", "text", "value"),
    [
        (BEVEL, "0.50", Decimal("0.5")),
        (BEVEL, "5.00", Decimal(5)),
        (CAMBER, "-3.5", Decimal("-3.5")),
        (CAMBER, "0.0", Decimal(0)),
        (HARDNESS, "45.5", Decimal("45.5")),
        (LENGTH, "1710", Decimal(1710)),
    ],
)
def test_a_record_is_read_in_its_exact_form(step: FixedStep, text: str, value: Decimal) -> None:
    read = step.read(text, STRICT)
    assert read == value
    assert step.written(read) == text


@pytest.mark.parametrize("text", ["0.5", ".50", "0.500", "+0.50", "00.50", "-0.00"])
def test_another_way_to_write_it_is_no_record(text: str) -> None:
    code, sentence = refusal(BEVEL, text, STRICT)
    assert code in {"not-exact-form", "not-a-decimal"}
    assert '"0.' in sentence


@pytest.mark.parametrize(
    "value", [Decimal("0.5"), 1, 0.5, True, None, [], "5e-1", "0,5", "½", "٣", ""]
)
def test_a_record_holds_decimals_as_strings_only(value: object) -> None:
    assert refusal(BEVEL, value, STRICT)[0] == "not-a-decimal"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("0.5", "0.50"),
        ("+0.5", "0.50"),
        ("1", "1.00"),
        (2, "2.00"),
        (0.1, "0.10"),
        (Decimal("5E-1"), "0.50"),
        (Decimal("0.5000"), "0.50"),
        (Decimal("-0.0"), "0.00"),
    ],
)
def test_a_draft_may_write_it_in_other_ways(value: object, text: str) -> None:
    assert BEVEL.written(BEVEL.read(value, DRAFT)) == text


@pytest.mark.parametrize(
    "value", [True, None, "x", "1e0", [], float("nan"), float("inf"), Decimal("NaN")]
)
def test_a_draft_takes_numbers_only(value: object) -> None:
    assert refusal(BEVEL, value, DRAFT)[0] == "not-a-decimal"


def test_a_value_finer_than_the_step_is_not_rounded_unseen() -> None:
    code, sentence = refusal(BEVEL, Decimal("0.505"), DRAFT)
    assert code == "finer-than-step"
    assert sentence == "`0.505` is finer than the step of 0.01 deg; round it."


@pytest.mark.parametrize("value", [Decimal("45.25"), Decimal("45.3"), "1e-9", Decimal("1E-300")])
def test_a_value_between_two_steps_is_refused(value: object) -> None:
    assert refusal(HARDNESS, value, DRAFT)[0] in {
        "finer-than-step",
        "not-a-decimal",
        "out-of-range",
    }


@pytest.mark.parametrize(
    ("step", "value"),
    [
        (BEVEL, "-0.01"),
        (BEVEL, "5.01"),
        (BEVEL, 45),
        (BEVEL, Decimal("1E+400")),
        (LENGTH, "-1710"),
        (LENGTH, "999999999999"),
        (CAMBER, "-20.1"),
    ],
)
def test_an_absurd_value_is_refused_with_the_range(step: FixedStep, value: object) -> None:
    code, sentence = refusal(step, value, DRAFT)
    assert code == "out-of-range"
    assert f"outside {step.low} to {step.high} {step.unit}; check the reading" in sentence


@pytest.mark.parametrize("step", [BEVEL, CAMBER, HARDNESS, LENGTH])
def test_both_ends_of_the_range_belong_to_it(step: FixedStep) -> None:
    assert step.written(step.read(step.low, STRICT)) == step.low
    assert step.written(step.read(step.high, STRICT)) == step.high

"""Answers are written exactly: stored bytes untouched, no floats, no null."""

from __future__ import annotations

import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.api.answers.figures import BoundedDeg, BoundedMm
from apps.api.parsing import Body
from apps.api.rendering import Verbatim, dumps

PLAIN = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(st.characters(exclude_categories=["Cs"])),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=10,
)


@given(PLAIN)
def test_plain_values_are_read_back(value: object) -> None:
    assert json.loads(dumps(value)) == value


def test_stored_bytes_are_not_touched() -> None:
    stored = b'{"b" : 1.50,\n "a":"\xc3\xbc"}'
    assert dumps({"record": Verbatim(stored), "id": "x"}) == b'{"record":' + stored + b',"id":"x"}'


@pytest.mark.parametrize("value", [0.5, [1, 2.0], {"a": {"b": float("nan")}}])
def test_floats_are_refused(value: object) -> None:
    with pytest.raises(TypeError, match="write decimals as strings"):
        dumps(value)


@pytest.mark.parametrize("value", [Decimal("0.5"), b"x", Body(b"", None)])
def test_anything_else_is_refused(value: object) -> None:
    with pytest.raises(TypeError):
        dumps(value)


@pytest.mark.parametrize(
    ("value", "written"),
    [(0.0, "0.000"), (-0.0001, "0.000"), (-0.0006, "-0.001"), (1.7854, "1.785"), (2, "2.000")],
)
def test_computed_lengths_have_three_decimals_and_no_minus_zero(value: float, written: str) -> None:
    bounded = BoundedMm.model_validate({"value": value, "low": value, "high": value})
    assert bounded.value == written


def test_computed_angles_have_two_decimals() -> None:
    bounded = BoundedDeg.model_validate({"value": 1.005, "low": 0.25, "high": 88})
    assert (bounded.low, bounded.high) == ("0.25", "88.00")

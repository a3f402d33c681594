"""Exact numbers: decimals written as strings with one fixed step for each quantity."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from apps.records.forms import Mode, fault, shown, with_draft

_PLAIN_NUMBER = re.compile(r"[+-]?[0-9]{1,12}(?:\.[0-9]{1,12})?", re.ASCII)


@dataclass(frozen=True, slots=True)
class FixedStep:
    """A decimal with a fixed step and range, to stand in an `Annotated[Decimal, ...]` type.

    Parameters
    ----------
    step : str
        The step [unit], e.g. "0.01"; it also fixes the number of decimals written.
    low, high : str
        Least and greatest value [unit], both allowed.
    unit : str
        The unit as the field's name carries it, e.g. "mm"; "" for none.
    mend : str
        What to do about a value outside the range.
    """

    step: str
    low: str
    high: str
    unit: str
    mend: str = "check the reading and its unit"

    @property
    def decimals(self) -> int:
        """Number of digits written after the point."""
        _, _, fraction = self.step.partition(".")
        return len(fraction)

    @property
    def pattern(self) -> str:
        """Regular expression (ECMA 262) of the record form."""
        sign = "-?" if self.low.startswith("-") else ""
        return f"^{sign}(0|[1-9][0-9]*)" + (
            f"\\.[0-9]{{{self.decimals}}}$" if self.decimals else "$"
        )

    def written(self, value: Decimal) -> str:
        """Give the one way a value is written in a record."""
        return f"{self.exact(value):f}"

    def exact(self, value: Decimal) -> Decimal:
        """Give the value with the decimals of the step, or raise the fault that names the mend."""
        self._in_range(value)
        kept = value.quantize(Decimal(1).scaleb(-self.decimals))
        if kept != value or kept % Decimal(self.step):
            raise fault(
                "finer-than-step",
                f"{shown(value)} is finer than the step of {self._with_unit(self.step)}; round it.",
            )
        return abs(kept) if kept.is_zero() else kept

    def read(self, value: object, mode: Mode) -> Decimal:
        """Read one value in the given mode.

        Raises
        ------
        PydanticCustomError
            Codes `not-a-decimal`, `not-exact-form`, `out-of-range`, `finer-than-step`.
        """
        number = self._number(value, mode)
        exact = self.exact(number)
        if not mode.draft and f"{exact:f}" != value:
            raise fault("not-exact-form", f'Write it exactly as "{exact:f}".')
        return exact

    def _number(self, value: object, mode: Mode) -> Decimal:
        if isinstance(value, str) and _PLAIN_NUMBER.fullmatch(value):
            return Decimal(value)
        if mode.draft and isinstance(value, Decimal | int | float) and not isinstance(value, bool):
            return _finite(value)
        example = self.written(Decimal(self.low))
        raise fault(
            "not-a-decimal",
            f'Write a decimal string such as "{example}", with a point and without an exponent.',
        )

    def _in_range(self, value: Decimal) -> None:
        if not Decimal(self.low) <= value <= Decimal(self.high):
            raise fault(
                "out-of-range",
                f"{shown(value)} is outside {self.low} to {self._with_unit(self.high)}; "
                f"{self.mend}.",
            )

    def _with_unit(self, number: str) -> str:
        return f"{number} {self.unit}".rstrip()

    def schema(self) -> JsonSchemaValue:
        """Give the JSON Schema of the record form with the patch for drafts."""
        low, high = float(self.low), float(self.high)
        loose = [
            {"type": "string", "pattern": "^[+-]?[0-9]{1,12}(\\.[0-9]{1,12})?$"},
            {"type": "number", "minimum": low, "maximum": high},
        ]
        bounds = {
            "x-unit": self.unit,
            "x-step": self.step,
            "x-minimum": self.low,
            "x-maximum": self.high,
        }
        record = {"type": "string", "pattern": self.pattern, **bounds}
        return with_draft(record, {"type": None, "pattern": None, "anyOf": loose})

    def _validate(self, value: object, info: ValidationInfo) -> Decimal:
        return self.read(value, Mode.of(info))

    def __get_pydantic_core_schema__(
        self, source: type[Any], handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(
            self._validate,
            serialization=core_schema.plain_serializer_function_ser_schema(
                self.written, when_used="json"
            ),
        )

    def __get_pydantic_json_schema__(
        self, core: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return self.schema()


def _finite(value: Decimal | float) -> Decimal:
    """Take a number as it was written; a float by its shortest text, never by its binary value."""
    number = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
    if not number.is_finite():
        raise fault("not-a-decimal", "NaN and infinity are not measurements; leave the field out.")
    return number

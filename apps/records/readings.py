"""The value of a measurement, whose step, range and unit follow from the quantity beside it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from apps.records.decimals import FixedStep
from apps.records.forms import Mode, with_draft
from apps.records.quantities import QUANTITIES, QuantitySpec

BY_QUANTITY = "by quantity"


@dataclass(frozen=True, slots=True)
class QuantityReading:
    """A decimal in the step of the `quantity` declared before it in the same model.

    Parameters
    ----------
    uncertainty : bool
        True reads the expanded uncertainty instead of the value.
    """

    uncertainty: bool

    def _step(self, spec: QuantitySpec) -> FixedStep | None:
        return spec.uncertainty if self.uncertainty else spec.step

    def _validate(self, value: object, info: ValidationInfo) -> Decimal:
        # A quantity that failed its own check is absent here; its error is enough.
        quantity = info.data.get("quantity")
        step = self._step(QUANTITIES[quantity]) if quantity is not None else None
        return step.read(value, Mode.of(info)) if step is not None else Decimal(0)

    def __get_pydantic_core_schema__(
        self, source: type[Any], handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(
            self._validate,
            serialization=core_schema.plain_serializer_function_ser_schema(
                written_plainly, when_used="json"
            ),
        )

    def __get_pydantic_json_schema__(
        self, core: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        sign = "" if self.uncertainty else "-?"
        pattern = f"^{sign}(0|[1-9][0-9]{{0,6}})(\\.[0-9]{{1,3}})?$"
        loose = [
            {"type": "string", "pattern": "^[+-]?[0-9]{1,12}(\\.[0-9]{1,12})?$"},
            {"type": "number"},
        ]
        record = {"type": "string", "pattern": pattern, "x-unit": BY_QUANTITY}
        return with_draft(record, {"type": None, "pattern": None, "anyOf": loose})


def written_plainly(value: Decimal) -> str:
    """Write a decimal with the digits it has, without an exponent."""
    return f"{value:f}"


READING = QuantityReading(uncertainty=False)
UNCERTAINTY = QuantityReading(uncertainty=True)

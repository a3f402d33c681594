"""Readings as they are typed: a number in the unit of its quantity, and gaps under a true bar."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from apps.pages.bench.fields import LengthField, MillimetreField, StepField
from apps.pages.numbers import NotANumber, Unit, read_length_mm
from apps.records.measurement import GapPoint
from apps.records.quantities import QUANTITIES, Quantity

FINE_STEP = Decimal("0.001")
_POINTS = re.compile(r"[;\n]+")
UM_PER_MM = 1000
LONGEST_PROFILE = 4000


class ReadingField(forms.CharField):
    """A reading whose unit and range follow from the quantity beside it."""

    def __init__(self, *, is_uncertainty: bool = False, **kwargs: Any) -> None:
        super().__init__(max_length=40, **kwargs)
        self.is_uncertainty = is_uncertainty
        self.widget.attrs |= {"inputmode": "decimal", "autocomplete": "off"}

    def read(self, text: str, quantity: str, unit: Unit) -> Decimal:
        """Read it for a quantity.

        Raises
        ------
        ValidationError
        """
        field = _field_of(quantity, is_uncertainty=self.is_uncertainty)
        field.unit = unit
        read = field.clean(text)
        if read is None:
            raise ValidationError(_("Write one number, with a point or a comma for decimals."))
        return read


def _field_of(quantity: str, *, is_uncertainty: bool) -> StepField:
    spec = QUANTITIES[Quantity(quantity)]
    step = spec.uncertainty if is_uncertainty or spec.step is None else spec.step
    if step.unit != "mm":
        return StepField(step)
    # What is read to a thousandth is small enough to be told in micrometres.
    return LengthField(step) if Decimal(step.step) == FINE_STEP else MillimetreField(step)


class GapsField(forms.CharField):
    """Gaps of light under a true bar: pairs of place and gap, as `0 0; 30 40; 62 0`."""

    def __init__(self, **kwargs: Any) -> None:
        widget = forms.Textarea(attrs={"rows": 2, "autocomplete": "off"})
        super().__init__(max_length=LONGEST_PROFILE, widget=widget, **kwargs)

    def clean(self, value: object) -> list[dict[str, Any]]:
        """Read the points: place from the left edge in mm, gap in whole micrometres."""
        text = super().clean(value)
        return [_point(part) for part in _POINTS.split(text) if part.strip()]


def _point(text: str) -> dict[str, Any]:
    parts = text.split()
    if len(parts) != len(GapPoint.model_fields):
        raise ValidationError(
            _("Write each point as place and gap, such as 30 40; here is %(text)s."),
            params={"text": text.strip()[:40]},
        )
    try:
        place, gap_mm = read_length_mm(parts[0]), read_length_mm(parts[1], "um")
    except NotANumber as error:
        raise ValidationError(str(error)) from None
    gap_um = gap_mm * UM_PER_MM
    if gap_um != gap_um.to_integral_value():
        raise ValidationError(_("Round the gaps to whole micrometres."))
    return {"x_mm": str(place), "gap_um": int(gap_um)}
